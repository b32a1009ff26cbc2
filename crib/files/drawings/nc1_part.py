"""One piece of an NC file to a part: its blocks read, its features placed on its faces."""

from __future__ import annotations

import re
from collections.abc import Iterator

from crib.acts import Fact, act, fact, saying
from crib.files.drawings.contour_sides import Bounds, box_of, sides_of
from crib.files.drawings.edge_notches import UNKNOWN, EdgeNotch, edge_reading
from crib.files.drawings.nc1_blocks import BLOCKS, Block, Nc1Piece, Remarks, view_and_rest
from crib.files.drawings.nc1_contours import read_contours
from crib.files.drawings.nc1_header import FACES, PROFILES, Header, read_header
from crib.files.drawings.nc1_holes import Conventions, HoleLine, hole_feature, read_holes
from crib.files.drawings.nc1_twins import FoundFeature, contours_once, once_each
from crib.files.drawings.openings import Opening, opening_of
from crib.files.drawings.parts import OUTSIDE, Contour, Part, PartFeature

_STAMP_PLACE = re.compile(r"[-+]?[0-9]*(?:\.[0-9]*)?[A-Za-z]?")
_STAMP_TEXT = re.compile(r"[0-9]+(?:\.[0-9]*)?r?(.*)", re.IGNORECASE)
_NOTCHED = {"B": ("v", "h"), "L": tuple(FACES)}
"""Profiles and faces whose edge cuts are notches; elsewhere they are copes, made otherwise."""
_SAME_SIZE_MM = 1.0
_MARKING = ("PU", "KO")
_SLOT_CENTRES = {
    "first_end": ("the middle of its first end", "middle"),
    "middle": ("its own middle", "first_end"),
}


def read_piece(piece: Nc1Piece, conventions: Conventions, remarks: Remarks) -> Part | None:
    """One part; every block is read even after a fault, so that all faults are listed."""
    header = read_header(piece, remarks)
    holes: list[HoleLine] = []
    contours: list[Contour] = []
    stamps: list[tuple[int, str]] = []
    for block in piece.blocks:
        if block.name == "BO":
            holes += read_holes(block, remarks)
        elif block.name in ("AK", "IK"):
            contours += read_contours(block, remarks)
        elif block.name == "SI":
            stamps += _stamps(block, remarks)
        else:
            _leave_block(block, remarks)
            continue
        remarks.ledger.blank(block.line)
    if header is None:
        return None
    boxes = _boxes(contours, header)
    found = [
        *_hole_features(holes, boxes, header, conventions, remarks),
        *_opening_features(contours, boxes, header, remarks),
        *_edge_features(contours, header, remarks),
    ]
    features, merged = once_each(found, header.profile, remarks, conventions.taken)
    contours = contours_once(contours, merged, header.profile)
    _look_at_stamps(stamps, header, remarks)
    marking = [_marking(block) for block in piece.blocks if block.name in _MARKING]
    return _part(header, features, contours, [text for _, text in stamps], marking)


def _part(
    header: Header,
    features: list[PartFeature],
    contours: list[Contour],
    stamps: list[str],
    marking: list[str],
) -> Part:
    return Part(
        mark=header.mark,
        quantity=header.quantity,
        profile=header.profile,
        profile_text=header.profile_text,
        material=header.material,
        length_mm=header.length_mm,
        height_mm=header.height_mm,
        flange_width_mm=header.flange_width_mm,
        flange_thickness_mm=header.flange_thickness_mm,
        web_thickness_mm=header.web_thickness_mm,
        radius_mm=header.radius_mm,
        features=tuple(features),
        contours=tuple(contours),
        text_lines=header.text_lines,
        stamps=tuple(stamps),
        marking=tuple(marking),
    )


def _leave_block(block: Block, remarks: Remarks) -> None:
    """A block that says nothing of openings, with every line of it."""
    remarks.note(block.line, _skipped(block))
    for line in (block.line, *(line.number for line in block.lines)):
        remarks.ledger.tell(line, fact("read.block-not-read", block=block.name))


def _marking(block: Block) -> str:
    """What marks the part: done at another machine or by hand."""
    count = len(block.lines)
    return f"{BLOCKS[block.name]}, {count} line{'' if count == 1 else 's'} of block {block.name}"


def _skipped(block: Block) -> str:
    known = f" ({BLOCKS[block.name]})" if block.name in BLOCKS else ""
    count = len(block.lines)
    text = f"block {block.name}{known}, {count} line{'' if count == 1 else 's'}, is not read"
    if block.name[0] == "B" and block.name[1].isdigit():
        return f"{text}: holes in a plane of its own, look at the drawing"
    return text


def _stamps(block: Block, remarks: Remarks) -> Iterator[tuple[int, str]]:
    for line in block.lines:
        text = _stamped(view_and_rest(line.text)[1])
        if text:
            remarks.ledger.count(line.number)
            yield line.number, text
        else:
            why = fact("read.stamp-not-read")
            remarks.leave(line.number, why, "the stamped text is not read")


def _stamped(rest: str) -> str:
    """What stands behind x, y, the angle and the letters' height, which may be glued to it."""
    *place, text = rest.split(None, 3) or [""]
    match = _STAMP_TEXT.fullmatch(text)
    if match is None or len(place) != 3 or not all(map(_STAMP_PLACE.fullmatch, place)):
        return ""
    return match[1].strip()


def _look_at_stamps(stamps: list[tuple[int, str]], header: Header, remarks: Remarks) -> None:
    if header.mark and stamps and not any(header.mark in text for _, text in stamps):
        line, text = stamps[0]
        remarks.note(line, f"stamped {text[:40]!r}, but the piece mark is {header.mark[:40]!r}")


def _hole_features(
    holes: list[HoleLine],
    boxes: dict[str, Bounds],
    header: Header,
    conventions: Conventions,
    remarks: Remarks,
) -> Iterator[FoundFeature]:
    first_slot = next((hole for hole in holes if hole.is_slot), None)
    if first_slot is not None:
        where, other = _SLOT_CENTRES[conventions.slot_centre]
        say = act("say.slot-centre", slot_centre=other)
        way_out = saying("where the drawing shows them elsewhere, say ", say)
        remarks.note(first_slot.line, f"a slot's x and y are read as {where}", way_out)
    for hole in holes:
        feature = hole_feature(hole, header, conventions, remarks)
        if feature is not None:
            placed = _placed(feature, boxes.get(hole.face), hole.line, remarks)
            yield FoundFeature(placed, hole.line, (hole.line,), hole.reference)


def _boxes(contours: list[Contour], header: Header) -> dict[str, Bounds]:
    """Where a hole of each face may be: its outer contour's box, or its length by its width."""
    found: dict[str, Bounds] = {}
    for contour in contours:
        sides = sides_of(contour) if contour.closed and contour.kind == "outer" else []
        if sides:
            box = box_of(sides)
            known = found.get(contour.face)
            found[contour.face] = known.with_other(box) if known else box
    for face in FACES:
        if header.across_mm(face):
            found.setdefault(face, Bounds(0.0, 0.0, header.length_mm, header.across_mm(face)))
    return found


def _placed(feature: PartFeature, box: Bounds | None, line: int, remarks: Remarks) -> PartFeature:
    """The feature, marked when its middle is not on the piece."""
    if box is None or box.holds(feature.x_mm, feature.y_mm):
        return feature
    where = f"x {feature.x_mm:g}, y {feature.y_mm:g}"
    text = f"{feature.feature} of {feature.size_mm:g} mm at {where} is {OUTSIDE}"
    remarks.note(line, f"{text}, {box.width_mm:g} x {box.height_mm:g} mm")
    return feature._replace(note="; ".join(filter(None, (OUTSIDE, feature.note))))


def _opening_features(
    contours: list[Contour], boxes: dict[str, Bounds], header: Header, remarks: Remarks
) -> Iterator[FoundFeature]:
    for contour in contours:
        if contour.kind == "inner":
            opening = opening_of(contour)
            if opening is None:
                text = f"{UNKNOWN}: inner contour of {len(contour.points)} points, cut it"
                remarks.note(contour.line, text)
                for line in contour.lines:
                    remarks.ledger.tell(line, fact("read.opening-unknown"))
            else:
                feature = _opening_feature(opening, contour.face, header)
                feature = _placed(feature, boxes.get(contour.face), contour.line, remarks)
                yield FoundFeature(feature, contour.line, contour.lines)


def _opening_feature(opening: Opening, face: str, header: Header) -> PartFeature:
    return PartFeature(
        feature=opening.feature,
        shape=opening.shape,
        size_mm=opening.size_mm,
        long_mm=opening.long_mm,
        thickness_mm=header.thickness_mm(face),
        face=face,
        x_mm=opening.middle.real,
        y_mm=opening.middle.imag,
        angle_deg=opening.angle_deg,
        note=opening.note,
        corner_radius_mm=opening.corner_radius_mm,
    )


def _edge_features(
    contours: list[Contour], header: Header, remarks: Remarks
) -> Iterator[FoundFeature]:
    for contour in contours:
        if contour.kind != "outer":
            continue
        found = edge_reading(contour)
        for text in found.remarks:
            _leave_cut(contour, fact("read.edge-not-read"), text, remarks)
        for line in contour.lines:
            if found.box is None:
                remarks.ledger.tell(line, fact("read.outline-not-read"))
            else:
                remarks.ledger.count(line)
        if found.box is not None:
            _compare_box(found.box, contour, header, remarks)
        for number, notch in enumerate(found.notches):
            if contour.face in _NOTCHED.get(header.profile, ()):
                key = (contour.line, "notch", number)
                remarks.ledger.meet(key, "cut", contour.line, notch.feature)
                feature = _notch_feature(notch, contour.face, header)
                yield FoundFeature(feature, contour.line, (key,))
            else:
                text = _cope(notch, contour.face, header)
                _leave_cut(contour, fact("read.cope"), text, remarks)


def _leave_cut(contour: Contour, why: Fact, text: str, remarks: Remarks) -> None:
    """Keep a cut into an outline that is not read as a feature, and why."""
    key = (contour.line, "cut", len(remarks.ledger))
    remarks.ledger.meet(key, "cut", contour.line)
    remarks.ledger.tell(key, why)
    remarks.note(contour.line, text)


def _compare_box(box: Bounds, contour: Contour, header: Header, remarks: Remarks) -> None:
    """A plate's outline must be as large as the header says."""
    off_mm = max(abs(box.width_mm - header.length_mm), abs(box.height_mm - header.height_mm))
    if header.profile == "B" and contour.face in ("v", "h") and off_mm > _SAME_SIZE_MM:
        text = f"the contour is {box.width_mm:g} x {box.height_mm:g} mm, the header says"
        remarks.note(contour.line, f"{text} {header.length_mm:g} x {header.height_mm:g} mm")


def _notch_feature(notch: EdgeNotch, face: str, header: Header) -> PartFeature:
    return PartFeature(
        feature=notch.feature,
        shape=notch.shape,
        size_mm=notch.size_mm,
        long_mm=None,
        thickness_mm=header.thickness_mm(face),
        face=face,
        x_mm=notch.at.real,
        y_mm=notch.at.imag,
        angle_deg=notch.angle_deg,
        depth_mm=notch.depth_mm,
        corner_radius_mm=notch.corner_radius_mm,
    )


def _cope(notch: EdgeNotch, face: str, header: Header) -> str:
    sizes = f"{notch.size_mm:g} x {notch.depth_mm:g} mm at x {notch.at.real:g}, y {notch.at.imag:g}"
    kind = f"{FACES[face]} of the {PROFILES[header.profile]}"
    return f"{notch.feature} {sizes} in the {kind} is not read as a notch: cope it"
