"""``crib site``, and where the asker of every command is."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from crib.desk.book.rights import require_right
from crib.errors import NotAllowed
from crib.stock.book.sites import stand_at
from crib.stock.engine.opening import open_crib
from tests.cli.asking import Window
from tests.demo_crib import demo_crib
from tests.shop import small_shop


@pytest.fixture
def shop(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Window:
    monkeypatch.setenv("COLUMNS", "80")
    small_shop(tmp_path / "shop.crib").close()
    return Window(tmp_path / "shop.crib", capsys)


@pytest.fixture
def company(shop: Window) -> Window:
    for name in ("North", "South"):
        assert shop.ask("site", "add", name).status == 0
    return shop


def test_sites_are_listed_with_what_stands_there_and_the_days(company: Window) -> None:
    assert company.ask("site", "days", "south", "North", "2").lines == [
        *("at North", "South - North: 2 days")
    ]
    company.ask("site", "rename", "South", "South yard", "--address", "1 Quay, Anytown")
    assert company.ask("site").lines == [
        "at North",
        "North: machines 2, drawers 4, pieces 5",
        "South yard: machines 0, drawers 0, pieces 0; 1 Quay, Anytown",
        "North - South yard: 2 days",
    ]


def test_one_site_is_spoken_of_no_more_than_none(shop: Window) -> None:
    before = [shop.ask(*words.split()).out for words in ("stock", "due", "show P-0137", "kit")]
    assert shop.ask("site").lines[0].startswith("one shop, no sites")
    shop.ask("site", "add", "North")
    after = [shop.ask(*words.split()).out for words in ("stock", "due", "show P-0137", "kit")]
    assert after == before


def test_where_somebody_is_goes_by_one_rule(
    company: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    company.ask("person", "Sue", "--site", "South")
    assert company.ask("due").lines[0] == "at North"
    assert company.ask("look", "P-0137", "--sharp", "--by", "sue").lines[0] == "at South"
    monkeypatch.setenv("CRIB_SITE", "South")
    assert company.ask("due").lines[0] == "at South"
    assert company.ask("due", "--site", "north").lines[0] == "at North"
    assert company.ask("due", "--site", "all").lines[0] == "at all 2 sites"


def test_who_acts_is_asked_for_the_site_where_nothing_tells_it(company: Window) -> None:
    with closing(open_crib(company.path)) as session, session.writing():
        session.run("UPDATE person SET site_id = NULL")
    assert company.ask("due").lines[0] == "at all 2 sites"
    said = company.ask("log", "P-0137", "5")
    assert said.status == 2
    assert "nobody said at which one you are" in said.err
    assert company.ask("person", "window", "--site", "South", "--update").status == 0
    assert company.ask("due").lines[0] == "at South"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("due --site West", "no site called 'West'; known: North, South"),
        ("log P-0137 5 --site all", "this is done at one site, and all were said"),
        ("site add ALL", "a site cannot be called ALL"),
        ("site add North", "one of the same name already"),
        ("site days North North 2", "North is no days from itself"),
        ("site days North South", "was not said"),
        ("rules log.oldest_days 9 --why x --by nights --only-at all", "no site called"),
    ],
)
def test_what_cannot_be_is_refused(company: Window, words: str, told: str) -> None:
    said = company.ask(*words.split())
    assert said.status in (1, 2)
    assert told in said.err


def test_a_site_said_in_one_shop_is_refused(shop: Window) -> None:
    said = shop.ask("due", "--site", "North")
    assert said.status == 2
    assert "this crib has no sites, and 'North' was said" in said.err
    assert "crib site add NAME" in said.err


def test_a_rule_of_one_site_holds_there_alone(company: Window) -> None:
    company.ask(*"rules log.oldest_days 9 --why daily --by nights --only-at South".split())
    own = company.ask("rules", "log.oldest_days", "--site", "South").out
    assert "log.oldest_days  9 days*" in own
    assert "nights, for South alone" in own
    assert "*" not in company.ask("rules", "log.oldest_days").lines[1]


def test_a_role_holds_at_one_site_alone(company: Window) -> None:
    company.ask(*"person nights --role foreman --may strokes --only-at South".split())
    assert "  at South; role foreman; may strokes" in company.ask("person").lines
    with closing(open_crib(company.path)) as session:
        stand_at(session, 1)
        require_right(session, "nights", "buy")
        stand_at(session, 2)
        with pytest.raises(NotAllowed, match=r"nights may not do that here \(buy\)"):
            require_right(session, "nights", "buy")


def test_a_key_at_another_site_is_another_request(company: Window) -> None:
    line = ["log", "P-0137", "5", "--key", "k1"]
    assert company.ask(*line).status == 0
    assert company.ask(*line, "--site", "South").status == 2


@pytest.mark.parametrize("metric", [False, True])
def test_a_demo_with_one_site_answers_as_one_with_none(
    metric: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    demo_crib(tmp_path / "shop.crib", metric).close()
    shop = Window(tmp_path / "shop.crib", capsys)
    hole = "hole 13/16 thru 3/8 A36" if not metric else "hole 22mm thru 10mm S275"
    lines = (
        *(
            f"find {hole} --no-want",
            f"find {hole} --no-want --json",
            "find vee 9mm thru 6mm --no-want",
        ),
        *("due", "due --json", "stock", "stock --json", "jobs --json", "kit --json", "kit late"),
        *("show P-0137 --json", "plan --json", "rules crib", "count L6 --json", "forecast --json"),
    )
    before = {line: shop.ask(*line.split()) for line in lines}
    assert shop.ask("site", "add", "North").status == 0
    for line, was in before.items():
        now = shop.ask(*line.split())
        assert (now.status, now.out, now.err) == (was.status, was.out, was.err), line
