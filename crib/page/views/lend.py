"""Take or bring back: into one's own hands, and home again with a touch."""

from __future__ import annotations

from crib.desk.kit.hand_out import HandOut, lend
from crib.desk.kit.hands import bring_back, in_hands
from crib.page.frame.amiss import about
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest


def hands(asked: PageRequest) -> Reply:
    """What I have, and a strip for what I take."""
    found = in_hands(asked.session, asked.by)
    own = [one.tag for one in found.pieces if not one.job]
    return Shown("lend", {"hands": found, "own": own}, found)


def take(asked: PageRequest) -> Reply:
    """Scanned tags go into my hands."""
    hand = HandOut(asked.by, asked["until"])
    with about("until" if asked["until"] else "tags"):
        done = lend(asked.session, asked["tags"].split(), hand, by=asked.by, now=asked.now)
    tags = ", ".join(one.tag for one in done.pieces)
    return Done("/lend", "lend.told.taken", {"by": asked.by, "tags": tags}, done)


def back(asked: PageRequest) -> Reply:
    """Each is back in its drawer."""
    tags = asked.every.get("tag", ())
    done = bring_back(asked.session, tags, asked["drawer"], by=asked.by, now=asked.now)
    told = ", ".join(f"{one.tag} → {one.place}" for one in done)
    return Done("/lend", "lend.told.back", {"tags": told}, {"pieces": done})


_TAKEN = (FormField("tags", needed=True), FormField("until"))
_BACK = (FormField("tag", needed=True, many=True), FormField("drawer"))
VIEWS = (
    View("/lend", hands, needs_person=True),
    View("/lend", take, "POST", _TAKEN, writes=True, needs_person=True, form=hands),
    View("/lend/back", back, "POST", _BACK, writes=True, needs_person=True, form=hands),
)
