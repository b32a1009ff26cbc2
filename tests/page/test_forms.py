"""A form that was sent with something wrong in it is drawn again: all that was typed, and what."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from crib.acts import act, saying
from crib.errors import AskBack, BadInput, BadRows, BadValue, RowFault
from crib.page.frame.amiss import about, amiss
from crib.page.frame.answering import answered
from crib.page.frame.drawn import templates
from crib.page.frame.reply import Done, FormField, Reply, Shown, View
from crib.page.frame.request import PageRequest, Visitor
from crib.page.texts import texts_of
from crib.stock.engine.opening import open_crib

TYPED = {"length": '<b>2.6"', "why": "worn"}


def _asked(crib: Path) -> PageRequest:
    every = {name: (text,) for name, text in TYPED.items()}
    who = Visitor("own-screen", "")
    now = datetime(2026, 3, 31, 12).astimezone()
    asked = PageRequest(
        open_crib(crib), "/x", TYPED, every, texts_of("en"), who, now, date(2026, 3, 31)
    )
    return replace(asked, key="form-a")


def _form(asked: PageRequest) -> Reply:
    return Shown("refused", {"error": BadValue("drawn again"), "is_asked": False})


def _view(error: BadInput) -> View:
    def act_of(_asked: PageRequest) -> Reply:
        with about("length"):
            raise error
        return Done("/", "front.title")

    fields = (FormField("length"), FormField("why"))
    return View("/x", act_of, "POST", takes=fields, writes=True, form=_form)


def test_the_form_comes_again_with_the_error_on_top(crib: Path) -> None:
    said = answered(_view(BadValue("2.6 is <too> long")), _asked(crib), to_program=False)
    page = said.body.decode()
    assert said.status == 422
    assert "<title>Not right:" in page
    assert '<a class="target" lang="en" href="#length">2.6 is &lt;too&gt; long</a>' in page
    assert "drawn again" in page


def test_a_doubt_has_a_page_with_its_answer_and_carries_what_was_typed(crib: Path) -> None:
    doubt = AskBack("much came off", confirm="many-strokes")
    said = answered(_view(doubt), _asked(crib), to_program=False)
    assert said.status == 409
    assert b'name="sure" value="many-strokes"' in said.body
    assert b'name="length" value="&lt;b&gt;2.6&#34;"' in said.body


def test_a_program_is_told_the_error_and_no_form(crib: Path) -> None:
    said = answered(_view(BadValue("too long")), _asked(crib), to_program=True)
    assert (said.status, said.media_type) == (422, "application/json")


@pytest.mark.parametrize(
    ("error", "field"),
    [
        (BadValue("no reason", way_out=saying("say it with ", act("say.why"))), "why"),
        (BadValue("no such field", way_out=saying("say it with ", act("say.seat"))), "length"),
        (AskBack("which", choose="unit"), "unit"),
        (BadValue("out of its range"), "length"),
    ],
)
def test_an_error_stands_at_the_field_it_asks_for(error: BadInput, field: str) -> None:
    with pytest.raises(BadInput), about("length"):
        raise error
    assert list(amiss(error, ("length", "why", "unit")).beside) == [field]


def test_the_faults_of_lines_stand_each_at_its_own_field() -> None:
    faults = [RowFault("list", 2, "two", "too long"), RowFault("list", 3, "", "the whole")]
    error = BadRows("2 faults", faults)
    with pytest.raises(BadRows), about("one", "two"):
        raise error
    assert amiss(error, ()).beside == {"two": "too long"}


def test_a_field_keeps_what_was_typed_and_names_its_error(crib: Path) -> None:
    asked = _asked(crib)
    wrong = replace(
        asked, amiss=amiss(BadValue("too long", way_out=saying(act("say.length"))), ("length",))
    )
    source = (
        "{% from 'common/forms.html' import field, choice with context %}"
        "{{ field('length', 'Length', hint='as measured') }}"
        "{{ choice('why', 'Why', [('worn', 'it is worn'), ('odd', 'it is odd')]) }}"
    )
    drawn = templates().from_string(source).render(asked=wrong, t=asked.texts, said=str)
    assert 'value="&lt;b&gt;2.6&#34;"' in drawn
    assert 'aria-describedby="length-hint length-error" aria-invalid="true"' in drawn
    assert (
        '<p class="error" id="length-error">Not right: <span lang="en">too long</span></p>' in drawn
    )
    assert 'value="worn" checked' in drawn
    assert drawn.count("aria-invalid") == 1
