"""Which die for this hole? The answer in pieces and station, or what to order and do meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from crib.acts import Act, Said, act, saying
from crib.desk.answer.asked import Asked, read_asked
from crib.desk.answer.lookup import KnownShop, Lookup, rests_on
from crib.desk.answer.other_copies import with_copies
from crib.desk.answer.rank import Candidate, deciding_line, few_of_each, ranked
from crib.desk.answer.search import Search
from crib.desk.common.cautions import short_cautions, station_work
from crib.errors import CribBusy, CribError, DiskFault, UnknownName
from crib.features.common.ask import Answers, Ask, Workaround
from crib.features.common.case import Case, Circumstances
from crib.features.common.findings import Finding, refusals
from crib.features.common.hole_method import REAM, HoleMethod
from crib.stock.book.people import person_id
from crib.stock.engine.session import Session
from crib.trade.metal.hole_method import known_codes
from crib.trade.shop.shop_rules import Rule
from crib.units import System

if TYPE_CHECKING:
    from crib.desk.answer.near_misses import FunnelStep
    from crib.desk.answer.order_lines import OrderLine

# What the shelf serves at once, the answer that is waited for, does without hit plans, misses,
# orders and records: the functions below that need these load them.

Made = TypeVar("Made")

_NOT_REMEMBERED = "not remembered as missed before it is asked as it was understood"


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to one ask; ``understood`` is the phrase as it was read, where typed otherwise.

    ``rests_on`` are the rules that the shop changed and that were looked at for it.
    """

    answers: Answers[Ask, Case]
    phrase: str
    picks: tuple[Candidate, ...]
    decided_by: str
    near_misses: tuple[Candidate, ...]
    order: tuple[OrderLine, ...]
    workarounds: tuple[Workaround, ...]
    funnel: tuple[FunnelStep, ...]
    notes: tuple[Said, ...]
    against_order: tuple[Finding, ...] = ()
    chosen: tuple[str, ...] = ()
    method: HoleMethod | None = None
    drawing: str = ""
    log: Act | None = None
    system: System = "in"
    understood: str = ""
    rests_on: tuple[Rule, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What the work that was asked for wants to be minded."""
        return short_cautions([station_work(self.ask.work)])

    @property
    def why_no_order(self) -> str:
        """What refuses the best of the tools that could be ordered; empty where one serves."""
        return "; ".join(finding.text for finding in self.against_order)

    @property
    def ask(self) -> Ask:
        """What was asked for."""
        return self.answers.ask

    @property
    def facts(self) -> Circumstances:
        """What was known around it."""
        return self.answers.case.facts

    def to_try(self, way: Workaround) -> Act | None:
        """How a workaround is asked, under all that was known around this ask; None where not."""
        return ask_again(way.ask, self.facts) if way.ask else None

    @property
    def to_ream(self) -> bool:
        """Whether it is a hole that is punched under size and reamed."""
        return bool(self.ask.as_json().get("to_ream"))

    @property
    def serves(self) -> bool:
        """Whether the crib serves the ask."""
        return bool(self.picks)

    def as_json(self) -> dict[str, Any]:
        """The answer for programs; the keys are kept stable."""
        return {
            "ask": {
                **self.ask.as_json(),
                "phrase": self.phrase,
                "understood_as": self.understood or None,
                "quantity": self.facts.quantity,
                "to_ream": self.to_ream,
            },
            "picks": [pick_json(pick) for pick in self.picks],
            "chosen": list(self.chosen),
            "decided_by": self.decided_by,
            "method": self.method.as_json() if self.method else None,
            "drawing": self.drawing or None,
            "log": self.log,
            "near_misses": [pick_json(miss) for miss in self.near_misses],
            "order": [line.as_json() for line in self.order],
            "why_no_order": self.why_no_order,
            "workarounds": [
                {"text": one.said(), "ask": one.ask, "act": self.to_try(one)}
                for one in self.workarounds
            ],
            "funnel": [step.as_json() for step in self.funnel],
            "notes": list(self.notes),
            "changed_rules": [rule.as_json() for rule in self.rests_on],
            "cautions": list(self.cautions),
        }


def ask_again(phrase: str, facts: Circumstances) -> Act:
    """The act that asks a phrase in the same circumstances; what is not known is left out."""
    every = act(
        "find",
        phrase=phrase,
        quantity=facts.quantity if facts.quantity > 1 else None,
        per_part=facts.per_part if facts.per_part > 1 else None,
        job=facts.job,
        finish=facts.appearance == "finish",
        rough=facts.appearance == "rough",
        dry=facts.dry,
        code=facts.code,
        exc=facts.execution_class,
        dynamic=facts.dynamic,
        cert_yield_mpa=facts.cert_yield_mpa,
        cert_tensile_mpa=facts.cert_tensile_mpa,
    )
    return Act(every.name, tuple((name, figure) for name, figure in every.figures if figure))


def find(
    session: Session,
    phrase: str,
    facts: Circumstances | None = None,
    *,
    chosen: Sequence[str] = (),
    record: bool = True,
    by: str = "",
    now: datetime | None = None,
    known: KnownShop | None = None,
) -> Found:
    """Answer a feature phrase from the crib.

    ``chosen`` names pieces that must be used; they are judged whatever comes of it. An ask that
    nothing serves is remembered as a want, once for each ask and job, unless ``record`` is False.
    ``known`` is the shop as it is, where the asker has read it already.

    Raises:
        BadPhrase: for a phrase that cannot be read, pointing at the word.
        AskBack: where the answer depends on an edition that was not named.
        UnknownName: for a chosen tag that is not in the crib, or a name that nobody has.
    """
    lookup = Lookup(session, known=known)
    _check(session, facts or Circumstances(), by)
    asked = read_asked(phrase, lookup.reading, facts or Circumstances())
    search = lookup.search(asked.ask, asked.facts)
    found = _with_chosen(search, chosen) if chosen else _looked_up(search)
    found = replace(found, understood=asked.understood, rests_on=rests_on(search))
    if chosen or not record:
        return found
    found = _method_kept(session, found, by, now)
    if found.serves or asked.free:
        return found if found.serves else replace(found, notes=(*found.notes, _NOT_REMEMBERED))
    return _remembered(session, found, by, now)


def find_each(lookup: Lookup, asks: Sequence[tuple[str, Circumstances]]) -> list[Found | CribError]:
    """The answers to many phrases from one shelf, in their order; reads only.

    An error stands in the place of an answer where one cannot be given.
    """
    from crib.desk.answer.together import look_ahead

    searches = [_or_error(partial(_search_for, lookup, *ask)) for ask in asks]
    look_ahead([one[0] for one in searches if not isinstance(one, CribError)], misses=True)
    return [
        one if isinstance(one, CribError) else _or_error(partial(_answer_to, *one))
        for one in searches
    ]


def _search_for(lookup: Lookup, phrase: str, facts: Circumstances) -> tuple[Search, Asked]:
    asked = read_asked(phrase, lookup.reading, facts)
    return lookup.search(asked.ask, asked.facts), asked


def _answer_to(search: Search, asked: Asked) -> Found:
    found = replace(_looked_up(search), understood=asked.understood)
    return replace(found, rests_on=rests_on(search))


def _or_error(make: Callable[[], Made]) -> Made | CribError:
    try:
        return make()
    except CribError as error:
        return error


def _looked_up(search: Search) -> Found:
    """The answer from the shelf: a pick, else a plan of hits, else what is missing."""
    search.few = True
    picks = few_of_each(ranked(search.candidates(), search.case))
    if search.shelf.beyond is not None and not any(not pick.cautions for pick in picks):
        return _with_other_sites(search, picks)
    if picks:
        return _answer(search, picks)
    return _not_at_once(search)


def _with_other_sites(search: Search, picks: Sequence[Candidate]) -> Found:
    """The answer where the own site serves with a caution, in several hits, or not at all."""
    from crib.desk.answer.other_sites import from_elsewhere, to_send
    from crib.desk.answer.several_hits import line_to_log, planned

    far, here = from_elsewhere(search), search.shelf.session.at
    if not far or here is None:
        return _answer(search, picks) if picks else _not_at_once(search)
    hits = () if picks else few_of_each(ranked(planned(search)[0], search.case))
    found = _answer(search, few_of_each([*picks, *hits, *far]))
    sends = [saying("to have them here: ", one) for one in to_send(far[0], here.name)]
    log = line_to_log(hits[0], search.case) if hits else None
    return replace(found, log=log, notes=(*found.notes, *sends))


def _not_at_once(search: Search) -> Found:
    """The answer where no single set of tools serves: a plan of hits, else what is missing."""
    from crib.desk.answer.near_misses import all_misses
    from crib.desk.answer.order_lines import what_to_order
    from crib.desk.answer.several_hits import line_to_log, planned

    in_several_hits, refused = planned(search)
    if in_several_hits:
        picks = few_of_each(ranked(in_several_hits, search.case))
        return replace(_answer(search, picks), log=line_to_log(picks[0], search.case))
    misses = [*refused, *all_misses(search)]
    order, why_not = what_to_order(search)
    return replace(_missing(search, misses, order), against_order=why_not)


def _check(session: Session, facts: Circumstances, by: str) -> None:
    """Refuse at once what would only be missed later: a name, or a code that is not known."""
    if by:
        person_id(session, by)
    known = known_codes()
    if facts.code and _plain(facts.code) not in {_plain(code) for code in known}:
        message = f"unknown code {facts.code!r}; known: {', '.join(known)}"
        raise UnknownName(message, way_out="leave it out, or name one of these")


def _plain(name: str) -> str:
    return "".join(name.split()).casefold()


def pick_json(one: Candidate) -> dict[str, Any]:
    """A pick or near miss for programs; a figure that is not known is null."""
    figures: Mapping[str, float] = one.figures
    return {
        "machine": one.tooling.station.machine,
        "station": one.tooling.station.name,
        "hits": int(figures.get("hits", 1)),
        **dict.fromkeys(("rated_kn", "load", "clearance_mm")),
        **{name: round(value, 6) for name, value in figures.items() if name != "hits"},
        "pieces": [
            {
                "role": role,
                "tag": tool.tag,
                "place": tool.place,
                **({"site": tool.site, "days": tool.site_days} if tool.site else {}),
                "edge": tool.edge_state,
                "key_angles_deg": list(tool.key_angles),
                "kind": tool.kind,
                "wear_each": round(one.severities[role], 4),
            }
            for role, tool in one.tooling.tools.items()
        ],
        "adapters": [
            {"tag": adapter.tag, "place": adapter.place}
            for adapter in one.tooling.adapters.values()
        ],
        "findings": [finding.as_json() for finding in one.findings],
        **({"plan": one.plan.as_json()} if one.plan else {}),
    }


def _with_chosen(search: Search, chosen: Sequence[str]) -> Found:
    every = search.chosen(chosen)
    good = [one for one in every if not refusals(one.findings)]
    picks = few_of_each(ranked(good, search.case))
    if picks:
        return _answer(search, picks)
    misses = sorted(every, key=lambda one: len(refusals(one.findings)))
    found = _missing(search, misses)
    return replace(found, chosen=tuple(chosen), funnel=(), workarounds=tuple(_instead(search)))


def _instead(search: Search) -> Iterator[Workaround]:
    """What serves, or that nothing does, when the pieces that a person named do not."""
    others = ranked(search.candidates(), search.case)
    phrase = search.ask.phrase(search.case.say.system)
    if others:
        tags = " and ".join(tool.tag for tool in others[0].tools)
        text = f"take {tags} in {others[0].tooling.station.label}"
        yield Workaround(text, phrase, 1)
    else:
        text = "nothing else in the crib serves either: ask without naming a piece"
        yield Workaround(text, phrase, 1)


def _missing(search: Search, misses: Sequence[Candidate], order: Sequence[OrderLine] = ()) -> Found:
    """The answer where nothing serves: what comes nearest, what to order, what to do meanwhile."""
    from crib.desk.answer.meanwhile import workarounds
    from crib.desk.answer.near_misses import funnel, misses_to_show

    return replace(
        _answer(search, ()),
        near_misses=tuple(misses_to_show(misses)),
        order=tuple(order),
        workarounds=tuple(workarounds(search, misses, order)),
        funnel=tuple(funnel(search, misses)),
    )


def _answer(search: Search, picks: Sequence[Candidate]) -> Found:
    case = search.case
    return Found(
        answers=search.answers,
        phrase=search.ask.phrase(case.say.system),
        picks=tuple(with_copies(search, picks)),
        decided_by=deciding_line(picks[0], picks[1], case) if len(picks) > 1 else "",
        near_misses=(),
        order=(),
        workarounds=(),
        funnel=(),
        notes=tuple(_notes(search)),
        method=search.answers.method(picks[0].tooling if picks else None),
        system=case.say.system,
    )


def _notes(search: Search) -> list[str]:
    notes = []
    plate = search.case.plate
    if plate.assumed:
        notes.append(f"no material named: taken as {plate.material.name} (rule material.default)")
    if not search.stations:
        notes.append(f"no station in service does {search.ask.work.replace('_', ' ')} work")
    return notes


def _method_kept(session: Session, found: Found, by: str, now: datetime | None) -> Found:
    """The answer with its hole method on record, where a code rules a job's hole."""
    if found.method is None or not found.facts.job:
        return found
    from crib.desk.answer.hole_methods import record_method

    job = found.facts.job
    try:
        record_method(session, hole_phrase(found), found.method, job=job, by=by, now=now)
    except (CribBusy, DiskFault) as error:
        return replace(found, notes=(*found.notes, f"method not recorded: {error.message}"))
    return replace(found, notes=(*found.notes, f"hole method on record for job {job}"))


def hole_phrase(found: Found) -> str:
    """The finished hole, however it is made: of one hole one word stands."""
    return found.phrase.removesuffix(f" {REAM}")


def _remembered(session: Session, found: Found, by: str, now: datetime | None) -> Found:
    """The answer with a want behind it; an answer never waits in vain for the want."""
    from crib.desk.answer.wants import remember_want

    facts = found.facts
    try:
        want = remember_want(
            session,
            found.phrase,
            job=facts.job,
            quantity=facts.quantity,
            missing=found.order,
            by=by,
            now=now,
        )
    except (CribBusy, DiskFault) as error:
        return replace(found, notes=(*found.notes, f"not remembered: {error.message}"))
    times = "" if want.times_asked == 1 else f", asked {want.times_asked} times so far"
    job = f" for job {facts.job}" if facts.job else ""
    what = "remembered for buying" if found.order else "remembered as missed"
    strike = act("wants.strike", wants=(str(want.id),), why=None)
    note = saying(f"{what}{job}{times}; not meant? ", strike)
    return replace(found, notes=(*found.notes, note))
