# SPDX-License-Identifier: MIT
"""Whether and how fast a fault is disconnected: trip currents, largest loop impedance, times."""
from __future__ import annotations

from collections.abc import Mapping

from .dataclass import dataclass
from .tables import NoRow, Row, Tables

__all__ = ["INSTANTANEOUS_S", "Clearing", "clears", "conventional", "energy_limit", "largest_loop", "loop_of_residual", "needed_time", "residual_times",
           "trip_current"]

INSTANTANEOUS_S = 0.1
"""A circuit-breaker trips within this time above its instantaneous band. Source: IEC 60898-1, time-current operating characteristics."""


@dataclass(frozen=True, slots=True)
class Clearing:
    """How a fault is cleared. seconds: longest time, None where the device cannot be relied on at this current."""

    seconds: float | None
    by: str
    working: str


def trip_current(tables: Tables, rated_a: float, curve: str, basis: str = "upper") -> float:
    """Current at which a circuit-breaker is taken to trip at once [A].

    rated_a : rating [A]
    curve   : B, C or D of IEC 60898-1 (breakers after IEC 60947-2 differ: 10 to 14 for D)
    basis   : "upper", the end of the band (IEC 60364-4-41, BS 7671); "mean", the mean multiple (AS/NZS 3000)
    Formula: Ia = multiple × In. Source: IEC 60898-1, bands as their row says. Raises NoRow for another curve.
    """
    return rated_a * tables.row("trip_bands", curve=curve).number(basis)


def largest_loop(u0_v: float, trip_a: float, c: float = 1.0) -> float:
    """Largest earth-fault loop impedance at which a device disconnects in time [ohm].

    c : voltage factor: 0.95 in BS 7671 since 2015, 1 before and in AS/NZS 3000
    Formula: Zs = c U0 / Ia. Source: IEC 60364-4-41 clause 411.4.4.
    """
    return c * u0_v / trip_a


def loop_of_residual(residual_a: float, touch_v: float = 50.0) -> float:
    """Largest resistance of earth for a residual current device [ohm]: 50 V / IΔn. Source: IEC 60364-4-41 clause 411.5.3."""
    return touch_v / residual_a


def needed_time(tables: Tables, earthing: str, use: str, u0_v: float) -> Row:
    """The row with the longest disconnection time. earthing: TN or TT; use: final or distribution; u0_v: above 50.

    Source: IEC 60364-4-41 clause 411.3.2. Raises NoRow outside.
    """
    for row in tables.rows("disconnection", earthing=earthing, use=use):
        if row.number("u0_above_v") < u0_v <= row.number("u0_to_v"):
            return row
    raise NoRow(f"the tables have no disconnection time for {earthing}, {use}, {u0_v:g} V")


def conventional(tables: Tables, device: str, state: str, rated_a: float) -> Row:
    """The row with the multiple of its rating that a device carries for the conventional time, or at which it has opened by then.

    device  : breaker or fuse
    state   : carries or opens
    rated_a : rating [A]
    Source: IEC 60898-1, IEC 60269-1, as the row says. Raises NoRow outside.
    """
    key = "conventional", device, state, rated_a
    if key not in tables.memo:
        rows = tables.rows("conventional", device=device, state=state)
        tables.memo[key] = next((row for row in rows if row.number("from_a") <= rated_a < row.number("below_a")), None)
    if isinstance(found := tables.memo[key], Row):
        return found
    raise NoRow(f"the tables have no conventional current for a {device} of {rated_a:g} A")


def energy_limit(tables: Tables, energy_class: float, curve: str, rated_a: float, fault_a: float) -> Row | None:
    """The row with the most energy that a circuit-breaker of an energy limiting class lets through at a fault; None outside.

    energy_class : 2 or 3; curve: B or C
    rated_a      : rating, up to 40 [A]
    fault_a      : prospective current [A]; the row of the next breaking capacity counts, as guides to the wiring rules choose it (from memory)
    Source: EN 60898-1 annex ZA, as the rows say.
    """
    rows = [row for row in tables.rows("energy_limits", energy_class=energy_class, curve=curve)
            if row.number("above_a") < rated_a <= row.number("up_to_a") and row.number("breaking_a") >= fault_a]
    return min(rows, key=lambda row: row.number("breaking_a"), default=None)


def residual_times(tables: Tables, selective: bool = False) -> dict[float, float]:
    """Longest break times of a residual current device [s], by multiples of its rated residual current. selective: of type S, which waits.

    Source: IEC 61008-1 and IEC 61009-1, as the rows say.
    """
    rows = tables.rows("residual_times", delay="selective" if selective else "general")
    return {row.number("multiple"): row.number("seconds") for row in reversed(list(rows))}  # of two rows the first wins


def clears(fault_a: float, trip_a: float | None, residual_a: float | None = None, times_s: Mapping[float, float] | None = None) -> Clearing:
    """How the smallest fault current is cleared: at once by the overcurrent device, else by the residual current device.

    fault_a    : smallest earth-fault current [A]
    trip_a     : see trip_current; None where no overcurrent device with a known band stands before the circuit
    residual_a : rated residual current of a device before the circuit [A], None without one
    times_s    : its break times by multiples of that, see residual_times
    Times of thermal tripping are not taken: they need the maker's curve. Source: IEC 60898-1, IEC 61008-1 (times), IEC 60364-4-41.
    """
    if trip_a is not None and fault_a >= trip_a:
        return Clearing(INSTANTANEOUS_S, "overcurrent device", f"{fault_a:.0f} A ≥ {trip_a:.0f} A: within {INSTANTANEOUS_S:g} s")
    if residual_a is not None:
        for multiple, seconds in sorted((times_s or {}).items(), reverse=True):
            if fault_a >= multiple * residual_a:
                return Clearing(seconds, "residual current device",
                                f"{fault_a:.0f} A ≥ {multiple:g} × {residual_a * 1000:g} mA: within {seconds:g} s")
    band = f"{fault_a:.0f} A < {trip_a:.0f} A" if trip_a is not None else f"{fault_a:.0f} A"
    return Clearing(None, "no device at once", f"{band}: not at once")
