"""A disk that is full, failing or read-only is called so, and what can be read still answers."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from crib.stock.engine.disk import COMPANIONS
from crib.stock.engine.opening import open_crib
from tests.cli.asking import Answer
from tests.demo_crib import demo_crib
from tests.desk.rows import every_row
from tests.faulty_disk import ask_on, can_be_made, fail_from, without_rights

pytestmark = pytest.mark.skipif(not can_be_made(), reason="SQLite hides its files' functions here")

READING = (
    ["find", "hole", "13/16", "thru", "3/8", "A36"],
    ["find", "hole", "1-3/16", "thru", "3/8", "A36"],
    ["due"],
    ["show", "P-0137"],
    ["stock", "punch", "round"],
    ["history", "P-0137"],
    ["check"],
)
WRITING = (
    ["log", "P-0137", "400", "thru", "3/8"],
    ["move", "P-0137", "--to", "K2"],
    ["rules", "wear.dry", "1.4", "--why", "a trial", "--by", "nights"],
)
First = Callable[[], object]
Disk = Callable[[Path], First]


@pytest.fixture
def crib(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "shelf"
    folder.mkdir()
    demo_crib(folder / "shop.crib").close()
    yield folder / "shop.crib"
    folder.chmod(0o755)


def read_only_folder(crib: Path) -> First:
    crib.chmod(0o444)
    crib.parent.chmod(0o555)
    return without_rights


def folder_that_takes_no_files(crib: Path) -> First:
    crib.parent.chmod(0o555)
    return without_rights


def read_only_file(crib: Path) -> First:
    crib.chmod(0o444)
    return without_rights


def full_disk(crib: Path) -> First:
    return partial(fail_from, 1, "full", crib.parent)


def failing_disk(crib: Path) -> First:
    return partial(fail_from, 1, "failing", crib.parent)


DISKS: list[tuple[Disk, set[str]]] = [
    (read_only_folder, {"no-right"}),
    (folder_that_takes_no_files, {"no-right"}),
    (read_only_file, {"no-right"}),
    (full_disk, {"disk-full", "disk-fault"}),
    (failing_disk, {"disk-fault"}),
]
on_each_disk = pytest.mark.parametrize(
    ("disk", "codes"), DISKS, ids=[disk.__name__ for disk, _codes in DISKS]
)


def asked(first: First | None, words: list[str], crib: Path) -> Answer:
    said = ask_on(first, [*words, "--crib", str(crib)], crib.parent.parent)
    assert "damaged" not in said.err
    assert "restore" not in said.err
    assert "should not have happened" not in said.err
    return said


@on_each_disk
def test_what_only_reads_answers_as_ever(crib: Path, disk: Disk, codes: set[str]) -> None:
    sound = [asked(None, words, crib) for words in READING]
    # The demo of the tests is of a day to come, and a check says so.
    assert [one.status for one in sound] == [0, 3, 0, 0, 0, 0, 1]
    first = disk(crib)
    for words, before in zip(READING, sound, strict=True):
        said = asked(first, words, crib)
        assert said.status == before.status, said.err
        missing = set(before.lines) - set(said.lines)
        assert not [line for line in missing if not line.startswith("Note: ")]
        assert "nothing can be written: " in " ".join(said.out.split())


@on_each_disk
def test_what_writes_says_the_cause_and_leaves_all_as_it_was(
    crib: Path, disk: Disk, codes: set[str]
) -> None:
    session = open_crib(crib)
    before = every_row(session)
    session.close()
    first = disk(crib)
    for words in WRITING:
        said = asked(first, words, crib)
        assert said.status == 1
        assert "nothing of this was written" in said.err
        told = asked(first, [*words, "--json"], crib)
        assert any(f'"code": "{code}"' in told.err for code in codes), told.err
    crib.parent.chmod(0o755)
    session = open_crib(crib)
    assert every_row(session) == before
    session.close()


def test_a_missed_ask_that_cannot_be_remembered_says_so(crib: Path) -> None:
    said = asked(read_only_folder(crib), READING[1], crib)
    assert said.status == 3
    note = " ".join(said.out.split())
    assert "Note: not remembered:" in note
    assert "may only be read, not written" in note


def test_a_crib_on_a_read_only_disk_can_be_backed_up(crib: Path) -> None:
    copy = crib.parent.parent / "copy.crib"
    said = asked(read_only_folder(crib), ["backup", str(copy)], crib)
    assert said.status == 0, said.err
    back, kept = open_crib(copy), open_crib(crib)
    assert every_row(back) == every_row(kept)
    back.close()
    kept.close()


def test_the_log_beside_a_crib_that_cannot_be_written_is_read_with_it(crib: Path) -> None:
    writer = open_crib(crib)
    with writer.writing():
        writer.insert("person", {"name": "late shift", "role": ""})
    beside = [crib.with_name(crib.name + end) for end in COMPANIONS]
    assert all(one.is_file() for one in beside)
    first, copy = read_only_folder(crib), crib.parent.parent / "copy.crib"
    for one in beside:
        one.chmod(0o444)
    assert asked(first, ["backup", str(copy)], crib).status == 0
    back = open_crib(copy)
    assert back.value("SELECT count(*) FROM person WHERE name = 'late shift'") == 1
    back.close()
    writer.close()


def test_a_file_that_may_not_be_read_is_called_so(crib: Path) -> None:
    crib.chmod(0o000)
    said = asked(without_rights, ["due"], crib)
    assert said.status == 1
    assert f"{crib} may not be read" in said.err


def test_an_older_crib_that_cannot_be_upgraded_says_why(crib: Path) -> None:
    session = open_crib(crib)
    session.connection.execute("UPDATE alembic_version SET version_num = '0003'")
    session.close()
    said = asked(read_only_folder(crib), ["due"], crib)
    assert said.status == 1
    assert "may only be read, not written" in said.err


def test_the_rights_of_a_test_are_those_of_anybody(tmp_path: Path) -> None:
    """The tests above prove nothing where what may not be written can be."""
    tmp_path.chmod(0o555)
    child = os.fork()
    if child == 0:
        without_rights()
        os._exit(1 if os.access(tmp_path, os.W_OK) else 0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    tmp_path.chmod(0o755)
