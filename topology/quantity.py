# SPDX-License-Identifier: MIT
"""Quantities: a number with its unit in the site file, a plain float in one fixed unit inside.

Inside stand A, V, W, VA, var, Wh, Ah, ohm, m, mm2, Hz, s, degC and their like. The border is here and nowhere else:
a strict pattern and a small table come first; pint is asked only for a unit that the table lacks (feet, horsepower).
Factors are kept as fractions, so that `35 mA` is the float nearest to 0.035 and prints back as it was typed.
"""
from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import field
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from .dataclass import dataclass
from .errors import SiteError

__all__ = ["UNITS", "QuantityError", "Unit", "parse_quantity", "show_quantity", "token_pattern", "units_of"]

NUMBER = r"-?[0-9]{1,12}(?:\.[0-9]{1,6})?"
QUANTITY = re.compile(rf"({NUMBER})[ \t\u00a0\u202f\u2009]*(\S(?:.{{0,30}}\S)?)?")
NUMBER_LIKE = re.compile(r"[-+\u2212]?[0-9.,' \u00a0\u202f\u2009]*[0-9][0-9.,']*(?:[eE][-+]?[0-9]+)?")
GROUPED = re.compile(r"-?[0-9]{1,3}(?:[ '\u00a0\u202f\u2009][0-9]{3})+(?:[.,][0-9]+)?")
PLAIN_UNIT = re.compile(r"[A-Za-z]{1,16}[23]?(?:/[A-Za-z]{1,16}[23]?)?")
SAID_FOR = {("mm", "mm2"): "mm\u00b2", ("sqmm", "mm2"): "mm\u00b2", ("kW", "VA"): "kVA", ("W", "VA"): "VA", ("kVA", "W"): "kW", ("VA", "W"): "W"}
"""What the trade often says for the other: at a power factor of 1 the figures of a power are the same."""
MICRO, MILLI, KILO, MEGA = Fraction(1, 10**6), Fraction(1, 1000), Fraction(1000), Fraction(10**6)
ONE = Fraction(1)


@dataclass(frozen=True, slots=True, eq=False)
class Unit:
    """A unit that the program counts in, and what a site file may write for it.

    name      : how the code calls it
    kind      : what it measures, with its article, for messages
    spellings : every spelling a site file may use, and what one of it is in `name`
    shown     : the spellings used for printing, smallest first; factors are powers of ten
    example   : a value as the trade writes it
    pint      : the same unit in pint, which then converts what `spellings` lacks; empty where that could mislead
                (pint cannot tell W, VA and var apart, nor cycles from radians, and temperatures have an offset)
    """

    name: str
    kind: str
    spellings: dict[str, Fraction]
    shown: tuple[str, ...]
    example: str
    pint: str = ""
    folded: dict[str, Fraction] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "folded", {_fold(text): factor for text, factor in self.spellings.items()})


class QuantityError(SiteError):
    """Text that is no quantity of the wanted unit; `reason` says why and the caller makes the finding.

    reason     : "bare" (a number without unit), "number" (no number, or one in another notation),
                 "unit" (a unit that measures something else, or none that anybody knows)
    unit       : the unit that was wanted
    text       : what the file says
    given      : the unit that the file says, or ""
    suggestion : what the user may have meant, or ""
    """

    def __init__(self, reason: str, unit: Unit, text: str, given: str = "", suggestion: str = "") -> None:
        super().__init__(f"{text!r} is not {unit.kind}")
        self.reason, self.unit, self.text, self.given, self.suggestion = reason, unit, text, given, suggestion


def _fold(unit: str) -> str:
    """One spelling for signs that look alike: mm² and mm^2, both micro signs, both omegas, ℃."""
    return unicodedata.normalize("NFKC", unit).replace("^", "").replace("\u22c5", "\u00b7")


def _metric(symbol: str, prefixes: str, *, also: Iterable[str] = ()) -> dict[str, Fraction]:
    """Spellings of a unit with the prefixes it takes: _metric("A", "m.k") is mA, A and kA."""
    sizes = {"\u00b5": MICRO, "m": MILLI, ".": ONE, "k": KILO, "M": MEGA, "G": MEGA * 1000, "n": MICRO / 1000}
    return {(prefix.strip(".") + name): sizes[prefix] for prefix in prefixes for name in (symbol, *also)}


def _declare() -> dict[str, Unit]:
    """The small table. Prefixes after the SI brochure (BIPM, 9th edition), tables 4, 7 and 8; kinds as the trade speaks."""
    ohm = _metric("ohm", "m.k", also=["\u03a9"]) | {"Mohm": MEGA, "M\u03a9": MEGA}
    length = {"mm": MILLI, "cm": Fraction(1, 100), "m": ONE, "km": KILO, "ft": Fraction(3048, 10**4)}
    time = _metric("s", "n\u00b5m.") | {"us": MICRO, "min": Fraction(60), "h": Fraction(3600)}
    rows = [
        Unit("A", "a current", _metric("A", "\u00b5m.k"), ("mA", "A", "kA"), "16 A", "ampere"),
        Unit("V", "a voltage", _metric("V", "m.k"), ("V", "kV"), "230 V", "volt"),
        Unit("W", "an active power", _metric("W", "m.kM"), ("W", "kW", "MW"), "5 kW", "watt"),
        Unit("VA", "an apparent power", _metric("VA", ".kM"), ("VA", "kVA", "MVA"), "5 kVA"),
        Unit("var", "a reactive power", _metric("var", ".kM"), ("var", "kvar", "Mvar"), "2 kvar"),
        Unit("Wh", "an energy", _metric("Wh", ".kM"), ("Wh", "kWh", "MWh"), "13 kWh", "watt_hour"),
        Unit("Ah", "a charge", _metric("Ah", "m.k"), ("Ah", "kAh"), "200 Ah", "ampere_hour"),
        Unit("ohm", "a resistance or impedance", ohm, ("ohm", "kohm", "Mohm"), "0.35 ohm", "ohm"),
        Unit("ohm/km", "an impedance per length", {"ohm/km": ONE, "\u03a9/km": ONE, "mohm/m": ONE, "m\u03a9/m": ONE, "ohm/m": KILO,
             "\u03a9/m": KILO}, ("ohm/km",), "1.15 ohm/km", "ohm/kilometer"),
        Unit("m", "a length", length, ("m",), "18 m", "meter"),
        Unit("mm", "a size", {name: factor * 1000 for name, factor in length.items()}, ("mm",), "20 mm", "millimeter"),
        Unit("mm2", "a cross-section", {"mm\u00b2": ONE, "mm2": ONE, "mm^2": ONE, "cm\u00b2": Fraction(100)}, ("mm\u00b2",), "16 mm\u00b2",
             "millimeter**2"),
        Unit("Hz", "a frequency", _metric("Hz", "m.kM"), ("Hz", "kHz", "MHz"), "50 Hz"),
        Unit("s", "a time", time, ("ns", "\u00b5s", "ms", "s"), "0.4 s", "second"),
        Unit("degC", "a temperature", {"\u00b0C": ONE, "degC": ONE}, ("\u00b0C",), "40 \u00b0C"),
        Unit("%/K", "a temperature coefficient", {"%/K": ONE, "%/\u00b0C": ONE}, ("%/K",), "-0.27 %/K"),
        Unit("%", "a percentage", {"%": ONE}, ("%",), "3 %"),
        Unit("bit/s", "a bit rate", _metric("bit/s", ".kM"), ("bit/s",), "9600 bit/s"),
        Unit("A2s", "a let-through energy", {"A\u00b2s": ONE, "A2s": ONE, "A^2s": ONE, "kA\u00b2s": MEGA, "kA2s": MEGA}, ("A\u00b2s",),
             "18000 A\u00b2s"),
        Unit("K.m/W", "a thermal resistivity of soil", {"K\u00b7m/W": ONE, "K.m/W": ONE}, ("K\u00b7m/W",), "1.2 K\u00b7m/W"),
        Unit("F", "a capacitance", _metric("F", "n\u00b5m."), ("nF", "\u00b5F"), "100 nF", "farad"),
        Unit("Nm", "a torque", {"Nm": ONE, "N\u00b7m": ONE}, ("Nm",), "2.5 Nm"),
        Unit("kg", "a mass", {"g": MILLI, "kg": ONE, "t": KILO}, ("kg",), "110 kg", "kilogram"),
    ]
    return {row.name: row for row in rows}


UNITS: dict[str, Unit] = _declare()


def units_of(unit: str) -> tuple[str, ...]:
    """Spellings that a site file may use where the program counts in `unit`, longest first."""
    return tuple(sorted(UNITS[unit].spellings, key=lambda text: (-len(text), text)))


def token_pattern(unit: str, only: Iterable[str] = ()) -> str:
    """Regular expression, without groups, for a quantity of `unit` inside a shorthand.

    only : the spellings that count here, where the unit decides what is meant (`30 mA` residual, `6 kA` breaking);
           all of them if left out
    """
    spellings = sorted(only, key=lambda text: (-len(text), text)) or units_of(unit)
    return rf"{NUMBER}[ \u00a0\u202f\u2009]?(?:{'|'.join(map(re.escape, spellings))})(?![^\W_]|[\u00b2/^%])"


@lru_cache(maxsize=4096)
def parse_quantity(text: str, unit: str) -> float:
    """Value of `text` counted in `unit`, the name of a row of UNITS.

    Raises QuantityError where the text has no unit, no number or a unit of another kind.
    """
    wanted = UNITS[unit]
    found = QUANTITY.fullmatch(text.strip())
    if found is None:
        raise QuantityError("number", wanted, text, suggestion=_tidy(text, wanted))
    number, given = found.groups()
    if given is None and unit == "%" and 0 < float(number) < 1:  # a share: 0.5 is 50 %
        raise QuantityError("bare", wanted, text, suggestion=f"{float(number) * 100:g} %")
    if given is None:
        raise QuantityError("bare", wanted, text, suggestion=f"{number} {_usual(number, wanted)}")
    factor = wanted.folded.get(_fold(given))
    if factor is None:
        factor = _from_pint(given, wanted)
    if factor is None:
        raise _unit_error(text, number, given, wanted)
    return float(Fraction(number) * factor)


def _usual(number: str, wanted: Unit) -> str:
    """The spelling that was probably left out: a bare 5 for a power means kW, a bare 750 means W."""
    return wanted.shown[0] if abs(float(number)) >= 100 and wanted.shown[0] == wanted.name else wanted.example.split(" ", 1)[1]


def _unit_error(text: str, number: str, given: str, wanted: Unit) -> QuantityError:
    """The error for a unit that does not fit, with the spelling that differs by its capitals alone."""
    if given[0].isdigit() or given[0] in ".,'_-+\u2212" or re.match(r"[eE][-+]?[0-9]", given):
        return QuantityError("number", wanted, text, suggestion=_tidy(text, wanted))
    usual = {"Wp": "W", "kWp": "kW", "MWp": "MW", "kAIC": "kA"}.get(given, given)  # of an array, and as breakers are marked
    usual = SAID_FOR.get((given, wanted.name), usual)
    near = [spelling for spelling in wanted.spellings if spelling.casefold() == _fold(usual).casefold()]
    meant = [usual] if usual != given else near
    return QuantityError("unit", wanted, text, given, f"{number} {meant[0]}" if len(meant) == 1 else "")


def _tidy(text: str, wanted: Unit) -> str:
    """The quantity that was probably meant by `2,5 mm²`, `.5 ohm`, `+5 A` or `1e3 W`; "" if nobody can say."""
    found = NUMBER_LIKE.match(text.strip())
    unit = text.strip()[found.end():].strip() if found else ""
    if found is None or _fold(unit) not in wanted.folded:
        return ""
    plain = found[0].replace("\u2212", "-").lstrip("+")
    if GROUPED.fullmatch(plain):
        plain = re.sub(r"[^-0-9.,]", "", plain)
    elif re.search(r",[0-9]{3}(?![0-9])", plain):
        return ""  # 1,000 is a thousand to some and one to others
    try:
        plain = plain.replace(",", ".")
        number = format(Decimal(plain), "f")
    except ArithmeticError:
        return ""
    return f"{number} {unit}" if re.fullmatch(NUMBER, number) else ""


@cache
def _registry() -> Any:
    """pint's registry, made on first use: importing pint takes longer than reading a whole site."""
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=512)
def _from_pint(given: str, wanted: Unit) -> Fraction | None:
    """What one `given` is in the wanted unit, after pint; None if pint does not know or it measures another thing.

    A unit of our own table never gets here by another kind's door: pint would turn kVA into kW.
    """
    name = _fold(given)
    if not wanted.pint or PLAIN_UNIT.fullmatch(name) is None or any(name in unit.folded for unit in UNITS.values()):
        return None
    try:
        one, none = (_registry().Quantity(amount, re.sub(r"([23])", r"**\1", name)).to(wanted.pint).magnitude for amount in (1.0, 0.0))
    except Exception:  # pint raises its own errors and Python's tokenizer's, arithmetic and attribute errors: all mean "no"
        return None
    # pint calculates in floats: twelve digits are all that its definitions promise, and a foot is 0.3048 m exactly
    return Fraction(f"{one:.12g}") if none == 0 and math.isfinite(one) and one > 0 else None


def show_quantity(value: float, unit: str, digits: int | None = None) -> str:
    """The value as the trade writes it: `16 A`, `30 mA`, `2.5 mm²`, `0.35 ohm`.

    value  : in `unit`, the name of a row of UNITS; finite
    digits : significant digits; without it every digit that the value has, so that parsing gives the value back
    Raises ValueError for a value that is not finite.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} {unit} cannot be printed")
    exact = Decimal(repr(float(value)))
    if digits is not None and exact:
        exact = round(exact, digits - 1 - exact.adjusted())
    row = UNITS[unit]
    fitting = [name for name in row.shown if abs(exact) >= _decimal(row.spellings[name])]
    home = next((name for name in row.shown if row.spellings[name] == 1), row.shown[0])
    name = home if not exact else fitting[-1] if fitting else row.shown[0]
    return f"{_plain(exact / _decimal(row.spellings[name]))} {name}"


def _decimal(factor: Fraction) -> Decimal:
    return Decimal(factor.numerator) / Decimal(factor.denominator)


def _plain(number: Decimal) -> str:
    """Digits without exponent, trailing zeros or minus zero."""
    text = format(number, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text
