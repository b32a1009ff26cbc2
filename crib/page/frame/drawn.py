"""A page as HTML: the templates, and what all of them may use."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from crib.acts import Fact, Said
from crib.page.frame.acts import act_words
from crib.page.texts import Texts
from crib.wording.sayings import worded


@cache
def templates() -> Environment:
    """The page's templates; a name that a view did not give is an error, not an empty place."""
    made = Environment(
        loader=PackageLoader("crib.page", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        lstrip_blocks=True,
        auto_reload=bool(os.environ.get("CRIB_DEBUG")),
    )
    made.filters["svg"] = _svg
    return made


def drawn(template: str, texts: Texts, values: Mapping[str, Any]) -> str:
    """A template of ``views`` with its values in a language."""

    def said(what: Said | Fact) -> str:
        return worded_in(what, texts)

    page = templates().get_template(f"views/{template}.html")
    return page.render(t=texts, said=said, language=texts.language, **values)


def worded_in(what: Said | Fact, texts: Texts) -> str:
    """What the rooms below say, in words, with its acts as the page names them."""
    return worded(what, lambda one: act_words(one, texts))


def _svg(picture: bytes | str) -> Markup:
    """A picture of our own making, to stand in the page as it is."""
    text = picture.decode() if isinstance(picture, bytes) else picture
    return Markup(text[text.index("<svg") :])
