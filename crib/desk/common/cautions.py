"""The cautions, in our own words: three lines for every answer, and the whole page.

They advise. The machine maker's manual, the guards, the local codes and licensed practice decide.
"""

from __future__ import annotations

from dataclasses import dataclass

SHORT: tuple[str, ...] = (
    "Lock the power out to change tools; eye protection on, hands clear.",
    "Inch down without stock first: even gap all round, nut tight, key seated.",
    "The maker's manual, the guards, local codes and licensed practice decide.",
)
"""What stands under every pick."""


@dataclass(frozen=True, slots=True)
class CautionSection:
    """One heading of the page and its lines."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """The cautions as they are read or printed."""

    short: tuple[str, ...]
    sections: tuple[CautionSection, ...]


PAGE: tuple[CautionSection, ...] = (
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
            "Clean the seats. A die with chips under it sits crooked.",
            "The die opening must be bigger than the punch on every side. There is no exception.",
        ),
    ),
    CautionSection(
        "Before the first stroke",
        (
            "Inch down without stock: an even gap all round, the nut tight, the key seated, the "
            "die clean and flat. A shaped punch must line up with its die.",
            "Set the stripper gap only as big as the stock needs to slide.",
            "Look at the edges: a crack, a chip or a mushroomed head takes the piece out of use.",
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
            "short. Drops tip off a shear.",
            "Never put fingers under a stripper or a hold-down.",
            "Two people at one machine: one task, and one of them gives the signal.",
            "Notched and bent stock springs up; pickets and saddles turn in the hand and come out "
            "sharp.",
            "At a shear set the hold-down; cut no hardened bar, wire rope or stacked pieces.",
        ),
    ),
    CautionSection(
        "Material",
        (
            "Unknown plate: find the certificate, or have it tested, before punching it.",
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
    CautionSection(
        "Grinding",
        (
            "Wheel guard on, rest close, the right wheel for the steel, eye protection on.",
            "Keep the edge cool; a blue edge is a soft one or a cracked one.",
            "Do not breathe the dust of coated tools. Measure the length afterwards and enter it.",
        ),
    ),
    CautionSection(
        "When it goes wrong",
        (
            "Jammed tool: stop, isolate, fetch the lead hand. No pry bar under load, no hammer on "
            "hardened tooling.",
            "Tired or alone: leave it for tomorrow.",
        ),
    ),
)
"""The whole page."""


def read_cautions() -> Page:
    """The cautions page."""
    return Page(SHORT, PAGE)
