# SPDX-License-Identifier: MIT
"""Results of tests and settings as they were typed: which unit each is in, and the readings in a text."""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from .dataclass import dataclass
from .errors import Finding
from .faults import of_quantity
from .quantity import QuantityError, parse_quantity
from .records import Setting, TestResult

__all__ = ["RESULT_UNITS", "Reading", "readings_of", "result_faults", "setting_faults", "setting_unit"]

RESULT_UNITS: dict[str, tuple[str, ...]] = {
    "protective conductor": ("ohm",), "ring final": ("ohm",), "insulation": ("ohm",), "earth fault loop": ("ohm",),
    "prospective fault current": ("A",), "residual current device": ("s",), "earth electrode": ("ohm",), "voltage rise": ("%", "V"),
    "sensor zero": ("A", "W"), "sensor balance": ("%",), "bus resistance": ("ohm",), "bus cores": ("ohm",), "bus insulation": ("ohm",), "bus polarity": ("V",),
    "open-circuit voltage": ("V",), "short-circuit current": ("A",), "array insulation": ("ohm",), "string polarity": ("V",),
    "reconnection": ("s",), "transfer time": ("s",), "export limit": ("W", "VA")}
"""Units that tests measure in, as the program counts; a test that is not named here is answered in words."""
DIVIDED = re.compile(r"\s*;\s*|,\s+|\s+/\s+")
SIGNED = re.compile(r"([<>≤≥]?)\s*(.*)")


@dataclass(frozen=True)
class Reading:
    """A reading: at least, at most or exactly (sign "<", ">" or "") so much of a unit."""

    sign: str
    value: float
    unit: str


def readings_of(test: str, text: str) -> list[Reading]:
    """The readings of a result, in the units of its test: `0.61 ohm, 0.63 ohm` are two. Words without a digit are none.

    Raises QuantityError for a number that has no unit, or one that the test does not measure in.
    """
    units = RESULT_UNITS.get(test, ())
    pieces = [piece for piece in DIVIDED.split(text.strip()) if any(letter.isdigit() for letter in piece)] if units else []
    return [_reading(piece, units) for piece in pieces]


def _reading(piece: str, units: tuple[str, ...]) -> Reading:
    match = SIGNED.fullmatch(piece)
    assert match is not None
    sign = {"≤": "<", "≥": ">"}.get(match[1], match[1])
    first: QuantityError | None = None
    for unit in units:
        try:
            return Reading(sign, parse_quantity(match[2], unit), unit)
        except QuantityError as error:
            first = first or error
    assert first is not None
    raise first


def result_faults(results: Any) -> Iterator[Finding]:
    """A fault for each result whose unit is not one that its test measures in."""
    for result in results if isinstance(results, tuple) else ():
        if isinstance(result, TestResult) and isinstance(result.test, str) and isinstance(result.result, str):
            try:
                readings_of(result.test, result.result)
            except QuantityError as error:
                yield of_quantity(error, result.marks["result"], f"result of {result.test}")


def setting_unit(function: str) -> str:
    """The unit of a function that trips on voltage or frequency (U>, f<<); "" for any other."""
    return {"U": "V", "f": "Hz"}.get(function[:1], "") if function[1:2] in ("<", ">") else ""


def setting_faults(objects: Iterable[Any]) -> Iterator[Finding]:
    """A fault for each setting of a voltage or a frequency that is none."""
    for obj in objects:
        settings = getattr(obj, "settings", None)
        for function, setting in settings.items() if isinstance(settings, dict) else ():
            if setting_unit(function) and isinstance(setting, Setting) and isinstance(setting.value, str):
                try:
                    parse_quantity(setting.value, setting_unit(function))
                except QuantityError as error:
                    yield of_quantity(error, setting.marks["value"], f"setting {function}")
