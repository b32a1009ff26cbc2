"""One spelling of English on screens, in help, in docstrings and in the README: the British one."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest

from crib.spellings import plain_spelling
from tests.house import ROOT

OTHER = {
    **{"center": "centre", "miter": "mitre", "meter": "metre", "millimeter": "millimetre"},
    **{"fiber": "fibre", "liter": "litre", "caliber": "calibre"},
    **{"gray": "grey", "color": "colour", "mold": "mould", "gage": "gauge", "plow": "plough"},
    **{"neighbor": "neighbour", "behavior": "behaviour", "favor": "favour", "honor": "honour"},
    **{"labor": "labour", "harbor": "harbour", "vapor": "vapour", "odor": "odour"},
    **{"aluminum": "aluminium", "sulfur": "sulphur", "catalog": "catalogue"},
    **{"canceled": "cancelled", "labeled": "labelled", "leveled": "levelled"},
    **{"beveled": "bevelled", "modeled": "modelled", "traveled": "travelled"},
    **{"recognize": "recognise", "organize": "organise", "realize": "realise"},
    **{"normalize": "normalise", "optimize": "optimise", "summarize": "summarise"},
    **{"analyze": "analyse", "judgment": "judgement"},
    **{"defense": "defence", "skillful": "skilful", "learnt": "learned"},
}
"""The spelling that is not used, and ours; ``Galvanized`` is the name of a material and stays."""

TAKEN = {
    "crib/spellings.py": {"center", "miter", "aluminum", "gage"},
    "crib/units.py": {"gage"},
    "crib/trade/metal/own_materials.py": {"gage"},
    "crib/cli/door.py": {"center"},
    "crib/cli/standing_out.py": {"color"},
    "crib/trade/metal/materials.py": {"aluminum"},
    "crib/stock/engine/into_server.py": {"analyze"},
}
"""Where the other spelling stands because people type it, or the system or SQL has it."""

_WORD = re.compile(r"[A-Za-z]+")
_TITLE = re.compile(r"Aluminum Design Manual")
_TYPED = re.compile(r"`[^`\n]*`|```.*?```", re.DOTALL)


def other_words(text: str) -> set[str]:
    """The words of a text in the spelling that is not used, with an ending or without."""
    return {one for one in map(str.casefold, _WORD.findall(_TITLE.sub("", text))) if is_other(one)}


def is_other(word: str) -> bool:
    """Whether a word, or what it is made of, is spelled the other way."""
    return any(
        word.endswith(end) and word.removesuffix(end) in OTHER for end in ("", "s", "d", "ed")
    )


def texts_of(source: str) -> Iterator[str]:
    """Every text of a program: what it says, and what its docstrings say; not names of parts."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value


def test_the_program_speaks_one_english() -> None:
    found: dict[str, set[str]] = {}
    for path in sorted((ROOT / "crib").rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        words = set().union(*map(other_words, texts_of(path.read_text("utf-8"))))
        if words - TAKEN.get(name, set()):
            found[name] = words - TAKEN.get(name, set())
    assert found == {}


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md", "seed_data/README.md"])
def test_so_do_the_papers(name: str) -> None:
    assert other_words(_TYPED.sub("", (ROOT / name).read_text("utf-8"))) == set()


def test_the_other_spelling_is_told_where_it_stands() -> None:
    assert other_words("Colors of mitered gauges, centre") == {"colors", "mitered"}


@pytest.mark.parametrize(
    ("typed", "ours"), [("center", "centre"), ("Miter", "mitre"), ("ALUMINUM", "aluminium")]
)
def test_people_may_type_either(typed: str, ours: str) -> None:
    assert plain_spelling(typed) == plain_spelling(ours)
