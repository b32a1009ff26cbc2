"""A name for each line of what to buy that stays while others come and go and budgets change.

A kind's line is named by the kind's number, a package's by its own, and that of a tool which is no
kind yet by its figures: nothing of how many, for whom or by when, so that two people who look at
different times and with different money mean the same tool by the same name.
"""

from __future__ import annotations

import re
from hashlib import sha256

from crib.features.common.tool_spec import ToolSpec
from crib.stock.queries.demand import OpenOrder

_LETTERS = "23456789BCDFGHJKLMNPQRSTVWXZ"
_SHOWN, _WHOLE = 4, 12
MORE = "+"
"""Behind the name of what a budget leaves out of a line."""
_FIGURES = (
    *("role", "shape", "width_mm", "long_mm", "profile", "depth_mm", "angle_deg", "header_mm"),
    *("least_wall_mm", "most_wall_mm", "work_length_mm", "punch_width_mm", "punch_long_mm"),
    *("line_limit_n_mm", "rated_force_n", "seat_name", "presents_seat", "key_angles", "face"),
    "corner_radius_mm",
)
_NAME = re.compile(rf"(?:[KP][1-9][0-9]*|N[{_LETTERS}]{{{_SHOWN},{_WHOLE}}})\+*")
_DIGITS = 3


def is_line_name(word: str) -> bool:
    """Whether a word has the form of a line's name."""
    return bool(_NAME.fullmatch(word.strip().upper()))


def kind_line(kind_id: int) -> str:
    """The name of a kind's line."""
    return f"K{kind_id}"


def package_line(bundle_id: int) -> str:
    """The name of a package's line."""
    return f"P{bundle_id}"


def tool_line(spec: ToolSpec) -> str:
    """The whole name of a tool that is no kind yet; any beginning of it that is its own will do."""
    figures = "|".join(_plain(getattr(spec, name)) for name in _FIGURES)
    number = int.from_bytes(sha256(figures.encode()).digest())
    letters = []
    for _ in range(_WHOLE):
        number, letter = divmod(number, len(_LETTERS))
        letters.append(_LETTERS[letter])
    return f"N{''.join(letters)}"


def is_more_of(order: OpenOrder, said: str) -> bool:
    """Whether a name is of the line that would order more of what is on order.

    A tool that became a kind when it was ordered is known by its former name as well.
    """
    by_kind = order.kind_id is not None and means(said, kind_line(order.kind_id))
    return by_kind or (order.spec is not None and means(said, tool_line(order.spec)))


def means(said: str, name: str) -> bool:
    """Whether what was said is a line's name, or at least as much of it as is shown."""
    said, name = said.strip().upper(), name.upper()
    return bool(name) and (said == name or (name[0] == said[:1] == "N" and _begins(said, name)))


def _begins(said: str, name: str) -> bool:
    bare, whole = said.rstrip(MORE), name.rstrip(MORE)
    same_part = len(said) - len(bare) == len(name) - len(whole)
    return same_part and (whole.startswith(bare) or bare.startswith(whole))


def shortened(wholes: set[str]) -> dict[str, str]:
    """Each whole name with the beginning of it that no other has."""
    size = _SHOWN + 1
    while len({whole[:size] for whole in wholes}) < len(wholes):
        size += 1
    return {whole: whole[:size] for whole in wholes}


def _plain(value: object) -> str:
    return f"{round(value, _DIGITS):g}" if isinstance(value, float) else str(value or "")
