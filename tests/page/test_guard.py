"""Closed to strangers: each table says who asks, how, and what the page answers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from starlette.routing import compile_path
from starlette.testclient import TestClient

from crib.desk.book.pairing import make_code, make_program, revoke
from crib.page.app import VIEWS, PageApp
from crib.page.frame.reply import View
from crib.page.guard.body_limit import MOST_BYTES
from crib.page.guard.gate import OPEN_PLACES
from crib.page.guard.pairing import COOKIE
from crib.stock.engine.opening import open_crib
from crib.stock.engine.session import Session
from tests.page.conftest import ORIGIN, OWN

LAN = "http://192.168.4.20:8321"
FAR = ("192.168.4.77", 50_000)
HOSTS = frozenset({"localhost", "127.0.0.1", "[::1]", "192.168.4.20", "crib.local"})

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:;"
    " connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self';"
    " base-uri 'none'; frame-ancestors 'none'"
)


def far_browser(crib: Path, base: str = LAN, **headers: str) -> TestClient:
    """A browser in the shop's network."""
    said = {"origin": base, "accept-language": "en", **headers}
    asgi = PageApp(crib, HOSTS).asgi()
    return TestClient(
        asgi,
        base_url=base,
        headers=said,
        client=FAR,
        follow_redirects=False,
        raise_server_exceptions=False,
    )


@pytest.fixture
def session(crib: Path) -> Iterator[Session]:
    with closing(open_crib(crib)) as opened:
        yield opened


@pytest.fixture
def stranger(crib: Path) -> Iterator[TestClient]:
    with far_browser(crib) as browser:
        yield browser


def paired(crib: Path, session: Session, *, look_only: bool = False) -> TestClient:
    """A browser that was let in."""
    browser = far_browser(crib)
    code = make_code(session, "Tablet 1", look_only=look_only).code
    answer = browser.post("/pair", data={"code": code, "then": "/jobs"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/jobs")
    return browser


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("localhost", 200),
        ("LOCALHOST:8321", 200),
        ("127.0.0.1:9", 200),
        ("[::1]:8321", 200),
        ("elsewhere.example", 421),
        ("localhost.elsewhere.example", 421),
        ("localhost.", 421),
        ("192.168.4.20.elsewhere.example", 421),
        ("", 421),
        ("[", 421),
        ("[::1", 421),
        ("@localhost", 421),
    ],
)
def test_the_page_answers_to_its_own_names_alone(page: TestClient, host: str, status: int) -> None:
    assert page.get("/", headers={"host": host}).status_code == status


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"origin": ORIGIN}, 303),
        ({"origin": "http://LOCALHOST"}, 303),
        ({"origin": "http://localhost:9"}, 403),
        ({"origin": "https://localhost"}, 403),
        ({"origin": "http://elsewhere.example"}, 403),
        ({"origin": "null"}, 403),
        ({"origin": ""}, 403),
        ({"origin": "http://["}, 403),
        ({"origin": "http://localhost, http://elsewhere.example"}, 403),
        ({"cookie": "crib_language=de"}, 403),
        ({}, 303),
        ({"sec-fetch-site": "same-origin"}, 303),
        ({"sec-fetch-site": "none", "cookie": "crib_language=de"}, 303),
        ({"sec-fetch-site": "same-site", "origin": ORIGIN}, 403),
        ({"sec-fetch-site": "cross-site", "origin": ORIGIN}, 403),
        ({"sec-fetch-site": "same-origin, none"}, 403),
        ({"sec-fetch-site": "Same-Origin"}, 403),
    ],
)
def test_a_post_comes_from_the_page_itself(
    crib: Path, headers: dict[str, str], status: int
) -> None:
    asgi = PageApp(crib).asgi()
    with TestClient(asgi, base_url=ORIGIN, client=OWN, follow_redirects=False) as bare:
        sent = bare.post("/who", data={"person": "window"}, headers=headers)
        assert sent.status_code == status


@pytest.mark.parametrize("site", ["cross-site", "none"])
def test_a_link_from_elsewhere_may_be_followed(page: TestClient, site: str) -> None:
    assert page.get("/", headers={"sec-fetch-site": site}).status_code == 200


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: f"{view.method} {view.path}")
def test_a_stranger_gets_nothing_of_the_crib(stranger: TestClient, view: View) -> None:
    method, path = view.method, view.path.replace("{", "").replace("}", "")
    answer = stranger.request(method, path, headers={"accept": "text/html"})
    asked = stranger.request(method, path, headers={"accept": "application/json"})
    if path.startswith(OPEN_PLACES):
        assert answer.status_code in (200, 404, 422)
    elif method == "GET":
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/pair?then=")
        assert asked.status_code == 401
    else:
        assert answer.status_code == asked.status_code == 401
    for tag in ("P-0137", "bench 2", "J-2680"):
        assert tag not in answer.text + asked.text


def test_the_places_open_to_anybody_are_those_that_say_so() -> None:
    for view in VIEWS:
        assert (view.open_to == "anybody") == view.path.startswith(OPEN_PLACES), view.path


@pytest.mark.parametrize(
    "header",
    [
        {"cookie": f"{COOKIE}=1.guess"},
        {"cookie": f"{COOKIE}="},
        {"cookie": f"__Host-{COOKIE}=1.guess"},
        {"cookie": f'{COOKIE}="1.x"; {COOKIE}=2'},
        {"cookie": "\xff=\xff;;;=;"},
        {"authorization": "Bearer 1.guess"},
        {"authorization": "Bearer"},
        {"authorization": "Basic d2luZG93Og=="},
        {"authorization": "Bearer " + "1" * 4000},
        {"x-forwarded-for": "127.0.0.1"},
        {"forwarded": "for=127.0.0.1;host=localhost"},
    ],
)
def test_what_a_stranger_shows_lets_nobody_in(crib: Path, header: dict[str, str]) -> None:
    with far_browser(crib) as browser:
        sent = [(name.encode(), value.encode("latin-1")) for name, value in header.items()]
        assert browser.get("/jobs", headers=sent).status_code == 303


def test_somebody_behind_this_machine_is_not_its_own_screen(crib: Path) -> None:
    asgi = PageApp(crib).asgi()
    with TestClient(asgi, base_url=ORIGIN, client=OWN, follow_redirects=False) as browser:
        assert browser.get("/jobs").status_code == 200
        for passed_on in ("forwarded", "via", "x-forwarded-for", "x-forwarded-host"):
            assert browser.get("/jobs", headers={passed_on: "x"}).status_code == 303


def test_a_device_is_let_in_by_its_code_and_shut_out_at_once(crib: Path, session: Session) -> None:
    browser = paired(crib, session)
    assert browser.get("/jobs").status_code == 200
    revoke(session, "Tablet 1")
    assert browser.get("/jobs").status_code == 303


@pytest.mark.parametrize(("base", "secure"), [(LAN, False), ("https://crib.local", True)])
def test_the_cookie_is_closed_to_scripts_and_other_sites(
    crib: Path, session: Session, base: str, secure: bool
) -> None:
    code = make_code(session, "").code
    with far_browser(crib, base) as browser:
        cookie = browser.post("/pair", data={"code": code}).headers["set-cookie"]
    name, _equals, rest = cookie.partition("=")
    assert name == (f"__Host-{COOKIE}" if secure else COOKIE)
    assert {"HttpOnly", "SameSite=Lax", "Path=/"} <= set(rest.split("; "))
    assert ("Secure" in rest.split("; ")) == secure
    assert "Domain" not in rest


def test_a_wrong_code_is_told_like_a_used_one(crib: Path, session: Session) -> None:
    with far_browser(crib) as browser:
        none = browser.post("/pair", data={"code": "12345678"})
        code = make_code(session, "").code
        wrong = browser.post("/pair", data={"code": f"{(int(code) + 1) % 10**8:08}"})
        assert browser.post("/pair", data={"code": code}).status_code == 303
        browser.cookies.clear()
        used = browser.post("/pair", data={"code": code})
        assert none.status_code == wrong.status_code == used.status_code == 422
        assert none.text == wrong.text == used.text


def test_a_guesser_is_stopped_long_before_he_has_guessed(
    stranger: TestClient, session: Session
) -> None:
    answers = [stranger.post("/pair", data={"code": "1"}) for _try in range(12)]
    assert [one.status_code for one in answers] == [422] * 10 + [429] * 2
    assert int(answers[-1].headers["retry-after"]) > 0


def test_a_stranger_who_asks_without_end_is_told_to_wait(stranger: TestClient) -> None:
    statuses = {stranger.get("/jobs").status_code for _ask in range(100)}
    assert statuses == {303, 429}


def test_a_device_that_may_look_looks_and_does_no_more(crib: Path, session: Session) -> None:
    with paired(crib, session, look_only=True) as browser:
        assert browser.get("/jobs").status_code == 200
        for view in VIEWS:
            if view.method == "POST" and not view.path.startswith(OPEN_PLACES):
                path = view.path.replace("{", "").replace("}", "")
                answer = browser.post(path, data={"key": "k-1"})
                assert (answer.status_code, view.path) == (403, view.path)
                assert "may only look" in answer.text


@pytest.mark.parametrize(
    ("with_cookie", "origin", "status"),
    [(False, None, 200), (False, "http://elsewhere.example", 200), (True, None, 403)],
)
def test_a_program_shows_its_token(
    crib: Path, session: Session, with_cookie: bool, origin: str | None, status: int
) -> None:
    token = make_program(session, "stock system").credential
    asgi = PageApp(crib, HOSTS).asgi()
    headers = {"authorization": f"Bearer {token}", "accept": "application/json"}
    headers |= {"origin": origin} if origin else {}
    headers |= {"cookie": "a=b"} if with_cookie else {}
    with TestClient(asgi, base_url=LAN, client=FAR, follow_redirects=False) as program:
        sent = program.post("/strokes/none", headers=headers)
        assert (sent.status_code == 403) == (status == 403)
        assert program.get("/jobs", headers=headers).status_code == 200


@pytest.mark.parametrize(
    "path",
    ["/%ff", "/piece/%C3", "/?phrase=%ff", "/who?then=%00", "/piece/%00", "/%0d%0ax: y", "/a%7f"],
)
def test_a_damaged_address_is_told_so(page: TestClient, path: str) -> None:
    assert page.get(path).status_code == 400


@pytest.mark.parametrize(
    ("body", "sort"),
    [
        (b"person=%ff", "application/x-www-form-urlencoded"),
        (b"person=a%00b", "application/x-www-form-urlencoded"),
        (b"x", "multipart/form-data"),
        (
            b"--b\r\nContent-Disposition: form-data\r\n\r\n\r\n--b--",
            "multipart/form-data; boundary=b",
        ),
    ],
)
def test_a_damaged_form_is_told_so(page: TestClient, body: bytes, sort: str) -> None:
    sent = page.post("/who", content=body, headers={"content-type": sort})
    assert sent.status_code == 400


def test_more_than_a_hand_types_is_not_taken(page: TestClient) -> None:
    big = b"then=" + b"x" * MOST_BYTES
    said = {"content-type": "application/x-www-form-urlencoded"}
    assert page.post("/who", content=big, headers=said).status_code == 413
    assert page.post("/who", content=iter([big]), headers=said).status_code == 413


@pytest.mark.parametrize("path", list(dict.fromkeys(view.path for view in VIEWS)))
def test_every_address_takes_its_own_methods_alone(page: TestClient, path: str) -> None:
    filled = path.replace("{", "").replace("}", "").replace(":path", "")
    own = {view.method for view in VIEWS if compile_path(view.path)[0].match(filled)}
    for method in ("GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "BREW"):
        answer = page.request(method, filled)
        assert (answer.status_code == 405) == (method not in own), method
        assert answer.status_code < 500
        if answer.status_code == 405:
            assert set(answer.headers["allow"].split(", ")) <= own | {"HEAD"}


ODD = [
    "",
    "x",
    "-1",
    "1e9",
    "²",
    "9" * 400,
    "<script>",
    "' OR 1=1 --",
    "\u202e",
    "{}",
    "%s",
    "../..",
]


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: f"{view.method} {view.path}")
def test_no_odd_value_is_a_fault(page: TestClient, view: View) -> None:
    names = [one.name for one in view.takes]
    path = view.path.replace("{", "").replace("}", "").replace(":path", "")
    for number, odd in enumerate(ODD):
        fields = dict.fromkeys(names, odd)
        if view.method == "GET":
            answer = page.get(path, params=fields)
        else:
            page.post("/who", data={"person": "window"})
            answer = page.post(path, data={**fields, "key": f"k-{number}"})
        assert answer.status_code < 500, (odd, answer.text)


def test_every_answer_carries_the_whole_policy(crib: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_all: object) -> None:
        raise ZeroDivisionError

    asgi = PageApp(crib).asgi()
    with TestClient(
        asgi, base_url=ORIGIN, client=OWN, follow_redirects=False, raise_server_exceptions=False
    ) as browser:
        answers = {
            200: browser.get("/"),
            303: browser.post("/who", data={"person": ""}, headers={"origin": ORIGIN}),
            400: browser.get("/%ff"),
            403: browser.post("/who", headers={"origin": "null"}),
            404: browser.get("/nowhere"),
            405: browser.put("/", headers={"origin": ORIGIN}),
            413: browser.post("/who", content=b"x" * (MOST_BYTES + 1)),
            421: browser.get("/", headers={"host": "elsewhere.example"}),
            422: browser.post("/pair", data={"code": "1"}),
        }
        static = browser.get("/static/page.css")
        monkeypatch.setattr("crib.page.app.fields_of", broken)
        answers[500] = browser.get("/")
    for status, answer in answers.items():
        assert answer.status_code == status
        assert answer.headers["cache-control"] == "no-store", status
    for answer in (*answers.values(), static):
        assert answer.headers.get_list("content-security-policy") == [POLICY]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert answer.headers["x-frame-options"] == "DENY"
    assert "Traceback" not in answers[500].text
    assert "ZeroDivision" not in answers[500].text
    assert "cache-control" not in static.headers
