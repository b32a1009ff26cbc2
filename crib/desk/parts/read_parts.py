"""Part files to a count by size: what each part needs, how many of it, and what was noticed.

Nothing of it is kept: a person looks at the count first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any, cast, get_args

from crib.acts import act, joined, saying
from crib.desk.parts.files_account import account_of_files, without_counted
from crib.desk.parts.part_files import FileRead, NamedFiles, files_of, read_all
from crib.desk.parts.parts_count import FileNotRead, PartsCount, size_lines
from crib.desk.parts.same_parts import FilePart, SamePart, parts_to_leave, read_same_part
from crib.desk.parts.shown_phrase import shown_phrase
from crib.desk.parts.what_to_look_at import finding_lines, part_findings
from crib.errors import BadValue, UnknownName
from crib.features.common.case import Plate
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading, read_plate
from crib.features.common.which_unit import plain_thickness_mm
from crib.features.registry import read_phrase
from crib.files.common.resting_collector import collector_resting
from crib.files.drawings.dxf_looks import Takeable
from crib.files.drawings.nc1_holes import SlotCentre, YFrom
from crib.files.drawings.parts import Part, PartFeature, PartsRead, ReadNote
from crib.spellings import same_words
from crib.stock.book.settings import shop_rules
from crib.stock.engine.session import Session
from crib.trade.shop.shop_rules import Rules
from crib.units import System

MOST_QUANTITY = 1_000_000
_NOT_BOTH: tuple[tuple[Takeable, Takeable, str], ...] = (
    ("views", "one-view", "views are parts of their own, or one view is read"),
    ("once", "each", "openings at one place are one, or each is cut"),
)
_UNITS: dict[str, System] = {"in": "in", "mm": "mm"}


@dataclass(frozen=True, slots=True)
class ReadRequest:
    """The files, and what they may not say themselves, as it was typed.

    ``same_part`` is whether a part that stands in two files counts once or in each of them, and
    ``take`` what is taken of drawings that would be set aside, with commas between. ``columns``
    are the headings of a list that mean another column than they say: ``Los=mark, D=size``.
    """

    files: tuple[Path, ...]
    unit: str = ""
    thickness: str = ""
    material: str = ""
    quantity: int | None = None
    slot_centre: str = ""
    drawing: Path | None = None
    same_part: str = ""
    take: str = ""
    columns: str = ""


@dataclass(frozen=True, slots=True)
class _Told:
    """What the request and the crib say beside the files."""

    reading: Reading
    unit: System | None
    thickness_mm: float | None
    material: str
    default: str
    quantity: int | None
    slot_centre: SlotCentre
    speaking: Rules
    take: frozenset[Takeable] = frozenset()
    columns: Mapping[str, str] = field(default_factory=dict)
    many: bool = False

    @property
    def shown(self) -> System:
        """The unit of the answer: the crib's, or the one that was told where there is no crib."""
        return self.speaking.system


def read_parts(session: Session | None, request: ReadRequest) -> PartsCount:
    """Read part files; a crib is not needed, and gives its unit and its material if there is one.

    Of a folder all its part files are read.

    Raises:
        BadInput: for a file that is no part file, or a folder without any.
        BadRows: for a file with lines that cannot be read, all of them listed; for several files
            when none of them can be read. One that cannot stops no other and is in the result.
        ReadingFault: for a file that the program did not account for to its last line.
        AskBack: for a drawing that does not say its unit, and a part that stands in two files.
        UnknownName: for a material that nobody knows.
        Refused: when something is already where the drawing is to go.
        Missing: when there is no folder for the drawing.
    """
    rules = shop_rules(session) if session is not None else Rules.defaults()
    told = _told(request, rules, has_crib=session is not None)
    if request.drawing is not None:
        from crib.files.paper.pictures import check_place

        check_place(request.drawing)
    same_part = read_same_part(request.same_part)
    named = files_of(request.files)
    told = replace(told, many=len(named.paths) > 1)
    files, not_read = read_all(named.paths, partial(_read_one, told=told))
    with collector_resting():
        count, files = _counted(named, files, not_read, told, same_part)
    return count if request.drawing is None else _drawn(count, files, request.drawing, told)


def _counted(
    named: NamedFiles,
    files: list[FileRead],
    not_read: tuple[FileNotRead, ...],
    told: _Told,
    same_part: SamePart | None,
) -> tuple[PartsCount, list[FileRead]]:
    """The count by size, and the files without what is counted of another."""
    accounts = []
    if told.many or named.others:
        units = list(_units(files))
        left = parts_to_leave(units, same_part)
        files = [without_counted(file, units, left) for file in files]
        accounts.append(account_of_files(units, left, not_read, named.others))
    accounts = [*(account for file in files for account in file.read.accounts), *accounts]
    parts = tuple(part for file in files for part in file.read.parts)
    findings = part_findings(parts, told.speaking)
    count = PartsCount(
        read=PartsRead(parts, (*named.notes, *_notes(files, told)), tuple(accounts)),
        lines=size_lines(parts, told.shown),
        shown=told.shown,
        findings=findings,
        to_look_at=tuple(finding_lines(findings, told.speaking)),
        not_read=not_read,
    )
    return count, files


def _read_one(path: Path, kind: str, told: _Told) -> PartsRead:
    return _completed(_read_file(path, kind, told), told, is_list=kind == "list")


def _units(files: Sequence[FileRead]) -> Iterator[FilePart]:
    """What each file says of each part, all lines of a list with one mark together."""
    number = 0
    for file in files:
        own: dict[str | int, list[Part]] = {}
        for place, part in enumerate(file.read.parts):
            own.setdefault(part.mark or place, []).append(part)
        for parts in own.values():
            yield FilePart(file.name, file.kind, number, tuple(parts))
            number += 1


def _notes(files: Sequence[FileRead], told: _Told) -> Iterator[ReadNote]:
    for file in files:
        for note in file.read.notes:
            yield replace(note, text=f"{file.name}: {note.text}") if told.many else note


def _drawn(count: PartsCount, files: Sequence[FileRead], place: Path, told: _Told) -> PartsCount:
    """The count with its drawing written, and a note that says where."""
    from crib.desk.parts.part_drawing import PartSheet, draw_parts

    sheets = []
    for file in files:
        for part in file.read.parts:
            of_part = [finding for finding in count.findings if finding.mark == part.mark]
            told_of = [note.text for note in file.read.notes]
            notes = (*finding_lines(of_part, told.speaking), *told_of)
            phrases = tuple(shown_phrase(one, part.material, told.shown) for one in part.features)
            sheets.append(PartSheet(part, phrases, file.path.name, notes))
    said = draw_parts(sheets, place, told.speaking, told.shown)
    notes_now = (*count.read.notes, *(ReadNote(0, text) for text in said))
    return replace(count, read=replace(count.read, notes=notes_now), drawing=str(place))


def _told(request: ReadRequest, rules: Rules, *, has_crib: bool) -> _Told:
    unit = _UNITS.get(request.unit.strip().casefold())
    if request.unit and unit is None:
        message = f"unit {request.unit!r} must be in or mm"
        inch, metric = act("say.unit", unit="in"), act("say.unit", unit="mm")
        raise BadValue(message, way_out=saying("say ", inch, " or ", metric))
    if request.quantity is not None and not 1 <= request.quantity <= MOST_QUANTITY:
        message = f"quantity={request.quantity} must be 1 to {MOST_QUANTITY}"
        raise BadValue(message, way_out="say how many pieces of each part")
    reading = Reading(rules.with_changes({"crib.unit": unit}) if unit else rules)
    default = rules.material(rules.text("material.default")).name if has_crib else ""
    plate = _plate(request, reading) if request.thickness else None
    material = rules.material(request.material).name if request.material else ""
    thickness_mm = plate.thickness_mm if plate else None
    slot_centre = _slot_centre(request.slot_centre or rules.text("read.slot_centre"))
    return _Told(
        reading=reading,
        unit=unit,
        thickness_mm=thickness_mm,
        material=material,
        default=default,
        quantity=request.quantity,
        slot_centre=slot_centre,
        speaking=rules if has_crib else reading.rules,
        take=_taken(request.take),
        columns=_columns(request.columns),
    )


def _slot_centre(word: str) -> SlotCentre:
    plain = word.strip().casefold().replace("-", "_")
    if plain not in get_args(SlotCentre):
        message = f"slot centre {word!r} must be first_end or middle"
        either = [act("say.slot-centre", slot_centre=one) for one in get_args(SlotCentre)]
        way_out = saying("say ", joined(" or ", [saying(one) for one in either]))
        raise BadValue(message, way_out=way_out)
    return cast(SlotCentre, plain)


def _taken(words: str) -> frozenset[Takeable]:
    plain = {word.strip().casefold() for word in words.split(",") if word.strip()}
    known: tuple[Takeable, ...] = get_args(Takeable)
    for word in sorted(plain - set(known)):
        message = f"unknown to take: {word[:40]!r}; known: {', '.join(known)}"
        raise BadValue(message, way_out=saying("say ", act("say.take", take="dashed")))
    for one, other, meant in _NOT_BOTH:
        if {one, other} <= plain:
            either = act("say.take", take=one), act("say.take", take=other)
            way_out = saying("say ", either[0], " or ", either[1])
            message = f"{meant}: not both"
            raise BadValue(message, way_out=way_out)
    return frozenset(word for word in known if word in plain)


def _columns(told: str) -> dict[str, str]:
    """What was said of headings, each in small letters with the name of its column.

    Raises:
        UnknownName: for a column that no list has.
    """
    from crib.files.drawings.part_columns import PARTS
    from crib.files.tables.columns import find_column

    named = {}
    for one in filter(str.strip, told.split(",")):
        heading, _sign, word = one.rpartition("=")
        column = find_column(PARTS, word)
        if column is None or not heading.strip():
            names = ", ".join(known.name for known in PARTS.columns)
            message = f"{one.strip()[:40]!r} does not name a column; columns: {names}"
            say = act("say.columns", heading=heading.strip() or "Los", column="mark")
            raise UnknownName(message, way_out=saying("say it like ", say))
        named[" ".join(heading.split()).casefold()] = column.name
    return named


def _plate(request: ReadRequest, reading: Reading) -> Plate:
    words = Words(f"thru {request.thickness} {request.material}")
    plate = read_plate(words, reading, "thru 3/8 A36")
    words.must_be_done("thru 3/8 A36")
    plain_thickness_mm(request.thickness, plate.thickness_mm, reading.rules)
    return plate


def _read_file(path: Path, kind: str, told: _Told) -> PartsRead:
    if kind == "dxf":
        from crib.files.drawings.dxf import DrawingFacts, read_dxf_file

        ignored = told.reading.rules.names("read.ignore_layers")
        facts = DrawingFacts(told.unit, told.thickness_mm, own_unit_first=told.many, take=told.take)
        return read_dxf_file(path, facts, ignore_layers=ignored)
    if kind == "nc":
        from crib.files.drawings.nc1 import read_nc1_file

        y_from = cast(YFrom, told.reading.rules.text("read.y_from"))
        return read_nc1_file(path, slot_centre=told.slot_centre, y_from=y_from, taken=told.take)
    from crib.files.drawings.part_list import read_part_list

    return read_part_list(path, told.reading, quantity=told.quantity, named=told.columns)


def _completed(read: PartsRead, told: _Told, *, is_list: bool) -> PartsRead:
    """The parts with what the file does not say, and what was told instead of what it does."""
    completing = _Completing(told, is_list, list(read.notes))
    parts = tuple(map(completing.part, read.parts))
    return PartsRead(parts, tuple(dict.fromkeys(completing.notes)), read.accounts)


class _Completing:
    """The parts of a file one by one: what many of them have alike is completed once."""

    def __init__(self, told: _Told, is_list: bool, notes: list[ReadNote]) -> None:
        self._told, self._is_list, self.notes = told, is_list, notes
        self._features: dict[int, PartFeature] = {}
        self._materials: dict[str, str] = {}

    def part(self, part: Part) -> Part:
        """The part with what its file does not say."""
        quantity = self._quantity(part)
        material = self._materials.get(part.material)
        if material is None:
            material = _material(part.material, self._told, self.notes)
            self._materials[part.material] = material
        features = part.features
        if not self._is_list or self._told.unit or self._told.material:
            features = tuple(map(self._feature, features))
        if (quantity, material) == (part.quantity, part.material) and features == part.features:
            return part
        return part._replace(quantity=quantity, features=features, material=material)

    def _quantity(self, part: Part) -> int:
        told = self._told.quantity
        # The lines of a list have their quantities each; the one told only filled those without.
        if told is None or self._is_list:
            return part.quantity
        if part.quantity not in (1, told):
            text = f"{part.mark}: the file says {part.quantity} pieces; counted {told} as told"
            self.notes.append(ReadNote(0, text))
        return told

    def _feature(self, one: PartFeature) -> PartFeature:
        # The parts of the file keep every feature, so that no two have the same id.
        found = self._features.get(id(one))
        if found is None:
            found = self._features[id(one)] = _feature(one, self._told)
        return found


def _feature(one: PartFeature, told: _Told) -> PartFeature:
    if one.thickness_mm is None:
        return one._replace(thickness_mm=told.thickness_mm)
    if not one.asked or not (told.unit or told.material):
        return one
    # As it was written it would mean another unit to the crib, or another material than was told.
    ask: Any = read_phrase(one.asked, told.reading)
    if told.material and (ask.plate.assumed or not told.many):
        named = told.reading.rules.material(told.material)
        ask = replace(ask, plate=replace(ask.plate, material=named, assumed=False))
    return one._replace(asked=ask.phrase(told.shown))


def _material(said: str, told: _Told, notes: list[ReadNote]) -> str:
    """The material told, else the file's as the crib calls it, else the crib's default.

    Told of many files it is for those that do not say one that is known: it corrects none.
    """
    if told.material and not (told.many and said):
        return told.material
    if not said:
        if told.default:
            notes.append(ReadNote(0, f"no material said: read as {told.default}, the default"))
        return told.default
    try:
        own = told.reading.rules.material(said).name
    except UnknownName:
        text = f"material {said[:40]!r} is not known"
        if told.material:
            notes.append(ReadNote(0, f"{text}: read as {told.material}"))
        else:
            notes.append(ReadNote(0, text, saying("say ", act("say.material"))))
        return told.material or said
    if not any(map(str.isdigit, said)) and not same_words(said, own):
        notes.append(ReadNote(0, f"material {said[:40]!r} is read as {own}"))
    if told.material not in ("", own):
        text = f"says {own}; kept: alone it is read as {told.material} if told"
        notes.append(ReadNote(0, text))
    return own
