"""The shop's settings: every default with its tag and meaning, and the shop's own changes to them.

Tags: ``J`` a default of our own, ``CP`` common practice, ``C`` a public chart, ``HB`` a handbook,
``STD`` a standard. Nobody should mistake a default for a rule.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from crib.errors import BadValue, UnknownName
from crib.spellings import plain_spelling
from crib.trade.common.published_tables import read_table
from crib.trade.metal.materials import Material, change_limits, find_material, with_changes
from crib.trade.shop.rule_values import kept_value, nearest_value, written
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

_OWN_NAMES = "crib."
"""How the keys begin that say what a crib is called and writes in."""

WITHDRAWN = {
    "force.bevel_credit": "no force is taken off for a bevelled face, which grinds and wears away",
}
"""Settings that cribs may still hold a value of, which nothing reads any more, and why."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One setting as it stands, beside its default and where that came from."""

    key: str
    value: str
    default: str
    unit: str
    tag: str
    meaning: str
    least: str = ""
    most: str = ""

    def as_json(self) -> dict[str, str]:
        """What it is set to, beside its default, for programs."""
        said = {"key": self.key, "value": self.value, "default": self.default}
        return {**said, "unit": self.unit}


class Rules:
    """The settings in force: the defaults, with the shop's changes laid over them.

    It remembers which of the changes were looked at: what an answer rests on.
    """

    __slots__ = ("_changes", "_looked_at", "_read", "own")

    def __init__(self, changes: Mapping[str, str], own: Sequence[Material] = ()) -> None:
        self._changes = dict(changes)
        self.own = tuple(own)
        """The materials that the shop added."""
        self._looked_at: set[str] = set()
        self._read: dict[str, str] = {}

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
            merged[canonical] = check_rule(canonical, value, self.own)
        rules = Rules(merged, self.own)
        rules._require_rising()
        return rules

    def speaking(self, system: System) -> Rules:
        """The same settings, written in this unit; what is looked at is remembered here too."""
        if system == self.system:
            return self
        rules = self.with_changes({"crib.unit": system})
        rules._looked_at = self._looked_at
        return rules

    @classmethod
    def of_crib(cls, changes: Mapping[str, str], own: Sequence[Material] = ()) -> Rules:
        """The settings of a crib: a number beyond today's limits counts as the nearest within.

        Where that crosses two that must stay in order, both go back to their defaults.
        """
        kept = {}
        for key, value in changes.items():
            if key in WITHDRAWN:
                continue
            canonical = canonical_key(key)
            kept[canonical] = nearest_value(_row(canonical), value) or value
        while crossed := cls(kept)._crossed():
            kept = {key: value for key, value in kept.items() if key not in crossed}
        return cls({}, own).with_changes(kept)

    def watched(self) -> Rules:
        """The same settings, of which nothing was looked at yet."""
        return Rules(self._changes, self.own)

    @property
    def looked_at(self) -> frozenset[str]:
        """The keys of the changes that were looked at.

        How the crib is called and writes its units decides nothing and is not among them.
        """
        return frozenset(self._looked_at)

    def changed_for(self, name: str) -> frozenset[str]:
        """The keys of the shop's own figures for a material."""
        return frozenset(key for key in self._changes if key.startswith(f"material.{name}."))

    def changed_among(self, keys: Collection[str]) -> tuple[Rule, ...]:
        """Those of some settings that are not at their default, in the table's order."""
        every = (*_table(), *self._own_keys())
        rows = (self._rule(key) for key in every if key in self._changes and key in keys)
        return tuple(row for row in rows if row.value != row.default)

    def text(self, key: str) -> str:
        """A setting as text."""
        if key not in self._read:
            self._read[key] = self._looked_up(key)
        return self._read[key]

    def _looked_up(self, key: str) -> str:
        canonical = canonical_key(key)
        if canonical not in self._changes:
            return _default(canonical)
        if not canonical.startswith(_OWN_NAMES):
            self._looked_at.add(canonical)
        return self._changes[canonical]

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
        material = find_material(name, self.own)
        changes = {}
        for word, field in _MATERIAL_WORDS.items():
            key = f"material.{material.name}.{word}"
            if key in self._changes:
                self._looked_at.add(key)
                changes[field] = float(self._changes[key])
        return with_changes(material, **changes)

    def rows(self) -> tuple[Rule, ...]:
        """Every setting, then the shop's own figures for materials."""
        return tuple(self._rule(key) for key in (*_table(), *self._own_keys()))

    def _own_keys(self) -> list[str]:
        return sorted(key for key in self._changes if key not in _table())

    def _rule(self, key: str) -> Rule:
        row = _row(key)
        value = self._changes.get(key, row["value"])
        said = (row["value"], row["unit"], row["tag"], _meaning(row), row["least"], row["most"])
        return Rule(key, value, *said)

    def _crossed(self) -> tuple[str, str] | None:
        """The first two that are not in the order in which they must stay."""

        def kept(key: str) -> float:
            return float(self._changes.get(key, _default(key)))  # not looked at for an answer

        return next((two for two in _RISING if kept(two[0]) > kept(two[1])), None)

    def _require_rising(self) -> None:
        if crossed := self._crossed():
            lower, upper = crossed
            message = f"{lower}={self.text(lower)} must be at most {upper}={self.text(upper)}"
            raise BadValue(message, way_out="change both together")


def check_rule(key: str, value: str, own: Sequence[Material] = ()) -> str:
    """The value of a setting in its one way of writing, refused when it cannot stand.

    Source: table shop_rules.csv, where each setting names its own.

    Args:
        key: Which setting, such as ``force.caution_load`` [text].
        value: What a person wrote for it, in the setting's own unit [text].
        own: Materials that the shop added [-].

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
    if row["kind"] == "material":
        return find_material(value, own).name
    return kept_value(row, key, value)


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


def is_number(key: str) -> bool:
    """Whether a setting is a number within limits.

    Source: table shop_rules.csv, where each setting names its own.

    Args:
        key: The setting's key as it is kept [text].

    Returns:
        Whether it is; words, names and choices are not [-].

    Raises:
        UnknownName: When there is no such setting.

    Example:
        >>> is_number("force.caution_load"), is_number("crib.unit")
        (True, False)
    """
    return _row(key)["kind"] in ("number", "whole")


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
    least, most = change_limits(material, field)
    figure: float | None = getattr(material, field)
    return {
        "key": key,
        "value": "" if figure is None else written(figure),
        "unit": "%" if word == "clearance_pct" else "-",
        "tag": "J",
        "meaning": f"This shop's own {word.replace('_', ' ')} for {material.name}",
        "least": written(least),
        "most": written(most),
        "kind": "number",
        "source": "shop rule",
    }


def _meaning(row: dict[str, str]) -> str:
    return f"{row['meaning']} ({row['source']})"
