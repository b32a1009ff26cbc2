"""The shop's settings: every default with its tag and meaning, and the shop's own changes to them.

Tags: ``J`` a default of our own, ``CP`` common practice, ``C`` a public chart, ``HB`` a handbook,
``STD`` a standard. Nobody should mistake a default for a rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite

from crib.errors import BadValue, UnknownName
from crib.spellings import plain_spelling
from crib.trade.common.published_tables import read_table
from crib.trade.metal.materials import CHANGEABLE, Material, find_material, with_changes
from crib.trade.shop.workdays import tidy_closed_days, tidy_work_days
from crib.units import System

# The last word of material.<NAME>.<word>, and the material's figure it sets.
_MATERIAL_WORDS = {
    "multiplier": "multiplier",
    "min_hole_ratio": "min_hole_ratio",
    "clearance_pct": "tool_life_clearance_pct",
    "wear_factor": "wear_factor",
}

# Limits that must stay in this order, whichever of them is changed.
_RISING = (
    ("clearance.refuse_below_pct", "clearance.tight_below_pct"),
    ("clearance.tight_below_pct", "clearance.wide_above_pct"),
    ("clearance.wide_above_pct", "clearance.refuse_above_pct"),
    ("punch.stress_ok_mpa", "punch.stress_refuse_mpa"),
    ("edge.refuse_t", "edge.prefer_t"),
    ("wear.plan", "wear.after_job"),
    ("wear.after_job", "wear.before_job"),
    ("wear.before_job", "wear.defer_to"),
    ("wear.defer_to", "wear.no_finish"),
    ("hit.chain_refuse", "hit.chain_ok"),
    ("hit.bridge_refuse", "hit.bridge_ok"),
    ("grind.typical_mm", "grind.most_once_mm"),
    ("grind.most_once_mm", "grind.most_total_mm"),
    ("grind.least_entry_mm", "grind.entry_new_mm"),
)

WITHDRAWN = {
    "force.bevel_credit": "no force is taken off for a bevelled face, which grinds and wears away",
}
"""Settings that cribs may still hold a value of, which nothing reads any more, and why."""

_LONGEST_TEXT = 60
_LONGEST_NAMES = 200


@dataclass(frozen=True, slots=True)
class Rule:
    """One setting as it stands, beside its default and where that came from."""

    key: str
    value: str
    default: str
    unit: str
    tag: str
    meaning: str


class Rules:
    """The settings in force: the defaults, with the shop's changes laid over them."""

    __slots__ = ("_changes",)

    def __init__(self, changes: Mapping[str, str]) -> None:
        self._changes = dict(changes)

    @classmethod
    def defaults(cls) -> Rules:
        """The settings as they ship."""
        return cls({})

    def with_changes(self, changes: Mapping[str, str]) -> Rules:
        """The same settings with some changed, each checked, and their order among each other."""
        merged = dict(self._changes)
        for key, value in changes.items():
            if key in WITHDRAWN:
                continue
            canonical = canonical_key(key)
            merged[canonical] = check_rule(canonical, value)
        rules = Rules(merged)
        rules._require_rising()
        return rules

    def text(self, key: str) -> str:
        """A setting as text."""
        canonical = canonical_key(key)
        return self._changes.get(canonical, _default(canonical))

    @property
    def system(self) -> System:
        """The crib's own unit: of bare numbers, and what sizes are written in."""
        return "mm" if self.text("crib.unit") == "mm" else "in"

    def number(self, key: str) -> float:
        """A setting as a number; refused for a setting that is a word."""
        text = self.text(key)
        try:
            return float(text)
        except ValueError:
            message = f"{key}={text} is not a number"
            raise BadValue(message) from None

    def names(self, key: str) -> tuple[str, ...]:
        """A setting that is a list, one by one."""
        return tuple(name for name in self.text(key).split(", ") if name)

    def material(self, name: str) -> Material:
        """A material with this shop's own figures for it laid over the table's."""
        material = find_material(name)
        changes = {
            field: float(self._changes[f"material.{material.name}.{word}"])
            for word, field in _MATERIAL_WORDS.items()
            if f"material.{material.name}.{word}" in self._changes
        }
        return with_changes(material, **changes)

    def rows(self) -> tuple[Rule, ...]:
        """Every setting, then the shop's own figures for materials."""
        own = sorted(key for key in self._changes if key not in _table())
        return tuple(self._rule(key) for key in (*_table(), *own))

    def _rule(self, key: str) -> Rule:
        row = _row(key)
        return Rule(key, self.text(key), row["value"], row["unit"], row["tag"], _meaning(row))

    def _require_rising(self) -> None:
        for lower, upper in _RISING:
            if self.number(lower) > self.number(upper):
                message = f"{lower}={self.text(lower)} must be at most {upper}={self.text(upper)}"
                raise BadValue(message, way_out="change both together")


def check_rule(key: str, value: str) -> str:
    """The value of a setting in its one way of writing, refused when it cannot stand.

    Source: table shop_rules.csv, where each setting names its own.

    Args:
        key: Which setting, such as ``force.caution_load`` [text].
        value: What a person wrote for it, in the setting's own unit [text].

    Returns:
        The value as it is kept [text].

    Raises:
        UnknownName: When there is no such setting, or no such material.
        BadValue: When the value is not of its kind, or outside its limits or choices.

    Example:
        >>> check_rule("force.caution_load", "0.90"), check_rule("crib.force_unit", "us tons")
        ('0.9', 'US tons')
    """
    row = _row(canonical_key(key))
    kind = row["kind"]
    if kind == "choice":
        return _choice(key, value, row["choices"].split("|"))
    if kind == "material":
        return find_material(value).name
    if kind == "currency":
        return _currency(key, value)
    if kind == "text":
        return _short_text(key, value)
    if kind == "names":
        return _names(key, value)
    if kind == "work_days":
        return tidy_work_days(_names(key, value))
    if kind == "closed_days":
        return tidy_closed_days(_names(key, value))
    return _number_text(row, key, value)


def canonical_key(key: str) -> str:
    """The one way of writing a setting's key; a material is called by its first name in it.

    Source: table shop_rules.csv, where each setting names its own.

    Args:
        key: The key as a person writes it [text].

    Returns:
        The key as it is kept [text].

    Raises:
        UnknownName: When there is no such setting, or no such material.

    Example:
        >>> canonical_key("material.s355jr.multiplier")
        'material.S355.multiplier'
    """
    if key in _table():
        return key
    plain = key.strip()
    if plain_spelling(plain) in _table():
        return plain_spelling(plain)
    head, _, rest = plain.partition(".")
    name, _, word = rest.rpartition(".")
    if head.lower() != "material" or not name or word.lower() not in _MATERIAL_WORDS:
        raise _unknown_key(key)
    return f"material.{find_material(name).name}.{word.lower()}"


def _unknown_key(key: str) -> UnknownName:
    from difflib import get_close_matches  # only an error needs it

    if key in WITHDRAWN:
        message = f"setting {key} was withdrawn: {WITHDRAWN[key]}"
        return UnknownName(message, way_out="nothing has to be set instead")
    own = [f"material.<NAME>.{word}" for word in _MATERIAL_WORDS]
    near = get_close_matches(key.lower(), [*_table(), *own], n=3, cutoff=0.5)
    nearest = f"; nearest: {', '.join(near)}" if near else ""
    message = f"unknown setting {key!r}{nearest}"
    return UnknownName(message, way_out="list the settings to see every key")


@lru_cache(maxsize=1)
def _table() -> dict[str, dict[str, str]]:
    return {row["key"]: row for row in read_table("shop_rules")}


def _default(key: str) -> str:
    return _row(key)["value"]


def _row(key: str) -> dict[str, str]:
    return _table().get(key) or _material_row(key)


def _material_row(key: str) -> dict[str, str]:
    name, _, word = key.removeprefix("material.").rpartition(".")
    material, field = find_material(name), _MATERIAL_WORDS[word]
    least, most = CHANGEABLE[field]
    figure: float | None = getattr(material, field)
    return {
        "key": key,
        "value": "" if figure is None else _written(figure),
        "unit": "%" if word == "clearance_pct" else "-",
        "tag": "J",
        "meaning": f"This shop's own {word.replace('_', ' ')} for {material.name}",
        "least": _written(least),
        "most": _written(most),
        "kind": "number",
        "source": "shop rule",
    }


def _meaning(row: dict[str, str]) -> str:
    return f"{row['meaning']} ({row['source']})"


def _choice(key: str, value: str, choices: list[str]) -> str:
    wanted = "".join(value.split()).casefold()
    for choice in choices:
        if "".join(choice.split()).casefold() == wanted:
            return choice
    known = ", ".join(choice or '""' for choice in choices)
    message = f"{key}={value} must be one of: {known}"
    raise BadValue(message)


def _currency(key: str, value: str) -> str:
    letters = value.strip().upper()
    if len(letters) == 3 and letters.isascii() and letters.isalpha():
        return letters
    message = f"{key}={value} must be three letters, such as USD"
    raise BadValue(message)


def _short_text(key: str, value: str) -> str:
    text = " ".join(value.split())
    if text and len(text) <= _LONGEST_TEXT and text.isprintable():
        return text
    message = f"{key}={value!r} must be 1 to {_LONGEST_TEXT} letters on one line"
    raise BadValue(message)


def _names(key: str, value: str) -> str:
    """Names with a comma between them; none at all is a list too."""
    names = [" ".join(name.split()) for name in value.split(",")]
    text = ", ".join(name for name in names if name)
    if len(text) <= _LONGEST_NAMES and text.isprintable():
        return text
    message = f"{key} must be at most {_LONGEST_NAMES} letters on one line, names with commas"
    raise BadValue(message, way_out="a pattern such as *dim* stands for many names")


def _number_text(row: dict[str, str], key: str, value: str) -> str:
    number = _as_number(key, value)
    least, most = float(row["least"]), float(row["most"])
    if not least <= number <= most:
        message = f"{key}={_written(number)} must be {_written(least)} to {_written(most)}"
        raise BadValue(message)
    if row["kind"] == "whole" and number != int(number):
        message = f"{key}={_written(number)} must be a whole number"
        raise BadValue(message)
    return _written(number)


def _as_number(key: str, value: str) -> float:
    try:
        number = float(value.strip())
    except ValueError:
        number = float("nan")
    if isfinite(number):
        return number
    message = f"{key}={value} is not a number"
    raise BadValue(message, way_out="write it with a decimal point, without a unit")


def _written(number: float) -> str:
    return format(number, ".12g")
