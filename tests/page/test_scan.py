"""A scanned label, an address, a drawer, a photo: each leads to what it names, never elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from random import Random

import pytest
from PIL import Image
from starlette.testclient import TestClient

from crib.desk.shelf.scanned import ScannedCode, printed, scanned
from crib.page.frame.photo import TOO_LARGE, NotAPhoto, codes_in
from crib.page.guard.body_limit import MOST_PHOTO_BYTES
from crib.stock.book.label_codes import written_code
from crib.stock.engine.session import Session
from tests.page.conftest import opened_page
from tests.page.label_photos import Shot, photo_of, upside_down
from tests.shop import small_shop

ADDRESS = "http://192.168.1.20:8321"
CODES = (
    "P-0137",
    written_code(ADDRESS, "piece", "P-0140"),
    written_code("https://tool-crib.local:8321", "drawer", "A1"),
    "A4",
)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    yield made
    made.close()


@pytest.fixture
def at_window(shop: Session) -> Iterator[TestClient]:
    with opened_page(shop.path) as client:
        yield client


def sent(page: TestClient, photo: bytes, name: str = "label.jpg") -> tuple[int, str]:
    """The status of a photo, and where it leads or the page that it is."""
    answer = page.post("/scan/photo", files={"photo": (name, photo, "image/jpeg")})
    return answer.status_code, answer.headers.get("location", answer.text)


@pytest.mark.parametrize(
    ("code", "place"),
    [
        ("P-0137", "/piece/P-0137"),
        (" p137 ", "/piece/P-0137"),
        ("http://anywhere:1/piece/P-0137", "/piece/P-0137"),
        ("http://anywhere:1/drawer/a1", "/drawer/A1"),
        ("a 1", "/drawer/A1"),
        ("Ironworker 1 / punch", "/drawer/Ironworker%201%20%2F%20punch"),
    ],
)
def test_a_code_leads_to_what_it_names(at_window: TestClient, code: str, place: str) -> None:
    moved = at_window.get("/scan", params={"code": code})
    assert (moved.status_code, moved.headers["location"]) == (303, place)


@pytest.mark.parametrize(
    ("code", "near"),
    [
        ("P-0138", ("/piece/P-0137",)),
        ("0201", ("/piece/D-0201",)),
        ("A9", ("/drawer/A1", "/drawer/A2")),
        ("http://x/piece/A9", ()),
    ],
)
def test_a_misread_code_offers_what_comes_near(
    at_window: TestClient, code: str, near: tuple[str, ...]
) -> None:
    shown = at_window.get("/scan", params={"code": code})
    if shown.status_code == 303:
        assert shown.headers["location"] in near
        return
    assert shown.status_code == 404
    assert f'value="{code}"' in shown.text
    assert all(f'href="{place}"' in shown.text for place in near)


def test_a_number_of_several_tags_is_asked_back(shop: Session, at_window: TestClient) -> None:
    with shop.writing():
        shop.run("UPDATE piece SET tag = 'D-0137' WHERE tag = 'D-0202'")
    assert scanned(shop, "137").near_pieces == ("D-0137", "P-0137")
    shown = at_window.get("/scan", params={"code": "137"}).text
    assert 'href="/piece/D-0137"' in shown
    assert 'href="/piece/P-0137"' in shown


def test_what_was_scanned_stays_text(at_window: TestClient) -> None:
    shown = at_window.get("/scan", params={"code": "<script>alert(1)</script>"}).text
    assert "<script>alert" not in shown
    assert "&lt;script&gt;" in shown


def test_the_scanner_by_itself_in_two_languages(at_window: TestClient) -> None:
    assert "Read the photo" in at_window.get("/scan").text
    german = {"accept-language": "de"}
    asked = at_window.get("/scan", params={"code": "Z-9"}, headers=german)
    assert "kein Werkzeug und keine Schublade heißt Z-9" in asked.text
    assert "Foto lesen" in at_window.get("/scan", headers={"accept-language": "de"}).text


def _hard(seed: int) -> tuple[str, Shot]:
    random = Random(seed)
    shot = Shot(
        turned=random.uniform(0, 360),
        skewed=random.uniform(0, 0.25),
        blurred=random.uniform(0, 2.5),
        light=random.choice((0.3, 0.6, 1.0, 1.4)),
        grain=random.choice((0.0, 0.1, 0.2)),
        size=random.choice((0.4, 0.5, 0.6)),
    )
    return random.choice(CODES), shot


def test_hard_photos_are_read_and_none_wrongly() -> None:
    read = []
    for seed in range(30):
        code, shot = _hard(seed)
        found = codes_in(photo_of(code, shot, seed))
        assert found in ((code,), ()), shot
        read.append(bool(found))
    assert sum(read) >= 28


def test_photos_beyond_reading_are_never_read_wrongly() -> None:
    for seed in range(8):
        code, _shot = _hard(seed)
        shot = Shot(turned=40 * seed, skewed=0.2, blurred=3 + seed, light=0.15, grain=0.3, size=0.3)
        assert codes_in(photo_of(code, shot, seed)) in ((code,), ())


def test_a_photo_leads_to_its_tool(at_window: TestClient) -> None:
    photo = photo_of(CODES[1], Shot(turned=30, skewed=0.1, blurred=1.5, light=0.6))
    assert sent(at_window, photo) == (303, "/piece/P-0140")
    assert sent(at_window, photo_of("A1", Shot())) == (303, "/drawer/A1")


def test_a_photo_stored_mirrored_is_read_by_its_mark() -> None:
    assert codes_in(upside_down(photo_of("P-0137", Shot()))) == ("P-0137",)


@pytest.mark.parametrize("file_format", ["PNG", "WEBP"])
def test_other_formats_are_read_too(file_format: str) -> None:
    assert codes_in(photo_of("P-0137", Shot(), file_format=file_format)) == ("P-0137",)


def test_a_code_in_a_photo_is_taken_to_the_letter(shop: Session, at_window: TestClient) -> None:
    assert printed(shop, "p-0137") == ScannedCode("p-0137", "piece", "P-0137")
    assert printed(shop, "P-137") is None
    status, page = sent(at_window, photo_of("P-137", Shot()))
    assert status == 404
    assert "the code says P-137, which is no label of this crib" in page


def test_two_labels_in_one_photo_are_asked_back(at_window: TestClient) -> None:
    both = Image.new("L", (2400, 1200), 200)
    for number, code in enumerate(("P-0137", "D-0201")):
        both.paste(Image.open(BytesIO(photo_of(code, Shot()))).convert("L"), (1200 * number, 0))
    held = BytesIO()
    both.save(held, "PNG")
    status, page = sent(at_window, held.getvalue())
    assert status == 200
    assert 'href="/piece/P-0137"' in page
    assert 'href="/piece/D-0201"' in page


@pytest.mark.parametrize(
    ("photo", "words"),
    [
        (b"", "no photo came with it"),
        (b"not a photo", "this is no photo that can be read"),
        (photo_of("P-0137", Shot())[:2000], "can"),
        (photo_of("P-0137", Shot(blurred=60)), "no code can be read in the photo"),
    ],
)
def test_what_cannot_be_read_is_said_beside_the_photo(
    at_window: TestClient, photo: bytes, words: str
) -> None:
    status, page = sent(at_window, photo)
    assert status == 422
    assert 'id="photo-error"' in page
    assert words in page


def _claiming(width: int, height: int) -> bytes:
    """A small file that says it is a large picture."""
    held = BytesIO()
    Image.new("1", (width, height)).save(held, "PNG")
    return held.getvalue()


@pytest.mark.parametrize("side", [8_000, 20_000])
def test_a_picture_larger_than_a_cameras_is_not_opened(
    monkeypatch: pytest.MonkeyPatch, side: int
) -> None:
    photo = _claiming(side, side)
    assert len(photo) < 200_000
    monkeypatch.setattr(Image.Image, "load", lambda _self: pytest.fail("it was decoded"))
    with pytest.raises(NotAPhoto) as refused:
        codes_in(photo)
    assert refused.value.text == TOO_LARGE


def test_a_file_longer_than_a_photo_is_turned_away(at_window: TestClient) -> None:
    assert sent(at_window, b"x" * (MOST_PHOTO_BYTES + 1))[0] == 413


def test_nothing_is_fetched_for_a_photo(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("socket.socket", lambda *_a, **_k: pytest.fail("the network was asked"))
    assert codes_in(photo_of(written_code(ADDRESS, "piece", "P-0137"), Shot()))


def test_looking_writes_nothing(at_window: TestClient, shop: Session) -> None:
    before = shop.connection.execute("PRAGMA data_version").fetchone()[0]
    at_window.get("/scan", params={"code": "P-0138"})
    sent(at_window, photo_of("P-0137", Shot()))
    assert shop.connection.execute("PRAGMA data_version").fetchone()[0] == before
