"""The words of the cautions: what holds for everybody, and each work's own dangers.

They advise. The machine maker's manual, the guards, the local codes and licensed practice decide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Work = Literal[
    "punch",
    "shear",
    "notch",
    "bend",
    "saddle",
    "picket",
    "attachment",
    "grind",
    "turn",
    "broken",
    "heavy",
    "hand_out",
]
"""What somebody does with hands on the tooling; each has its own dangers."""

DEFER = "The maker's manual, the guards, local codes and licensed practice decide."
LOCK = "Lock the power out to change tools; eye protection on, hands clear."


@dataclass(frozen=True, slots=True)
class CautionSection:
    """One heading of the page and its lines."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WorkCautions:
    """One work's cautions: two lines for a screen, all of them for paper.

    ``checks`` are ticked off where a station is set up for it.
    """

    first: str
    own: str
    section: CautionSection
    checks: tuple[str, ...] = ("Tooling clean, bolted and square; guards on",)


GENERAL: tuple[CautionSection, ...] = (
    CautionSection(
        "Who decides",
        (
            "This program advises. The machine maker's manual and plate, the guards, local codes "
            "and trained, licensed people decide, and win where they say otherwise.",
            "Use no tool that cannot be identified, and no capacity that nobody has written down.",
            "Nothing here is a reason to defeat a guard, a stripper or an interlock, or to stand "
            "on the wrong side of the machine to see better.",
        ),
    ),
    CautionSection(
        "Changing tools",
        (
            "Isolate and lock the power by the shop's lockout procedure before a tool is changed, "
            "with the ram parked (United States: 29 CFR 1910.147).",
            "Inch or hand-step the machine only where its manual allows it.",
            "Keep the point of operation guarded (United States: 29 CFR 1910.212; for this type "
            "of machine see also ANSI B11.5).",
        ),
    ),
    CautionSection(
        "Eyes, ears and where to stand",
        (
            "Eye protection always. Hardened tools break like glass when overloaded, struck, or "
            "burnt in grinding.",
            "Stand aside for the first hit, and for every hit near the station's limit.",
            "Wear hearing protection. Keep gloves away from the point of operation if the shop's "
            "rule says so.",
        ),
    ),
    CautionSection(
        "Hands and stock",
        (
            "Hold long stock from outside the pinch zone; support what hangs over and what is "
            "short.",
            "Two people at one machine: one task, and one of them gives the signal.",
            "Tired or alone: leave it for tomorrow.",
        ),
    ),
    CautionSection(
        "Material",
        (
            "Unknown plate: find the certificate, or have it tested, before it is worked.",
            "High-strength or wear-resistant plate: stop and ask.",
            "Zinc-coated stock leaves sharp burrs; chips are hot; oil mist belongs out of the "
            "lungs.",
        ),
    ),
    CautionSection(
        "Codes",
        (
            "Holes in bridges, cranes, lifting gear and parts that carry fatigue or earthquake "
            "loads need the engineer's written method.",
            "Read the edition of the code that the contract names.",
            "A lifting attachment made in the shop is never rated by this program.",
        ),
    ),
)
"""What holds for every work."""

WORKS: dict[Work, WorkCautions] = {
    "punch": WorkCautions(
        LOCK,
        "Inch down empty: even gap, nut tight, key in; tighten again after some hits.",
        CautionSection(
            "Punching",
            (
                "Clean the seats. A die with chips under it sits crooked.",
                "The die opening must be bigger than the punch on every side. There is no "
                "exception.",
                "Inch down without stock: an even gap all round, the nut tight, the key seated, "
                "the die clean and flat. A shaped punch must line up with its die.",
                "Retighten the nut after the first hits: it settles.",
                "Set the stripper gap only as big as the stock needs to slide; never put fingers "
                "under the stripper.",
                "No hit half off the edge, none over a hole that is there or on a slug: the punch "
                "is pushed aside into the die.",
                "The stock lies flat on the die all round; a long piece that hangs down cocks the "
                "punch and sticks in the stripper.",
                "Look at the edges: a crack, a chip or a mushroomed head takes the piece out of "
                "use.",
            ),
        ),
        (
            "Jog slowly through with no stock: even gap all round",
            "Nut tight, key seated, die clean and flat, no chips under it",
            "Nut tightened again after the first hits",
        ),
    ),
    "shear": WorkCautions(
        "Lock the power out to change blades; eye protection on, hands clear.",
        "Hold-down set to the stock, no hand under it; the drop tips and falls.",
        CautionSection(
            "Shearing",
            (
                "Set the hold-down to the stock before every change of thickness; never put "
                "fingers under it.",
                "The drop tips and falls: support it, and keep feet and hands from under it.",
                "Cut no hardened bar, wire rope or stacked pieces; reinforcing bar only where the "
                "machine is rated for it.",
                "Blade bolts to their torque, the gap by the manual; a heavy burr means a dull "
                "edge or a wide gap.",
                "A short end tips up under the blade: do not hold it by hand.",
            ),
        ),
        (
            "Hold-down set to the stock, blade bolts tight, gap by the manual",
            "Guards on, the drop supported",
        ),
    ),
    "notch": WorkCautions(
        LOCK,
        "Inch the set down without stock: even all round; stops set; stock springs.",
        CautionSection(
            "Notching",
            (
                "Bolt the set down and inch it through without stock: an even gap on every "
                "cutting side.",
                "Set the stops and hold the stock flat: it springs up when the cut lets go.",
                "No cut with one side of the set alone unless it is made for that: it is pushed "
                "aside.",
                "The piece that falls out is sharp; clear it with a tool, with the machine "
                "stopped.",
            ),
        ),
        (
            "Set clean and bolted, jogged through with no stock: even gap",
            "Stops set, guards on",
        ),
    ),
    "bend": WorkCautions(
        LOCK,
        "Back gauge set, fingers out of the vee; the free end whips up: stand clear.",
        CautionSection(
            "Bending",
            (
                "Set the back gauge and try it on a waste piece; hold the stock from the side that "
                "the gauge does not close in.",
                "The free end whips up as it bends: stand clear of it, face and hands out of its "
                "way.",
                "Fingers never between stock and vee. Punch and vee lined up and bolted before the "
                "first stroke.",
                "Bend across the grain where it can be; a crack on the outside means stop.",
            ),
        ),
        (
            "Punch and vee lined up and bolted, back gauge set",
            "Guards on, room for the end that whips up",
        ),
    ),
    "saddle": WorkCautions(
        LOCK,
        "Held fast against the stop: the tube turns; its cut end is razor sharp.",
        CautionSection(
            "Saddles on pipe and tube",
            (
                "Hold the tube in its nest against the stop: it turns in the hand.",
                "Turn it for the second hit by a scribed line; take the hand off before the "
                "stroke.",
                "The end comes out razor sharp: deburr it before it is passed on.",
            ),
        ),
    ),
    "picket": WorkCautions(
        LOCK,
        "Solid mild bar of the set's size, against the stop; points come out sharp.",
        CautionSection(
            "Pickets",
            (
                "Solid mild bar of the set's own size only; no zinc-coated stock.",
                "Hold the bar against the stop: it turns in the hand between the hits.",
                "The point comes out sharp.",
            ),
        ),
    ),
    "attachment": WorkCautions(
        LOCK,
        "Bolt the attachment down by its maker's sheet; inch through without stock.",
        CautionSection(
            "Attachments",
            (
                "Bolt it down by its maker's sheet, and inch it through without stock.",
                "Its own plate counts where it is less than the station's.",
            ),
        ),
    ),
    "grind": WorkCautions(
        "Wheel sound, guarded, rest close and still; face and eye protection on.",
        "The right wheel, cool: a blue edge is lost; do not breathe the dust.",
        CautionSection(
            "Grinding",
            (
                "Check the wheel before it turns: no crack, it rings clear when tapped, its speed "
                "is above the spindle's, the right one for hardened steel (United States: 29 CFR "
                "1910.215).",
                "Wheel guard on, work rest within 1/8 in (3 mm) of the wheel and moved only while "
                "it stands still; face and eye protection on.",
                "Stand beside the wheel, not before it, while it comes up to speed.",
                "Keep the edge cool; a blue edge is a soft one or a cracked one.",
                "Clamp the piece or hold it in a block; never in a gloved hand.",
                "Do not breathe the dust of coated tools. Measure the length afterwards and enter "
                "it.",
            ),
        ),
    ),
    "turn": WorkCautions(
        "Lock the power out; block ram and blade before a bolt is loosened.",
        "Edges cut: cover them, lift with help; torque the bolts, set the gap again.",
        CautionSection(
            "Turning and changing blades",
            (
                "Lock the power out and block the ram: a blade falls when its bolts are out.",
                "The edges cut: cover them, lift long blades with help.",
                "Clean the seats, torque the bolts, set the gap by the manual all along, and turn "
                "the machine over slowly before the first cut.",
            ),
        ),
    ),
    "broken": WorkCautions(
        "STOP: isolate, clear the fragments; count them: none stays in work or die.",
        "No hammer, no pry bar on hardened tooling; fetch the lead hand for a jam.",
        CautionSection(
            "When it goes wrong",
            (
                "Broken or jammed tool: stop, isolate, fetch the lead hand. No pry bar under load, "
                "no hammer on hardened tooling.",
                "Count the fragments: none may stay in the work, the stripper or the die. Eye "
                "protection stays on while they are cleared.",
                "What stood with it is looked at before it is used again.",
            ),
        ),
    ),
    "heavy": WorkCautions(
        "Heavy: two people or a lift; edges away from the body, feet clear.",
        "Set it down on wood, and do not leave it standing on its edge.",
        CautionSection(
            "Heavy dies, sets and blades",
            (
                "Lift with two people or a lift, edges away from the body, feet clear.",
                "Set it down on wood; do not leave it standing on its edge or over the rim of a "
                "shelf.",
                "Carry a pair apart: halves slide on each other and pinch.",
            ),
        ),
    ),
    "hand_out": WorkCautions(
        "Look at each tool as it goes out: a chipped or cracked one stays here.",
        "Carry edges covered, heavy dies and sets with two people or a lift.",
        CautionSection(
            "Handing out",
            (
                "Look at each tool before it goes out: a chipped or cracked one stays here.",
                "Carry edges covered, the punch with its own die; heavy dies and sets with two "
                "people or a lift.",
                "The plate on the machine and its maker's manual decide what may be mounted.",
            ),
        ),
    ),
}
"""Each work's own cautions; none speaks of another's tools."""
