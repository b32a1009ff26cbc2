"""The project holds nothing of the machines it was built on, and no secrets.

The words are put together from pieces here, so that this file does not hold them itself.
"""

from __future__ import annotations

import re

import pytest

from tests.house import ROOT, project_files


def _whole(*pieces: str) -> str:
    """One pattern of several; each is broken by a ``~`` where it would match itself."""
    return "|".join(pieces).replace("~", "")


FORBIDDEN: dict[str, str] = {
    "an absolute path of somebody's machine": (
        rf"(?<![\w.$}}/-])/(?:{_whole('wo~rk', 'tm~p', 'ro~ot', 'ho~me', 'Us~ers')})/\w"
    ),
    "a drive of somebody's machine": r"\b[C-Z]:\\(?!n)\w",
    "a folder beside the checkout": _whole(r"\.\./sha~red", r"\bsha~red/(design|trade|style)"),
    "a package registry": _whole(
        r"py~pi\.org", r"python~hosted\.", r"npm~js\.", r"cra~tes\.io", r"ana~conda\.org"
    ),
    "how the text was made": _whole(
        r"\bcl~aude\b",
        r"\banth~ropic\b",
        r"\bopen~ai\b",
        r"\bchat~gpt\b",
        r"\bcop~ilot\b",
        r"\blanguage mo~del\b",
        r"\bco-auth~ored-by\b",
        r"\bseed docu~ment\b",
        r"\bhelper ag~ent\b",
    ),
    "an issue's number": _whole(r"\biss~ues? #?\d+\b", r"\btic~ket #?\d+\b"),
    "a secret": _whole(
        r"BEGIN [A-Z ]*PRIV~ATE KEY",
        r"\bgh~p_\w{20}",
        r"\bAK~IA[0-9A-Z]{16}",
        r"\b(pass~word|api_~key)\s*=\s*['\"]\w",
    ),
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_file_holds(what: str) -> None:
    pattern = re.compile(FORBIDDEN[what], re.IGNORECASE)
    found = [
        f"{name} line {number}: {line.strip()[:100]}"
        for name in project_files()
        for number, line in enumerate(_lines(name), 1)
        if pattern.search(line)
    ]
    assert found == []


@pytest.mark.parametrize(
    ("what", "line"),
    [
        ("an absolute path of somebody's machine", "see /ho" + "me/somebody/crib"),
        ("a folder beside the checkout", "see ../sha" + "red/design.md"),
        ("a package registry", "https://py" + "pi.org/simple"),
        ("an issue's number", "fixes iss" + "ue #12"),
        ("a secret", "pass" + "word = 'abc'"),
    ],
)
def test_the_patterns_catch(what: str, line: str) -> None:
    assert re.search(FORBIDDEN[what], line, re.IGNORECASE)


def test_every_file_is_text_or_a_picture() -> None:
    pictures = (".png", ".svg", ".xlsx")
    odd = [name for name in project_files() if b"\0" in (ROOT / name).read_bytes()]
    assert [name for name in odd if not name.endswith(pictures)] == []


def _lines(name: str) -> list[str]:
    return (ROOT / name).read_text("utf-8", errors="replace").splitlines()
