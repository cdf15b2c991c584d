# SPDX-License-Identifier: MIT
"""A result beside its limit: whether it is outside, or cannot be compared. That it is inside is never said: that is no verdict."""
from __future__ import annotations

import re
from collections.abc import Iterator

from topology.dataclass import dataclass
from topology.quantity import QuantityError, parse_quantity
from topology.results import RESULT_UNITS, Reading, readings_of

__all__ = ["INCOMPARABLE", "OUTSIDE", "against"]

OUTSIDE = "OUTSIDE"
INCOMPARABLE = "cannot be compared"
EDGE = re.compile(r"([≤≥]) (\S+ [^\s,;]+)")
AROUND = re.compile(r"within (\S+) % of what is expected")
ALIKE = re.compile(r"like strings within (\S+) %")
BETWEEN = re.compile(r"(\d\S*) to (\d\S*)$")


@dataclass(frozen=True)
class _Edge:
    """An edge of the range of a limit: "≤" or "≥", value, unit."""

    sign: str
    value: float
    unit: str

    def broken(self, reading: Reading) -> bool | None:
        """Whether a reading lies beyond it; None where the reading itself only says at least or at most, and that leaves it open."""
        beyond = reading.value > self.value if self.sign == "≤" else reading.value < self.value
        if reading.sign:
            towards = reading.sign == ("<" if self.sign == "≤" else ">")
            return None if beyond == towards else beyond
        return beyond


def against(test: str, expected: str, limit: str, result: str) -> str:
    """OUTSIDE for a result with a reading beyond its limit, INCOMPARABLE where a limit of numbers met none, else nothing.

    Edges of a limit read `≤ 1.92 ohm`, several of them where they are so written, `0.95 to 1.05`, `within 5 % of what is expected`, or, of
    several readings, `like strings within 5 %`.
    """
    edges = [*_edges(limit, RESULT_UNITS.get(test, ())), *_around(expected, limit, RESULT_UNITS.get(test, ()))]
    try:
        readings = readings_of(test, result) if RESULT_UNITS.get(test) else _bare(result)
    except QuantityError:
        return INCOMPARABLE if edges else ""
    if _unlike(limit, [reading.value for reading in readings]):
        return OUTSIDE
    found = [edge.broken(reading) for reading in readings for edge in edges if edge.unit == reading.unit]
    if any(found):
        return OUTSIDE
    return INCOMPARABLE if None in found or edges and not found else ""


def _edges(limit: str, units: tuple[str, ...]) -> Iterator[_Edge]:
    """Edges that a limit states."""
    for sign, text in EDGE.findall(limit):
        for unit in units:
            try:
                yield _Edge(sign, parse_quantity(text, unit), unit)
            except QuantityError:
                continue
    between = BETWEEN.match(limit)
    if between:
        yield from (_Edge("≥", float(between[1]), ""), _Edge("≤", float(between[2]), ""))


def _around(expected: str, limit: str, units: tuple[str, ...]) -> Iterator[_Edge]:
    """Edges at a share of what is expected, where that begins with a quantity."""
    share = AROUND.match(limit)
    quantity = re.match(r"\S+ [^\s,;]+", expected)
    if share is None or quantity is None:
        return
    for unit in units:
        try:
            value, part = parse_quantity(quantity[0], unit), float(share[1]) / 100
        except QuantityError:
            continue
        yield from (_Edge("≥", value * (1 - part), unit), _Edge("≤", value * (1 + part), unit))


def _unlike(limit: str, values: list[float]) -> bool:
    """Whether several readings differ more than a limit of the form `like strings within 5 %` lets them, as a share of the largest."""
    share = ALIKE.match(limit)
    return share is not None and len(values) > 1 and max(values) - min(values) > float(share[1]) / 100 * max(values)


def _bare(result: str) -> list[Reading]:
    """A number without unit, as a ratio is written."""
    return [Reading("", float(result), "")] if re.fullmatch(r"\d+(?:\.\d+)?", result.strip()) else []
