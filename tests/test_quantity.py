# SPDX-License-Identifier: MIT
"""Quantities: the small table against pint and published factors, printing back, and every refusal word for word."""
from __future__ import annotations

import math
import re
import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from topology import faults
from topology.errors import Mark
from topology.quantity import UNITS, QuantityError, parse_quantity, show_quantity, token_pattern, units_of

HERE = Mark("s.yaml", 3, 9, 4)
SAID = [(name, spelling) for name, unit in UNITS.items() for spelling in unit.spellings]

IN_PINT = {"mm2": "mm**2", "mm\u00b2": "mm**2", "mm^2": "mm**2", "cm\u00b2": "cm**2", "\u00b0C": "delta_degC", "degC": "delta_degC",
           "A\u00b2s": "A**2*s",
           "A2s": "A**2*s", "A^2s": "A**2*s", "kA\u00b2s": "kA**2*s", "kA2s": "kA**2*s", "K\u00b7m/W": "K*m/W", "K.m/W": "K*m/W",
           "Nm": "N*m",
           "N\u00b7m": "N*m", "Ah": "A*h", "mAh": "mA*h", "kAh": "kA*h", "%": "percent", "t": "metric_ton", "var": "V*A", "kvar": "kV*A",
           "Mvar": "MV*A"}
"""Spellings that pint writes in another way, or does not know (var)."""


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


# ---- the table -------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("name", "spelling"), SAID)
def test_the_small_table_agrees_with_pint(name: str, spelling: str, registry: pint.UnitRegistry) -> None:
    """Oracle: pint's own definitions, for every spelling of every unit."""
    one = registry.Quantity(1.0, IN_PINT.get(spelling, spelling)).to(IN_PINT.get(name, name)).magnitude
    assert parse_quantity(f"1 {spelling}", name) == pytest.approx(one, rel=1e-12)


@pytest.mark.parametrize(("text", "unit", "value"), [
    # BIPM, The International System of Units, 9th edition: table 7 (prefixes) and table 8 (min, h)
    ("30 mA", "A", 0.03), ("6 kA", "A", 6000.0), ("0.333 V", "V", 0.333), ("11 kV", "V", 11000.0), ("2.7 kVA", "VA", 2700.0),
    ("13.5 kWh", "Wh", 13500.0),
    ("1.5 h", "s", 5400.0), ("5 min", "s", 300.0), ("300 ms", "s", 0.3), ("60 cm", "m", 0.6), ("-5 \u00b0C", "degC", -5.0),
    ("115.2 kbit/s", "bit/s", 115200.0), ("0.524 mohm/m", "ohm/km", 0.524)])
def test_a_quantity_is_the_nearest_float(text: str, unit: str, value: float) -> None:
    assert parse_quantity(text, unit) == value


@pytest.mark.parametrize(("text", "unit", "value"), [
    # NIST Special Publication 811 (2008), appendix B.8; from memory
    ("10 ft", "m", 3.048), ("12 in", "m", 0.3048), ("2 yd", "m", 1.8288)])
def test_units_that_the_table_lacks_are_converted_exactly(text: str, unit: str, value: float) -> None:
    assert parse_quantity(text, unit) == value


def test_rounded_factors_agree_with_the_published_digits() -> None:
    # NIST Special Publication 811 (2008), appendix B.8, from memory:
    # circular mil 5.067 075 E-10 m², horsepower (550 ft·lbf/s) 7.456 999 E+02 W
    assert parse_quantity("500 kcmil", "mm2") == pytest.approx(500 * 0.5067075, abs=500 * 0.5e-7)
    assert parse_quantity("1 hp", "W") == pytest.approx(745.6999, abs=0.00005)


@pytest.mark.parametrize("text", ["16 mm\u00b2", "16 mm2", "16 mm^2", "16mm2", "16\u00a0mm\u00b2", "16\u202fmm\u00b2", " 16 mm\u00b2 ",
                                  "16 \u339f"])
def test_a_cross_section_may_be_typed_in_many_ways(text: str) -> None:
    assert parse_quantity(text, "mm2") == 16.0


@pytest.mark.parametrize(("one", "other", "unit"), [("1 \u00b5F", "1 \u03bcF", "F"), ("5 \u03a9", "5 \u2126", "ohm"),
    ("5 \u2103", "5 \u00b0C", "degC")])
def test_signs_that_look_alike_mean_the_same(one: str, other: str, unit: str) -> None:
    assert parse_quantity(one, unit) == parse_quantity(other, unit)


@pytest.mark.parametrize("unit", UNITS.values(), ids=lambda unit: unit.name)
def test_every_unit_has_an_example_that_prints_as_it_stands(unit: object) -> None:
    name, example = unit.name, unit.example  # type: ignore[attr-defined]
    assert show_quantity(parse_quantity(example, name), name) in (example, "400 ms", "18 kA\u00b2s")


# ---- printing --------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize(("value", "unit", "text"), [
    (16.0, "A", "16 A"), (0.03, "A", "30 mA"), (6000.0, "A", "6 kA"), (2.5, "mm2", "2.5 mm\u00b2"), (0.35, "ohm", "0.35 ohm"),
    (230.0, "V", "230 V"),
    (0.333, "V", "0.333 V"), (11000.0, "V", "11 kV"), (0.0, "A", "0 A"), (-5.0, "degC", "-5 \u00b0C"), (5000.0, "W", "5 kW"),
    (18.0, "m", "18 m"),
    (1200.0, "m", "1200 m"), (9600.0, "bit/s", "9600 bit/s"), (-0.0, "A", "0 A"), (1e-7, "A", "0.0001 mA")])
def test_a_quantity_prints_in_the_form_of_the_trade(value: float, unit: str, text: str) -> None:
    assert show_quantity(value, unit) == text


@pytest.mark.parametrize(("value", "digits", "text"), [(2.83333, 3, "2.83 V"), (999.96, 4, "1 kV"), (0.0, 3, "0 V"), (12345.0, 2, "12 kV")])
def test_digits_are_rounded_before_the_prefix_is_chosen(value: float, digits: int, text: str) -> None:
    assert show_quantity(value, "V", digits) == text


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_what_is_not_finite_is_not_printed(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be printed"):
        show_quantity(value, "A")


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(SAID), st.integers(-10**9, 10**9), st.integers(0, 6))
def test_what_is_printed_reads_as_itself(said: tuple[str, str], digits: int, places: int) -> None:
    """Law: parse(show(x)) == x for every value that the file can say."""
    name, spelling = said
    text = f"{Fraction(digits, 10**places).__float__():.{places}f} {spelling}"
    value = parse_quantity(text, name)
    shown = show_quantity(value, name)
    number, _, unit = shown.partition(" ")
    if re.fullmatch(r"-?[0-9]{1,12}(\.[0-9]{1,6})?", number):
        assert parse_quantity(shown, name) == value
    assert float(Fraction(number) * UNITS[name].spellings[unit]) == value


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(sorted(UNITS)), st.floats(1e-3, 1e9))
def test_the_prefix_gives_a_number_that_is_easy_to_read(name: str, value: float) -> None:
    """Law: from 1 to 1000 unless the largest or the smallest spelling is reached."""
    number, _, unit = show_quantity(value, name).partition(" ")
    shown = UNITS[name].shown
    assert float(number) >= 1 or unit == shown[0]
    assert float(number) < 1000 or unit == shown[-1]


# ---- inside a shorthand ----------------------------------------------------------------------------------------------

def test_a_token_is_a_number_with_its_unit_and_nothing_else() -> None:
    pattern = re.compile(token_pattern("A", ["A"]))
    assert [bool(pattern.match(text)) for text in ("25 A", "25A C", "30 mA", "6 kA", "25 Ah", "25 A/m", "25")] == [
        True, True, False, False, False, False, False]
    assert re.compile(token_pattern("A", ["mA"])).match("30 mA type A")
    assert re.compile(token_pattern("m")).match("16 mm\u00b2 2C") is None
    assert re.compile(token_pattern("mm2")).match("16 mm\u00b2 2C")[0] == "16 mm\u00b2"  # type: ignore[index]


@pytest.mark.parametrize(("name", "spelling"), SAID)
def test_every_spelling_is_a_token(name: str, spelling: str) -> None:
    assert spelling in units_of(name)
    assert re.fullmatch(token_pattern(name), f"2.5 {spelling}") and re.fullmatch(token_pattern(name), f"-4{spelling}")


# ---- refusals, word for word -----------------------------------------------------------------------------------------

@pytest.mark.parametrize(("text", "unit", "rule", "message", "next_"), [
    ("16", "A", "missing-unit", "rating of Q1: '16' has no unit", "did you mean '16 A'?"),
    ("2.5", "mm2", "missing-unit", "rating of Q1: '2.5' has no unit", "did you mean '2.5 mm\u00b2'?"),
    ("5", "W", "missing-unit", "rating of Q1: '5' has no unit", "did you mean '5 kW'?"),
    ("750", "W", "missing-unit", "rating of Q1: '750' has no unit", "did you mean '750 W'?"),
    ("16 mm\u00b2", "A", "wrong-unit", "rating of Q1 is a current, and 'mm\u00b2' is no unit of it", "write it like '16 A'"),
    ("5 kW", "VA", "wrong-unit", "rating of Q1 is an apparent power, and 'kW' is no unit of it", "did you mean '5 kVA'?"),
    ("5 kVA", "W", "wrong-unit", "rating of Q1 is an active power, and 'kVA' is no unit of it", "did you mean '5 kW'?"),
    ("5 kw", "W", "wrong-unit", "rating of Q1 is an active power, and 'kw' is no unit of it", "did you mean '5 kW'?"),
    ("16 a", "A", "wrong-unit", "rating of Q1 is a current, and 'a' is no unit of it", "did you mean '16 A'?"),
    ("72 degF", "degC", "wrong-unit", "rating of Q1 is a temperature, and 'degF' is no unit of it", "write it like '40 \u00b0C'"),
    ("300 K", "degC", "wrong-unit", "rating of Q1 is a temperature, and 'K' is no unit of it", "write it like '40 \u00b0C'"),
    ("18 bananas", "m", "wrong-unit", "rating of Q1 is a length, and 'bananas' is no unit of it", "write it like '18 m'"),
    ("18 m long", "m", "wrong-unit", "rating of Q1 is a length, and 'm long' is no unit of it", "write it like '18 m'"),
    ("2,5 m", "m", "no-number", "rating of Q1 is a length, and '2,5 m' is not a plain number with a unit", "did you mean '2.5 m'?"),
    ("1,000 m", "m", "no-number", "rating of Q1 is a length, and '1,000 m' is not a plain number with a unit",
     "write it like '18 m', or TBC while it is not known"),
    ("1 000 m", "m", "no-number", "rating of Q1 is a length, and '1 000 m' is not a plain number with a unit", "did you mean '1000 m'?"),
    ("1 000,5 m", "m", "no-number", "rating of Q1 is a length, and '1 000,5 m' is not a plain number with a unit",
     "did you mean '1000.5 m'?"),
    (".5 m", "m", "no-number", "rating of Q1 is a length, and '.5 m' is not a plain number with a unit", "did you mean '0.5 m'?"),
    ("\u22124 m", "m", "no-number", "rating of Q1 is a length, and '\u22124 m' is not a plain number with a unit", "did you mean '-4 m'?"),
    ("1e3 m", "m", "no-number", "rating of Q1 is a length, and '1e3 m' is not a plain number with a unit", "did you mean '1000 m'?"),
    ("long", "m", "no-number", "rating of Q1 is a length, and 'long' is not a plain number with a unit",
     "write it like '18 m', or TBC while it is not known"),
    ("1234567890123 m", "m", "no-number", "rating of Q1 is a length, and '1234567890123 m' is not a plain number with a unit",
     "write it like '18 m', or TBC while it is not known")])
def test_each_refusal_has_its_words_and_its_next_step(text: str, unit: str, rule: str, message: str, next_: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, unit)
    found = faults.of_quantity(caught.value, HERE, "rating of Q1")
    assert (found.rule, found.message, found.next, found.mark, found.severity) == (rule, message, next_, HERE, "error")


def test_a_value_out_of_its_range_says_why() -> None:
    found = faults.impossible_value(HERE, "length of W1", "-4 m", "it is outside 0 m to 10000 m", "18 m")
    assert (found.rule, found.message, found.next) == ("impossible-value", "length of W1 cannot be '-4 m': it is outside 0 m to 10000 m",
                                                       "write it like '18 m', or TBC while it is not known")


@pytest.mark.parametrize("text", ["1 m**9999999", "1 __import__('os')", "1 (m)", "1 m+m", "1 m;m", "1 " + "m" * 30, "1 lambda", "1 pi",
                                  "1 dB", "1 degF", "1 1/m", "1 m\u00b2",
                                  "1 m2", "\u0663 m", "1 \u00b2", "16\u00b2 m", "1_0 m", "0x10 m", "nan m", "inf m", "", " ", "m", "-",
                                  "1 -", "1 %%", "1 c", "1 K"])
def test_nothing_strange_becomes_a_length(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(text, "m")


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=40) | st.from_regex(r"-?[0-9]{1,4} [A-Za-z]{1,5}(/[a-z]{1,3})?", fullmatch=True), st.sampled_from(sorted(UNITS)))
def test_any_text_gives_a_finite_number_or_a_quantity_error(text: str, unit: str) -> None:
    try:
        value = parse_quantity(text, unit)
    except QuantityError as error:
        assert error.reason in ("bare", "number", "unit") and faults.of_quantity(error, HERE, "x").message
    else:
        assert math.isfinite(value)


def test_every_suggestion_can_be_read() -> None:
    for text in ("2,5 m", ".5 m", "+5 m", "1 000 m", "5", "1e3 m", "5 KM", "1'000 m", "\u22125 m"):
        with pytest.raises(QuantityError) as caught:
            parse_quantity(text, "m")
        assert math.isfinite(parse_quantity(caught.value.suggestion, "m"))


def test_pint_is_not_imported_for_the_units_of_the_table() -> None:
    code = ("import sys; from topology.quantity import parse_quantity as p; p('16 A', 'A'); p('2.5 mm2', 'mm2'); "
            "assert 'pint' not in sys.modules")
    subprocess.run([sys.executable, "-c", code], check=True, cwd=faults.__file__.rpartition("topology")[0])
