"""No answer takes a tool whose corners are not those that were asked for."""

from __future__ import annotations

from pathlib import Path
from random import Random

from crib.desk.answer.find import Found, find
from crib.stock.engine.session import Session
from tests.demo_crib import demo_crib

ASKS = (
    "square 1/2{} thru 1/4 A36",
    "rectangle 3/8 x 3/4{} thru 1/4 A36",
    "rectangle 1 x 2{} thru 1/4 A36",
    "notch 4 x 3{} thru 3/16 A36",
    "notch 7 x 3{} thru 3/16 A36",
    "corner 2 x 2{} thru 1/4 A36",
    "vee 2{} thru 1/4 A36",
)
RADII = {"": 0.0, " radius 1mm": 1.0, " radius 3.2mm": 3.2}


def shelf_of(session: Session, chance: Random) -> dict[str, float]:
    """Corners of some radius to a third of the tools that have any, and each tag's radius."""
    with session.writing():
        for (kind_id,) in session.rows("SELECT id FROM kind WHERE role IN ('punch', 'die', 'set')"):
            radius_mm = chance.choice((None, None, 1.0, 3.2, 3.5))
            session.run("UPDATE kind SET corner_radius_mm = ? WHERE id = ?", (radius_mm, kind_id))
    found = session.rows(
        "SELECT piece.tag, coalesce(kind.corner_radius_mm, 0), kind.shape FROM piece"
        " JOIN kind ON kind.id = piece.kind_id"
    )
    return {tag: 0.0 if shape in ("round", "obround") else radius for tag, radius, shape in found}


def cutting_tags(found: Found) -> set[str]:
    """The punches and sets of every pick, on its own or with hits of several."""
    return {
        tool.tag
        for pick in found.picks
        for tool in pick.tools
        if tool.role in ("punch", "set") and tool.shape not in ("round", "obround")
    }


def test_no_pick_has_other_corners_than_were_asked(tmp_path: Path) -> None:
    session, served = demo_crib(tmp_path / "c.crib"), dict.fromkeys(RADII, 0)
    for seed in range(2):
        radius_of = shelf_of(session, Random(seed))
        for ask in ASKS:
            for said, radius_mm in RADII.items():
                tags = cutting_tags(find(session, ask.format(said), record=False))
                off = {tag: radius_of[tag] for tag in tags if abs(radius_of[tag] - radius_mm) > 0.4}
                assert not off, (seed, ask.format(said), off)
                served[said] += bool(tags)
    # A law that nothing is served under could not fail.
    assert all(served.values()), served


def test_a_shelf_of_sharp_tools_serves_no_rounded_opening_and_says_what_would(
    tmp_path: Path,
) -> None:
    session = demo_crib(tmp_path / "c.crib")
    for ask in (ask for ask in ASKS if "7 x 3" not in ask):
        found = find(session, ask.format(" radius 3.2mm"), record=False)
        assert found.picks == ()
        ways = " ".join(way.text for way in found.workarounds)
        assert found.order, ask
        assert all(line.spec.corner_radius_mm for line in found.order if line.spec.role != "die")
        assert "drill" in ways
