"""Calendar files, read back by the library that any calendar program could use."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from crib.errors import BadValue, Missing, Refused
from crib.files.paper.calendar_file import DayEvent, calendar_bytes, event_uid, write_calendar
from crib.unseen import made_seen

NOON = datetime(2026, 3, 5, 12, 0, 7, 5000, tzinfo=UTC)
GRIND = DayEvent(
    "P-1@Shop", date(2026, 3, 9), "P-1: grind it", "It is due; grind it.\nAt A1.", "A1"
)
LETTERS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=80).map(
    made_seen
)


def read(data: bytes) -> list[Any]:
    return list(Calendar.from_ical(data).walk("VEVENT"))


def test_an_event_is_a_whole_day_with_all_that_is_said() -> None:
    data = calendar_bytes([GRIND], "Shop", NOON)
    (event,) = read(data)
    assert event.decoded("dtstart") == date(2026, 3, 9)
    assert event.decoded("dtend") == date(2026, 3, 10)
    assert event.decoded("dtstamp") == datetime(2026, 3, 5, 12, 0, 7, tzinfo=UTC)
    texts = [str(event[name]) for name in ("uid", "summary", "description", "location")]
    assert texts == [GRIND.uid, GRIND.summary, GRIND.description, GRIND.place]
    assert str(event["transp"]) == "TRANSPARENT"


def test_the_calendar_says_its_version_and_who_made_it() -> None:
    calendar: Any = Calendar.from_ical(calendar_bytes([], "Shop", NOON))
    assert (str(calendar["version"]), str(calendar["prodid"])) == ("2.0", "-//crib//forecast//EN")


def test_lines_end_and_fold_as_the_standard_says() -> None:
    data = calendar_bytes([DayEvent("a", date(2026, 3, 9), "x" * 300, "é" * 200)], "Shop", NOON)
    assert data.count(b"\n") == data.count(b"\r\n")
    assert max(len(line) for line in data.split(b"\r\n")) <= 75


@given(LETTERS, LETTERS)
def test_any_words_come_back_as_they_were(summary: str, description: str) -> None:
    (event,) = read(calendar_bytes([DayEvent("a", NOON.date(), summary, description)], "S", NOON))
    assert (str(event["summary"]), str(event["description"])) == (summary, description)


@given(LETTERS, LETTERS, LETTERS, LETTERS)
def test_two_pieces_never_share_a_uid(tag: str, crib: str, other: str, other_crib: str) -> None:
    same = (tag, crib) == (other, other_crib)
    assert (event_uid(tag, crib) == event_uid(other, other_crib)) == same


def test_our_own_calendar_is_written_over(tmp_path: Path) -> None:
    file = tmp_path / "due.ics"
    write_calendar([GRIND], "Shop", file, NOON)
    write_calendar([], "Shop", file, NOON)
    assert read(file.read_bytes()) == []
    assert [path.name for path in tmp_path.iterdir()] == ["due.ics"]


@pytest.mark.parametrize(
    "text", ["", "notes", "BEGIN:VCALENDAR\r\nPRODID:-//other//EN\r\nEND:VCALENDAR\r\n"]
)
def test_what_we_did_not_write_is_left_alone(tmp_path: Path, text: str) -> None:
    file = tmp_path / "due.ics"
    file.write_bytes(text.encode())
    with pytest.raises(Refused, match="crib did not write it"):
        write_calendar([GRIND], "Shop", file, NOON)
    assert file.read_bytes() == text.encode()


def test_a_folder_of_that_name_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "due.ics").mkdir()
    with pytest.raises(Refused, match="is there already"):
        write_calendar([GRIND], "Shop", tmp_path / "due.ics", NOON)


def test_another_ending_and_no_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadValue, match=r"must end in \.ics, found 'due\.txt'"):
        write_calendar([GRIND], "Shop", tmp_path / "due.txt", NOON)
    with pytest.raises(Missing, match="there is no folder"):
        write_calendar([GRIND], "Shop", tmp_path / "no" / "due.ics", NOON)
