"""The header of an NC part: its fields in their order, and which thickness a face has."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import pi

from crib.acts import fact
from crib.files.drawings.nc1_blocks import HEADER_FIELDS, MOST_NUMBER, FileLine, Nc1Piece, Remarks

FIELDS = (
    "order",
    "drawing",
    "phase",
    "piece mark",
    "steel grade",
    "quantity",
    "profile",
    "profile code",
    "length",
    "height",
    "flange width",
    "flange thickness",
    "web thickness",
    "radius",
    "weight",
    "paint",
    "web start cut",
    "web end cut",
    "flange start cut",
    "flange end cut",
)
PROFILES = {
    "I": "I shape",
    "U": "channel",
    "L": "angle",
    "B": "plate or flat",
    "RO": "round tube",
    "RU": "round bar",
    "M": "rectangular tube",
    "C": "cold-formed channel",
    "T": "tee",
    "SO": "special shape",
}
FACES = {"v": "front", "o": "top", "u": "bottom", "h": "back"}
FLANGES = ("o", "u")
MOST_PIECES = 1_000_000
_NEEDED = ("length", "height")
_USED = slice(8, 14)
_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")


@dataclass(frozen=True, slots=True)
class Header:
    """What the header says, sizes in mm; a thickness that it leaves out is 0."""

    line: int
    mark: str
    material: str
    quantity: int
    profile_text: str
    profile: str
    length_mm: float
    height_mm: float
    flange_width_mm: float
    flange_thickness_mm: float
    web_thickness_mm: float
    radius_mm: float
    text_lines: tuple[str, ...]

    @property
    def wall_mm(self) -> float:
        """The web's thickness, or the flange's where there is no web."""
        return self.web_thickness_mm or self.flange_thickness_mm

    def thickness_mm(self, face: str) -> float | None:
        """What a hole in a face goes through; None where the header does not say."""
        if self.profile == "RU":
            return self.height_mm
        if face in FLANGES and self.profile != "B":
            return self.flange_thickness_mm or self.web_thickness_mm or None
        return self.wall_mm or None

    def across_mm(self, face: str) -> float:
        """How wide a face is across the piece's length; 0 where the header does not say."""
        if self.profile in ("RO", "RU"):
            return pi * self.height_mm  # a round face is drawn unrolled
        return self.flange_width_mm if face in FLANGES else self.height_mm


def read_header(piece: Nc1Piece, remarks: Remarks) -> Header | None:
    """Read a piece's header; None when a fault was found in it."""
    lines = piece.header[:HEADER_FIELDS]
    before = remarks.fault_count
    if len(lines) < HEADER_FIELDS:
        last = lines[-1].number if lines else piece.line
        text = f"the header has {len(lines)} of its {HEADER_FIELDS} lines: the file is cut short"
        remarks.fault(last, "", text)
        return None
    quantity = _quantity(lines[5], remarks)
    code = _code(lines[7], remarks)
    sizes = [
        _size(line, name, remarks) for line, name in zip(lines[_USED], FIELDS[_USED], strict=True)
    ]
    for line, name in zip(lines[_USED.stop :], FIELDS[_USED.stop :], strict=True):
        _look_at_unused(line, name, remarks)
    if remarks.fault_count > before:
        return None
    texts = [line.text.strip() for line in lines]
    header = Header(
        line=piece.line,
        mark=texts[3],
        material=texts[4],
        quantity=quantity,
        profile_text=texts[6],
        profile=code,
        length_mm=sizes[0],
        height_mm=sizes[1],
        flange_width_mm=sizes[2],
        flange_thickness_mm=sizes[3],
        web_thickness_mm=sizes[4],
        radius_mm=sizes[5],
        text_lines=tuple(line.text.strip() for line in piece.header[HEADER_FIELDS:]),
    )
    return _judged(header, lines, remarks)


def _quantity(line: FileLine, remarks: Remarks) -> int:
    text = line.text.strip()
    written = re.fullmatch(r"([0-9]{1,9})(?:\.0*)?", text)
    if not written or not 1 <= int(written[1]) <= MOST_PIECES:
        what = f"{text[:40]!r} must be a whole number, 1 to {MOST_PIECES}"
        remarks.fault(line.number, "quantity", what)
        return 0
    return int(written[1])


def _code(line: FileLine, remarks: Remarks) -> str:
    text = line.text.strip().upper()
    if text in PROFILES:
        return text
    known = ", ".join(PROFILES)
    if not re.fullmatch(r"[A-Z0-9]{1,3}", text):
        what = f"{line.text.strip()[:40]!r} is not a profile code; known: {known}"
        remarks.fault(line.number, "profile code", what)
        return ""
    what = f"profile code {text!r} is not known; read as SO, a special shape; known: {known}"
    remarks.note(line.number, what)
    return "SO"


def _size(line: FileLine, name: str, remarks: Remarks) -> float:
    """A size; after the length's comma stands the saw length, which is not used."""
    text = line.text.strip()
    figure = text.partition(",")[0].strip() if name == "length" else text
    if not _NUMBER.fullmatch(figure):
        remarks.fault(line.number, name, f"{text[:40]!r} is not a number")
        return 0.0
    size_mm = float(figure)
    if not 0 <= size_mm <= MOST_NUMBER or (name in _NEEDED and size_mm == 0):
        least = "more than 0" if name in _NEEDED else "0"
        remarks.fault(line.number, name, f"{figure[:40]} must be {least} to {MOST_NUMBER:g} mm")
        return 0.0
    return size_mm


def _look_at_unused(line: FileLine, name: str, remarks: Remarks) -> None:
    text = line.text.strip()
    if text and not _NUMBER.fullmatch(text):
        what = f"{name} {text[:40]!r} is not a number; it is not used here"
        remarks.leave_word(line.number, fact("read.header-not-used", name=name), what)


def _judged(header: Header, lines: list[FileLine], remarks: Remarks) -> Header:
    """The header with what the thicknesses say put right, and a note where they disagree."""
    flange_mm, web_mm = header.flange_thickness_mm, header.web_thickness_mm
    if header.profile == "B" and flange_mm and web_mm and flange_mm != web_mm:
        text = f"two thicknesses, {flange_mm:g} and {web_mm:g} mm: {web_mm:g} mm is used"
        remarks.note(lines[12].number, text)
    if header.profile in ("RO", "RU"):
        return _round_judged(header, lines[7].number, remarks)
    if not header.wall_mm:
        remarks.note(lines[12].number, "the header gives no thickness: say it")
    return header


def _round_judged(header: Header, line: int, remarks: Remarks) -> Header:
    """Writers swap the codes of round tube and round bar: the wall tells which it is."""
    tube = 0 < header.wall_mm < header.height_mm / 2
    profile = "RO" if tube else "RU"
    if profile != header.profile:
        why = f"the wall is {header.wall_mm:g} mm" if header.wall_mm else "no wall is given"
        remarks.note(line, f"profile code {header.profile} read as a {PROFILES[profile]}: {why}")
    return replace(header, profile=profile)
