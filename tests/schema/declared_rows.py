"""What rows may hold, drawn from the tables: ``python -m tests.schema.declared_rows``.

Defaults and limits of a column come from the row's own check, a list of words from its CHECK.
What joins columns is written out, so that an error of the database can say which rule was broken.
"""

from __future__ import annotations

import ast
import json
import re
from typing import Any, get_args

from pydantic.fields import FieldInfo
from sqlalchemy import CheckConstraint

from crib.stock.tables import all_tables
from crib.stock.tables.row_check import FILE

_LIMITS = {
    "gt": "above",
    "ge": "least",
    "le": "most",
    "lt": "below",
    "min_length": "fewest_letters",
    "max_length": "most_letters",
}
_ONE_LIMIT = re.compile(r"\w+ >=? 0")
_ONE_OF = re.compile(r"(\w+) IN (\(.*\))")


def declared_rows() -> dict[str, dict[str, dict[str, Any]]]:
    """The columns and the rules of every table, in the form that ``row_check`` reads."""
    models = [getattr(all_tables, name) for name in all_tables.__all__]
    return {
        model.__tablename__: {"columns": _columns(model), "rules": _rules(model)}
        for model in sorted(models, key=lambda model: str(model.__tablename__))
    }


def _columns(model: Any) -> dict[str, dict[str, Any]]:
    words = _closed_lists(model)
    return {
        name: _column(field) | ({"one_of": words[name]} if name in words else {})
        for name, field in model.model_fields.items()
    }


def _column(field: FieldInfo) -> dict[str, Any]:
    types = get_args(field.annotation) or (field.annotation,)
    said: dict[str, Any] = {"type": types[0].__name__}
    if type(None) in types:
        said["optional"] = True
    if not field.is_required():
        said["default"] = field.default
    for limit in field.metadata:
        for theirs, ours in _LIMITS.items():
            if hasattr(limit, theirs):
                said[ours] = getattr(limit, theirs)
    return said


def _closed_lists(model: Any) -> dict[str, list[Any]]:
    found = [match for one in _checks(model) if (match := _ONE_OF.fullmatch(str(one.sqltext)))]
    return {match[1]: list(ast.literal_eval(match[2])) for match in found}


def _rules(model: Any) -> dict[str, str]:
    texts = {str(one.name): str(one.sqltext) for one in _checks(model)}
    return {
        name: text
        for name, text in texts.items()
        if not (_ONE_OF.fullmatch(text) or _ONE_LIMIT.fullmatch(text))
    }


def _checks(model: Any) -> list[CheckConstraint]:
    constraints = model.__table__.constraints
    checks = [one for one in constraints if isinstance(one, CheckConstraint)]
    return sorted(checks, key=lambda one: str(one.name))


def as_text() -> str:
    """The file as it is kept: one line for each column."""
    return f"{{\n{_lines(declared_rows(), 3)}\n}}\n"


def _lines(said: dict[str, Any], deep: int) -> str:
    return ",\n".join(
        f'{" " * (3 - deep)}"{name}": {_said(one, deep)}' for name, one in said.items()
    )


def _said(said: Any, deep: int) -> str:
    if deep == 1 or not said:
        return json.dumps(said)
    return f"{{\n{_lines(said, deep - 1)}\n{' ' * (3 - deep)}}}"


if __name__ == "__main__":
    FILE.write_text(as_text(), "utf-8")
