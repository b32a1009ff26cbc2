"""What a label's code says is read back as it was meant, whatever the crib is reached by."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crib.errors import UnknownName
from crib.stock.book.label_codes import CodeSort, LabelCode, read_code, written_code
from crib.stock.engine.session import Session
from crib.stock.queries.pieces import piece_by_tag, pieces_named
from crib.stock.queries.places import place_by_name
from tests.shop import small_shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Session]:
    made = small_shop(tmp_path / "shop.crib")
    yield made
    made.close()


ADDRESSES = ("http://crib.local:8321", "https://192.168.1.20", "http://[fe80::1]:80")
NAMES = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1).filter(
    lambda text: text == text.strip() and read_code(text).sort == ""
)


@given(st.sampled_from(ADDRESSES), st.sampled_from(["piece", "drawer"]), NAMES)
def test_a_code_is_read_back_as_it_was_written(address: str, sort: CodeSort, name: str) -> None:
    assert read_code(written_code(address, sort, name)) == LabelCode(sort, name)
    assert read_code(written_code("", sort, name)) == LabelCode("", name)


@pytest.mark.parametrize(
    "text",
    [
        "ftp://crib/piece/P-1",
        "http://crib/other/P-1",
        "http://crib/piece/",
        "see http://crib/piece/P-1",
        "http:///piece/P-1",
    ],
)
def test_what_is_no_address_of_a_page_stays_as_it_is(text: str) -> None:
    assert read_code(text) == LabelCode("", text)


def test_a_scanner_may_type_an_address_wherever_a_tag_is_meant(shop: Session) -> None:
    at = "HTTP://Old-Host:8321/piece/p-0137"
    assert piece_by_tag(shop, at).tag == "P-0137"
    assert [one.tag for one in pieces_named(shop, [at, "p", "0137", at])] == ["P-0137"]
    assert place_by_name(shop, "http://crib/drawer/a%201").name == "A1"


def test_a_drawers_label_is_no_tag(shop: Session) -> None:
    with pytest.raises(UnknownName, match="no piece with tag"):
        piece_by_tag(shop, "http://crib.local:8321/drawer/P-0137")
