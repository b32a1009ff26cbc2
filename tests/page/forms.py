"""What a form on a page would send, read from its HTML as a browser reads it."""

from __future__ import annotations

from html.parser import HTMLParser


class _Forms(HTMLParser):
    """Collects each form's address and its fields as they stand."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, dict[str, list[str]]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append((found.get("action", ""), {}))
        elif not self.forms:
            return
        elif tag == "input" and "name" in found:
            ticked = found.get("type") not in ("checkbox", "radio") or "checked" in found
            if ticked:
                self._fields.setdefault(found["name"], []).append(found.get("value", ""))

    @property
    def _fields(self) -> dict[str, list[str]]:
        return self.forms[-1][1]


def form_on(html: str, action: str) -> dict[str, list[str]]:
    """The fields of the first form that is sent to an address.

    Raises:
        KeyError: where the page has no such form.
    """
    reader = _Forms()
    reader.feed(html)
    for place, fields in reader.forms:
        if place == action:
            return fields
    raise KeyError(action)
