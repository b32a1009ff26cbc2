"""Quantities as people write them: read once at the edge, written once on the way out.

Inside the crib a length is in millimetres, a force in newtons, a stress in megapascals, a share is
a fraction of one and money is whole cents. Reading is strict: what is not plainly one quantity is
refused with BadQuantity, and a figure outside its limits with BadValue.

What is written is taken as an exact ratio of whole numbers and rounded once, at the end, so that
``13/16``, ``0.8125 in`` and ``20.6375 mm`` are the same float. For the same reason use
``mm_from_inches`` and not ``inches * MM_PER_INCH``, which can miss by the last bit.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any, Literal

from crib.errors import BadQuantity, BadValue, UnsureQuantity
from crib.spellings import plain_size, without_comma

if TYPE_CHECKING:
    from pint import UnitRegistry

System = Literal["in", "mm"]
ForceUnit = Literal["US tons", "UK tons", "tonnes", "kN"]
StressUnit = Literal["ksi", "MPa"]

# Exact by definition: the pound is 0.45359237 kg, standard gravity 9.80665 m/s², the inch 25.4 mm.
# The tons are written out, since a product of floats would be off by its last bit.
MM_PER_INCH = 25.4
N_PER_LBF = 4.4482216152605
N_PER_US_TON = 8896.443230521
N_PER_UK_TON = 9964.01641818352
N_PER_TONNE = 9806.65
MPA_PER_KSI = 1000 * N_PER_LBF / MM_PER_INCH**2

MOST_LENGTH_MM = 100_000.0
MOST_FORCE_N = 1e8
MOST_STRESS_MPA = 10_000.0
MOST_SHARE = 10.0
MOST_COUNT = 10_000_000
MOST_MONEY_CENTS = 100_000_000_000

_NOT_ONE = "it is not one number and one unit"
_COMMA = "a comma is not part of a number"
_MOST_CHARACTERS = 40
_LEAST_OTHER_MM = 1e-4  # "5 pm" is a length to the registry, but nobody meant it
_NOISE_DIGITS = 9  # a 64th of an inch has six decimals in mm; what is beyond is noise
_THOUSANDTHS = 3
_INCH_WORDS = frozenset({"in", "in.", "inch", "inches", '"', "″", "”"})
_MM_WORDS = frozenset({"mm", "mm."})
_LENGTH_WORD = r"[A-Za-zµμ]{1,20}"
_GAUGE = r"([^A-Za-z]*[^A-Za-z\s])\s*(?:ga|gauge|gage)\.?"

_FORCE_UNITS: dict[ForceUnit, float] = {
    "US tons": N_PER_US_TON,
    "UK tons": N_PER_UK_TON,
    "tonnes": N_PER_TONNE,
    "kN": 1000.0,
}
_FORCE_WORDS = {
    "n": 1.0,
    "kn": 1000.0,
    **dict.fromkeys(("lb", "lbs", "lbf"), N_PER_LBF),
    **dict.fromkeys(("us ton", "us tons", "short ton", "short tons"), N_PER_US_TON),
    **dict.fromkeys(("uk ton", "uk tons", "long ton", "long tons"), N_PER_UK_TON),
    **dict.fromkeys(("tonne", "tonnes", "metric ton", "metric tons"), N_PER_TONNE),
}
_VAGUE_TONS = frozenset({"t", "ton", "tons", "tonf"})
_STRESS_WORDS = {
    "ksi": MPA_PER_KSI,
    "psi": MPA_PER_KSI / 1000,
    **dict.fromkeys(("mpa", "n/mm2", "n/mm²"), 1.0),
}

_EXAMPLES = {
    "length": "write it like 13/16, 1-3/16, 0.8125 in or 20.6 mm",
    "gauge": "write it like 10ga",
    "force": "write it like 50 US tons, 50 UK tons, 50 tonnes or 445 kN",
    "stress": "write it like 58 ksi or 400 MPa",
    "share": "write it like 12 % or 0.12",
    "count": "write it like 1200",
    "money": "write it like 12.50",
}
# The first that fits says what is wrong, so that the hint answers what was really typed.
_FAULTS = (
    (r"\s*", "nothing is written there"),
    (r"\s*[-+−].*", "it has a sign or a dash in front"),
    (r".*[^\W0-9_a-zA-Zµμ].*", "only the plain digits 0 to 9 are read"),
    (r".*[0-9]_[0-9].*", "an underscore is not part of a number"),
    (r".*[0-9]e[-+]?[0-9].*", "powers of ten are not read, write the figure out"),
    (r".*[0-9] */.*/.*", "it has more than one fraction line"),
    (r".*[0-9] */.*", "it is not one plain fraction"),
    (r"[^0-9]*", "there is no number in it"),
    (r"[^0-9.].*", "it does not begin with a number"),
)


def mm_from_inches(inches: float) -> float:
    """Millimetres for inches; exact for every binary fraction, unlike a product with 25.4."""
    return inches * 254 / 10


def inches_from_mm(length_mm: float) -> float:
    """Inches for millimetres; gives every 64th back exactly."""
    return length_mm * 10 / 254


@lru_cache(maxsize=1)
def registry() -> UnitRegistry[Any]:
    """The one pint registry, loaded when first asked for; it converts in exact fractions."""
    from fractions import Fraction

    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


def read_length_mm(text: str, bare: System, *, allow_zero: bool = False) -> float:
    """Read a length; a bare number is in ``bare``, a fraction is inches, a suffix wins.

    Args:
        text: What was written, such as ``13/16``, ``1-3/16``, ``.8125 in``, ``20.6mm`` or ``2 ft``.
        bare: The crib's own unit, for a number with no suffix.
        allow_zero: Take 0 as a length.

    Returns:
        The length [mm], over 0 and up to 100 m.
    """
    tidy = _tidy(text, "length")
    length_mm = _fraction_mm(text, tidy) if "/" in tidy else _decimal_mm(text, bare)
    return _within(text, "length", length_mm, MOST_LENGTH_MM, "mm", allow_zero=allow_zero)


def looks_like_length(text: str) -> bool:
    """Whether a word begins like a size or gauge, right or wrong; reading it tells which."""
    return re.match(r"\s*[-+−]?\.?[\d¼½¾⅛⅜⅝⅞]", text[:_MOST_CHARACTERS]) is not None


def read_gauge(text: str) -> int | None:
    """Read a gauge number such as ``10ga`` or ``10 gauge``; None when it is not written as one."""
    written = _gauge(text)
    if not written:
        return None
    if not re.fullmatch(r"0|[1-9][0-9]{0,2}", written[1]):
        raise _refused(text, "gauge", "a gauge is one whole number")
    return int(written[1])


def _gauge(text: str) -> re.Match[str] | None:
    tidy = text.strip()
    return re.fullmatch(_GAUGE, tidy, re.IGNORECASE) if len(tidy) <= _MOST_CHARACTERS else None


def format_length(
    length_mm: float, system: System, *, with_unit: bool = True, digits: int | None = None
) -> str:
    """Write a length so that it reads back equal: ``13/16 in``, ``0.82 in``, ``22 mm``.

    Args:
        length_mm: The length [mm].
        system: Write it in inches or in millimetres.
        with_unit: Put the unit behind the figure.
        digits: Round to this many decimals instead, for a figure that was worked out.
    """
    _finite("length_mm", length_mm)
    if digits is not None:
        length_mm = round(length_mm, digits if system == "mm" else _NOISE_DIGITS)
    sign = "-" if length_mm < 0 else ""
    size_mm = abs(length_mm)
    figure = _shortest(size_mm) if system == "mm" else _inches(size_mm, digits)
    return f"{sign}{figure} {system}" if with_unit else f"{sign}{figure}"


def format_length_both(length_mm: float, system: System) -> str:
    """Write a length for people in both systems, the crib's own first: ``13/16 in (20.64 mm)``."""
    inches = format_length(length_mm, "in", digits=4)
    if system == "in":
        return f"{inches} ({format_length(length_mm, 'mm', digits=2)})"
    return f"{format_length(length_mm, 'mm', digits=4)} ({inches})"


def read_force_n(text: str) -> float:
    """Read a force [N]; it must say its unit, and a ton which ton."""
    above, below, word = _number(text, "force")
    name = " ".join(word.casefold().replace(".", "").split())
    if name in _VAGUE_TONS:
        why = f"{word!r} may be three different forces"
        figure = _shortest(above / below)
        ways = [f"{figure} {ton}" for ton in ("US tons", "UK tons", "tonnes", "kN")]
        hint = _write_one("force", ways, "say which:")
        raise _refused(text, "force", why, hint)
    factor = _FORCE_WORDS.get(name)
    if factor is None and not word:
        figure = _shortest(above / below)
        ways = [f"{figure} {unit}" for unit in _FORCE_UNITS]
        hint = _write_one("force", ways, "say which:")
        raise _refused(text, "force", "it needs a unit", hint)
    if factor is None:
        raise _unknown_unit(text, "force", word)
    return _within(text, "force", above / below * factor, MOST_FORCE_N, "N")


def format_force(force_n: float, unit: ForceUnit, digits: int = 1) -> str:
    """Write a force with its unit in full, such as ``24.4 US tons``."""
    _finite("force_n", force_n)
    return f"{force_n / _FORCE_UNITS[unit]:.{digits}f} {unit}"


def read_stress_mpa(text: str, bare: StressUnit | None = None) -> float:
    """Read a stress or strength [MPa] in ksi, psi, MPa or N/mm²."""
    above, below, word = _number(text, "stress")
    factor = _STRESS_WORDS.get((word or bare or "").casefold())
    if factor is None:
        raise _unknown_unit(text, "stress", word)
    return _within(text, "stress", above / below * factor, MOST_STRESS_MPA, "MPa")


def format_stress(stress_mpa: float, system: System, digits: int = 0) -> str:
    """Write a stress as ``94 ksi`` or ``648 MPa``, whole unless more digits are asked for."""
    _finite("stress_mpa", stress_mpa)
    figure, unit = (stress_mpa / MPA_PER_KSI, "ksi") if system == "in" else (stress_mpa, "MPa")
    return f"{figure:.{digits}f} {unit}"


def read_percent(text: str) -> float:
    """Read a share as a fraction of one: ``12 %`` and ``0.12`` are both 0.12."""
    above, below, word = _number(text, "share")
    if word not in ("%", ""):
        raise _unknown_unit(text, "share", word)
    if not word and above > below:
        ways = [f"{_shortest(above / below)} %", _shortest(above / (below * 100))]
        hint = _write_one("share", ways)
        raise _refused(text, "share", "a number over 1 needs its % sign", hint)
    share = above / (below * 100) if word else above / below
    return _within(text, "share", share, MOST_SHARE, "(1000 %)", allow_zero=True)


def read_count(text: str) -> int:
    """Read a whole number of strokes or pieces, 0 to 10 million."""
    tidy = _tidy(text, "count")
    if not re.fullmatch("[0-9]+", tidy):
        raise _unreadable(text, "count", "it is not a whole number")
    _within(text, "count", int(tidy), MOST_COUNT, "", allow_zero=True)
    return int(tidy)


def read_money_cents(text: str) -> int:
    """Read an amount of money with at most two decimals as whole cents: ``$12.50`` is 1250."""
    amount = re.sub(r"^\$ ?", "", _tidy(text, "money"))
    if not re.fullmatch(r"[0-9]+(\.[0-9]{1,2})?|\.[0-9]{1,2}", amount):
        raise _unreadable(text, "money", "it is not one amount with at most two decimals")
    whole, _, part = amount.partition(".")
    cents = int(whole or 0) * 100 + int(part.ljust(2, "0"))
    _within(text, "money", cents, MOST_MONEY_CENTS, "cents", allow_zero=True)
    return cents


def format_money(cents: int, currency: str) -> str:
    """Write whole cents as ``USD 12.50``."""
    return f"{currency} {format_amount(cents)}"


def format_amount(cents: int | None) -> str:
    """Write whole cents as ``12.50``, for a place that says the currency; nothing for none."""
    if cents is None:
        return ""
    whole, part = divmod(abs(cents), 100)
    return f"{'-' if cents < 0 else ''}{whole}.{part:02d}"


def _fraction_mm(text: str, tidy: str) -> float:
    written = re.fullmatch(r"(?:([0-9]+)(?:-| +))?([0-9]+)/([0-9]+) *(.*)", tidy)
    if not written:
        raise _unreadable(text, "length")
    whole, above, below = int(written[1] or 0), int(written[2]), int(written[3])
    if not 1 <= below <= 1000:
        raise _refused(text, "length", f"{below} under the line must be 1 to 1000")
    if written[1] and above >= below:
        raise _refused(text, "length", f"after a whole number, {above}/{below} must be less than 1")
    if written[4] and written[4].casefold() not in _INCH_WORDS:
        if re.fullmatch(_LENGTH_WORD, written[4]):
            raise _refused(text, "length", "a fraction is always inches")
        raise _unreadable(text, "length")
    return (whole * below + above) * 254 / (below * 10)


def _decimal_mm(text: str, bare: System) -> float:
    above, below, word = _number(_with_a_point(text, bare), "length")
    name = word.casefold() or bare
    if name in _INCH_WORDS:
        return above * 254 / (below * 10)
    if name in _MM_WORDS:
        return above / below
    if _gauge(text):
        why = "a gauge is one whole number, and a length only together with its material"
        raise _refused(text, "length", why, "give the thickness, such as 0.1345 in or 3.4 mm")
    if not re.fullmatch(_LENGTH_WORD, word):
        raise _unknown_unit(text, "length", word)
    return _other_unit_mm(text, above, below, word)


def _other_unit_mm(text: str, above: int, below: int, word: str) -> float:
    from fractions import Fraction

    units = registry()
    for name in (word, word.lower()):
        if units.parse_unit_name(name) and units.Unit(name).is_compatible_with("mm"):
            length_mm = float(units.Quantity(Fraction(above, below), name).to("mm").magnitude)
            if not 0 < length_mm < _LEAST_OTHER_MM:
                return length_mm
    raise _unknown_unit(text, "length", word)


def _number(text: str, what: str) -> tuple[int, int, str]:
    """The number in front as a ratio of whole numbers, and the word behind it."""
    written = re.fullmatch(r"([0-9]+)(?:\.([0-9]*))? *(.*)|\.([0-9]+) *(.*)", _tidy(text, what))
    if not written:
        raise _unreadable(text, what)
    whole, part = written[1] or "", written[2] or written[4] or ""
    return int(whole + part), 10 ** len(part), written[3] or written[5] or ""


def _tidy(text: str, what: str) -> str:
    """The text with plain slashes, blanks and fractions; refused while it cannot be long."""
    if len(text) > _MOST_CHARACTERS and len(text := text.strip()) > _MOST_CHARACTERS:
        raise _refused(text, what, f"it is over {_MOST_CHARACTERS} characters long")
    return plain_size(text)


def _within(
    text: str, what: str, value: float, most: float, unit: str, *, allow_zero: bool = False
) -> float:
    if value == 0 and not allow_zero:
        message = f"{what} {_shown(text)} must be > 0"
        raise BadValue(message, way_out=_EXAMPLES[what])
    if value > most:
        message = f"{what} {_shown(text)} must be <= {_shortest(most)} {unit}".rstrip()
        raise BadValue(message, way_out="check the figure")
    return value


def _shown(text: str) -> str:
    return repr(text if len(text) <= _MOST_CHARACTERS else f"{text[: _MOST_CHARACTERS - 1]}…")


def _refused(text: str, what: str, why: str, way_out: str = "") -> BadQuantity:
    message = f"{what} {_shown(text)} cannot be read: {why}"
    return BadQuantity(message, way_out=way_out or _EXAMPLES[what])


def _unknown_unit(text: str, what: str, word: str) -> BadQuantity:
    if word and re.fullmatch(r"[A-Za-z%][^0-9]*", word):
        return _refused(text, what, f"{_shown(word)} is not a unit of {what}")
    return _unreadable(text, what) if word else _refused(text, what, "it needs a unit")


def _unreadable(text: str, what: str, otherwise: str = _NOT_ONE) -> BadQuantity:
    plain = plain_size(text)
    if comma := re.search(r"[0-9.]*,[0-9.,]*[0-9]", plain):
        ways = [plain.replace(comma[0], one) for one in without_comma(comma[0])]
        return _refused(text, what, _COMMA, _write_one(what, ways))
    flags = re.DOTALL | re.IGNORECASE
    why = next((why for fault, why in _FAULTS if re.fullmatch(fault, plain, flags)), otherwise)
    return _refused(text, what, why)


def _with_a_point(text: str, bare: System) -> str:
    """A length with a point for its decimal comma; asked back in inches, and for thousands."""
    comma = re.fullmatch(r"([0-9]*,[0-9]+) ?([^0-9,]*)", _tidy(text, "length"))
    if not comma:
        return text
    figures, unit = without_comma(comma[1]), comma[2]
    if bare == "mm" and len(figures) == 1:
        return f"{figures[0]}{unit}"
    message = f"length {_shown(text)} cannot be read: {_COMMA}"
    named = (unit,) if unit or bare == "mm" else ("in", "mm")
    written = [f"{figure}{name or bare}" for figure in figures for name in named]
    readings = [one for one in written if _reads("length", one)]
    if not readings:
        raise _refused(text, "length", _COMMA)
    raise UnsureQuantity(message, readings=readings, way_out=f"write {_listed(readings)}")


def _write_one(what: str, ways: Iterable[str], how: str = "write") -> str:
    """A hint of those spellings that would be read, since one that is not would mislead."""
    read = [one for one in ways if _reads(what, one)]
    return f"{how} {_listed(read)}" if read else ""


def _listed(words: Sequence[str]) -> str:
    """``a``, ``a or b``, ``a, b or c``."""
    return " or ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


def _reads(what: str, text: str) -> bool:
    """Whether a text is a quantity, whatever the crib's unit."""
    try:
        for read in _READERS[what]:
            read(text)
    except (BadQuantity, BadValue):
        return False
    return True


def _finite(name: str, value: float) -> None:
    if not abs(value) < 1e15:  # not a number fails this too
        message = f"{name}={value} must be a number below 1e15"
        raise BadValue(message)


def _shortest(value: float) -> str:
    """The fewest decimals that read back as the same float, never with an exponent."""
    return next((t for n in range(25) if float(t := f"{value:.{n}f}") == value), f"{value:.25f}")


def _inches(length_mm: float, digits: int | None) -> str:
    sixty_fourths = round(length_mm * 640 / 254)
    if sixty_fourths * 254 / 640 == length_mm:
        return _fraction_text(sixty_fourths)
    if digits is not None:
        figure = f"{inches_from_mm(length_mm):.{digits}f}"
        # Thousandths are said to the last one; finer figures only as far as they go.
        return figure if digits <= _THOUSANDTHS else figure.rstrip("0").rstrip(".")
    return _exact_inches(length_mm)


def _exact_inches(length_mm: float) -> str:
    """The fewest decimals that read back as the same float in millimetres."""
    above, below = length_mm.as_integer_ratio()
    for digits in range(1, 25):
        scaled = (2 * above * 10 ** (digits + 1) + below * 254) // (2 * below * 254)
        if scaled * 254 / 10 ** (digits + 1) == length_mm:
            break
    whole, part = divmod(scaled, 10**digits)
    return f"{whole}.{part:0{digits}d}"


def _fraction_text(sixty_fourths: int) -> str:
    whole, above = divmod(sixty_fourths, 64)
    if not above:
        return str(whole)
    step = above & -above
    part = f"{above // step}/{64 // step}"
    return f"{whole}-{part}" if whole else part


_READERS: dict[str, tuple[Callable[[str], object], ...]] = {
    "length": (partial(read_length_mm, bare="in"), partial(read_length_mm, bare="mm")),
    "force": (read_force_n,),
    "stress": (read_stress_mpa,),
    "share": (read_percent,),
    "count": (read_count,),
    "money": (read_money_cents,),
}
