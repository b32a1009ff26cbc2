"""What ``crib serve`` says of devices, and ``crib person`` of a PIN, without a server."""

from __future__ import annotations

import io
import json
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from crib.cli.screens.serve_screen import announce
from crib.desk.book.pairing import NewCode
from crib.page.serve import Serving
from tests.browser.serving import served
from tests.cli.asking import Window
from tests.demo_crib import demo_crib


@pytest.fixture
def window(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Window:
    demo_crib(tmp_path / "demo.crib").close()
    return Window(tmp_path / "demo.crib", capsys)


def test_a_token_is_told_once_and_shut_out_by_its_name(window: Window) -> None:
    told = window.ask("serve", "--token", "board", "--look-only", "--json")
    credential = json.loads(told.out)["credential"]
    listed = window.ask("serve", "--devices")
    assert "board; program; may only look" in listed.out
    assert credential not in listed.out
    assert "board is shut out" in window.ask("serve", "--revoke", "board").out
    again = window.ask("serve", "--revoke", "board")
    assert again.status == 2
    assert "no device is called 'board'" in again.err


def test_a_code_for_a_page_that_runs_names_where_that_is(window: Window, tmp_path: Path) -> None:
    with served(tmp_path / "demo.crib", "--host-name", "crib.shop") as address:
        port = urlsplit(address).port
        told = window.ask("serve", "--pair", "--name", "Tablet 1")
    assert f"http://crib.shop:{port}/pair?code=" in told.out
    assert "the page runs there already" in told.out
    assert "8321" not in told.out
    assert not list(tmp_path.glob("*running*"))


@pytest.mark.parametrize("as_json", [True, False])
def test_the_code_and_where_it_is_typed_are_told(
    capsys: pytest.CaptureFixture[str], as_json: bool
) -> None:
    announce(Serving("192.168.4.20"), NewCode("12345678", "", "look"), as_json=as_json)
    out = capsys.readouterr().out
    if as_json:
        assert json.loads(out)["pairing"] == {"code": "12345678", "name": "", "may": "look"}
        return
    assert "code 1234 5678, for one device that may only look" in out
    assert "http://192.168.4.20:8321/pair?code=12345678" in out
    assert "whoever is in this network reaches it" in out


def test_a_taken_port_is_told_before_anything_else(window: Window) -> None:
    import socket

    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = str(taken.getsockname()[1])
        said = window.ask("serve", "--port", port)
        assert (said.status, said.out) == (2, "")
        assert f"cannot listen at 127.0.0.1 port {port}" in said.err
        assert "that port is taken" in window.ask("serve", "--port", port, "--pair").out


@pytest.mark.parametrize(
    ("typed", "status", "said"),
    [
        ("4711\n4711\n", 0, "the page asks for the PIN of bench 2"),
        ("4711\n4712\n", 2, "the two are not the same"),
        ("47\n47\n", 2, "a PIN is 4 to 12 digits"),
        ("", 2, "a PIN is 4 to 12 digits"),
    ],
)
def test_a_pin_is_typed_twice(
    window: Window, monkeypatch: pytest.MonkeyPatch, typed: str, status: int, said: str
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    told = window.ask("person", "bench 2", "--pin")
    assert told.status == status
    assert said in told.out + told.err
    assert "4711" not in told.out + told.err
    assert "asks for no PIN" in window.ask("person", "bench 2", "--no-pin").out
