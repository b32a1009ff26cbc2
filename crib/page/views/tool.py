"""Which tool? Asked by pictures and keys, one thing after the other, or as a phrase."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from urllib.parse import urlencode

from crib.desk.answer.phrase_choices import check_place, every_grade, form_called, place_choices
from crib.errors import AskBack, BadPhrase
from crib.features.common.phrase_form import PhraseForm
from crib.page.frame.amiss import about
from crib.page.frame.reply import FormField, GoTo, Reply, Shown, View
from crib.page.frame.request import PageRequest
from crib.page.views.asked_work import address_of
from crib.stock.book.settings import shop_rules

SHAPES = (
    *("hole", "bolt", "slot", "square", "rectangle", "hexagon"),
    *("notch", "corner", "vee", "cut-flat", "cut-angle", "cut-channel"),
    *("cut-round", "cut-square", "cut-tube", "saddle-pipe", "saddle-tube", "bend", "point"),
)
"""The shapes as they are shown: what is asked most comes first."""
KEYS = {
    "in": ("7", "8", "9", "/", "4", "5", "6", "-", "1", "2", "3", ".", "0", "back"),
    "mm": ("7", "8", "9", ",", "4", "5", "6", "0", "1", "2", "3", "back"),
}
_CARRIED = ("quantity", "per_part", "job", "code", "exc")
_FEW = 6


def tool(asked: PageRequest) -> Reply:
    """The shapes; of the shape that was chosen the next place; at last the answer."""
    if not asked["shape"]:
        return Shown("tool", {"shapes": [(one, _step(asked, {"shape": one})) for one in SHAPES]})
    form, _kind = form_called(asked["shape"])
    said = _said(asked, form)
    slot = form.open_slot(said)
    if slot and asked["press"] == "go" and asked["typed"]:
        with about("typed"):
            check_place(asked.session, slot, asked["typed"])
        said[slot] = asked["typed"]
        return GoTo(_step(asked, said))
    if not slot:
        more = {name: asked[name] for name in _CARRIED if asked[name]}
        return GoTo(f"/tool/answer?{urlencode({'phrase': form.phrase(said)} | more)}")
    return _next_place(asked, form, slot, said)


def tool_again(asked: PageRequest) -> Reply:
    """The same place with what was typed, to be put right."""
    form, _kind = form_called(asked["shape"])
    said = _said(asked, form)
    return _next_place(asked, form, form.open_slot(said), said)


def phrase_again(asked: PageRequest) -> Reply:
    """A phrase that cannot be read, kept in its field, with what it may mean."""
    return Shown("phrase_again", {"readings": list(_readings(asked))})


def _readings(asked: PageRequest) -> Iterator[tuple[str, str]]:
    """What a phrase may mean, each with its address; of many where they differ."""
    error = asked.amiss.error if asked.amiss else None
    if not (isinstance(error, AskBack) and isinstance(error, BadPhrase)):
        return
    behind = len(error.text) - error.end
    for one in error.readings:
        few = len(error.readings) <= _FEW
        words = one if few else one[error.start : len(one) - behind]
        yield words, address_of(asked, "/tool/answer", phrase=one)


def _next_place(asked: PageRequest, form: PhraseForm, slot: str, said: Mapping[str, str]) -> Shown:
    choices = place_choices(asked.session, form.name, slot, said)
    system = shop_rules(asked.session).system
    carried = {name: asked[name] for name in ("shape", *_CARRIED) if asked[name]}
    values = {
        "shape": form.name,
        "slot": slot,
        "chosen": said,
        "back": _step(asked, dict(list(said.items())[:-1])) if said else "/tool",
        "choices": choices,
        "offered": [(one.text, _step(asked, {**said, slot: one.word})) for one in choices],
        "hidden": {**carried, **said},
        "keys": KEYS[system],
        "unit": system,
        "typed": _typed(asked),
    }
    own = {one.word for one in choices}
    grades = every_grade(asked.session) if slot == "material" else ()
    return Shown("tool_step", values | {"grades": [one for one in grades if one not in own]})


def _said(asked: PageRequest, form: PhraseForm) -> dict[str, str]:
    return {slot: asked[slot] for slot in form.slots if asked[slot]}


def _typed(asked: PageRequest) -> str:
    """What stands in the field after a key of the page was pressed."""
    typed, key = asked["typed"], asked["press"]
    if key == "back":
        return typed[:-1]
    return typed + key if key in KEYS["in"] + KEYS["mm"] else typed


def _step(asked: PageRequest, said: Mapping[str, str]) -> str:
    carried = {name: asked[name] for name in ("shape", *_CARRIED) if asked[name]}
    return f"/tool?{urlencode({**carried, **said})}"


_TAKES = tuple(FormField(name) for name in ("shape", "typed", "press", *_CARRIED))
VIEWS = (View("/tool", tool, takes=_TAKES, form=tool_again),)
