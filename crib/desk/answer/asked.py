"""What was asked for at the window: the feature, how many; and as what."""

from __future__ import annotations

from dataclasses import dataclass, replace

from crib.features.common.ask import Ask
from crib.features.common.case import Circumstances
from crib.features.common.phrase import Words
from crib.features.common.plate_phrase import Reading
from crib.features.common.spoken import take_out
from crib.features.common.which_unit import ask_which_unit
from crib.features.registry import feature_called, phrase_example, read_ask
from crib.spellings import same_words
from crib.units import read_count

COUNT = "for"


@dataclass(frozen=True, slots=True)
class Asked:
    """A phrase as it was read.

    ``understood`` is the whole of it in the crib's own words, empty where it was typed so;
    ``free`` says that a word was left out, or the order was another, so that it is shown back
    before anything is remembered of it.
    """

    ask: Ask
    facts: Circumstances
    understood: str = ""
    free: bool = False


def read_asked(phrase: str, reading: Reading, facts: Circumstances, *, typed: bool = True) -> Asked:
    """Read a phrase, with the ``for COUNT`` that may stand anywhere behind its front.

    Of a phrase that a person typed, what nobody can mean is asked back.

    Raises:
        UnsurePhrase: for a phrase that may mean several things, with each of them.
        BadPhrase: pointing at the word that cannot be read.
    """
    words = Words(phrase)
    counted = take_out(words, COUNT, is_behind=_is_kind, size=True)
    ask = read_ask(words, reading)
    example = phrase_example(ask)
    count = 0 if counted is None else _count(counted, ask, f"{example} {COUNT} 300")
    words.must_be_done(example)
    if typed:
        ask_which_unit(words, ask, reading)
    said = ask.phrase(reading.system)
    if count:
        facts, said = replace(facts, quantity=count), f"{said} {COUNT} {count}"
    facts = replace(facts, job=" ".join(facts.job.split()))
    return Asked(ask, facts, "" if same_words(said, phrase.replace("−", "-")) else said, words.free)


def _is_kind(word: str) -> bool:
    return feature_called(word) is not None


def _count(words: Words, ask: Ask, example: str) -> int:
    words.take()
    start, end = words.place()
    count = int(words.take_quantity(read_count, "how many holes", example))
    words.take_if("holes", "hole", ask.feature, f"{ask.feature}s", f"{ask.feature}es")
    words.must_be_done(example)
    if count < 1:
        raise words.wrong(start, end, "a job has at least one hole", example)
    return count
