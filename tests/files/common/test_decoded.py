"""Files in the code pages that shops write."""

from __future__ import annotations

import pytest

from crib.files.common.decoded import decoded


@pytest.mark.parametrize("page", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_text_is_read_in_its_code_page(page: str) -> None:
    assert decoded("Stück 22 °".encode(page)) == "Stück 22 °"


def test_what_no_code_page_has_becomes_a_mark() -> None:
    assert decoded(b"a\x81b") == "a\ufffdb"
