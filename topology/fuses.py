# SPDX-License-Identifier: MIT
"""Fuses by points of their time-current curve: how fast one opens, and what energy it lets through."""
from __future__ import annotations

from collections.abc import Iterable

from .tables import Row, Tables

__all__ = ["curve_of", "least_current", "most_energy", "opens_within"]


def curve_of(tables: Tables, utilisation: str, rated_a: float) -> tuple[Row, ...]:
    """The points that the tables have of the curve of a fuse, the fastest first; none where they have no such fuse.

    utilisation : gG and others
    rated_a     : rating [A]
    A point says at which current the fuse has opened within a time, by the slow end of its band.
    """
    points: dict[float, Row] = {}
    for row in tables.rows("fuses", utilisation=utilisation, rated_a=rated_a):
        points.setdefault(row.number("seconds"), row)  # tables of the user's own come first
    return tuple(points[seconds] for seconds in sorted(points))


def least_current(curve: Iterable[Row], seconds: float) -> Row | None:
    """The point with the least current at which a fuse has opened within a time [s]; None where no point is fast enough.

    Nothing is interpolated: of points at 0.1, 0.4 and 5 s that at 0.4 s answers for a limit of 1 s. Source: IEC 60269-1, time-current gates.
    """
    return min((row for row in curve if row.number("seconds") <= seconds), key=lambda row: row.number("ampere"), default=None)


def opens_within(curve: Iterable[Row], fault_a: float) -> Row | None:
    """The point that says how fast a fuse opens at a fault current [A]: the fastest that the current reaches; None below all of them.

    Nothing is interpolated. Source: IEC 60269-1, time-current gates; points as their rows in topology/tables say.
    """
    return min((row for row in curve if fault_a >= row.number("ampere")), key=lambda row: row.number("seconds"), default=None)


def most_energy(curve: Iterable[Row], fault_a: float) -> tuple[float, Row] | None:
    """The most energy that a fuse lets through at a fault current [A²s], with the point that says so; None below all points.

    fault_a : prospective current [A]
    Formula: I² t of the point with the least I² t that the current reaches. Law: along the curve of a fuse I² t falls as the current grows, until
    it stays at what melts the element. Source: IEC 60269-1, time-current gates and I²t characteristics.
    """
    reached = ((row.number("ampere") ** 2 * row.number("seconds"), row) for row in curve if fault_a >= row.number("ampere"))
    return min(reached, key=lambda found: found[0], default=None)
