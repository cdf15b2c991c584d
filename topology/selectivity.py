# SPDX-License-Identifier: MIT
"""Which of two overcurrent devices in series opens first, by ratings and by the bands of their curves; the makers' tables prevail."""
from __future__ import annotations

from typing import Any

from .disconnection import conventional
from .errors import CannotTell, Unknown
from .site import Breaker, Fuse, FuseSwitch
from .tables import Tables

__all__ = ["holds_up_to", "may_trip", "needs_to_trip", "starts_at"]


def _known(value: Any) -> Any:
    if isinstance(value, Unknown):
        raise CannotTell(value)
    return value


def _kind(device: Any) -> str:
    return "fuse" if isinstance(device, Fuse | FuseSwitch) else "breaker"


def _conventional(tables: Tables, device: Any, state: str) -> float:
    rated = float(_known(device.rating))
    return rated * conventional(tables, _kind(device), state, rated).number("multiple")


def may_trip(tables: Tables, device: Any) -> float:
    """Current above which a device may open in the conventional time [A]. Raises CannotTell."""
    return _conventional(tables, device, "carries")


def needs_to_trip(tables: Tables, device: Any) -> float:
    """Current at which a device has opened in the conventional time [A]. Raises CannotTell."""
    return _conventional(tables, device, "opens")


def starts_at(tables: Tables, device: Any) -> float | None:
    """Current from which a circuit-breaker may open at once [A]: the lower end of its band (IEC 60898-1); None for a fuse. Raises CannotTell."""
    if not isinstance(device, Breaker):
        return None
    return float(_known(device.rating)) * tables.row("trip_bands", curve=_known(device.curve)).number("lower")


def holds_up_to(tables: Tables, upstream: Any, downstream: Any) -> float | None:
    """Fault current up to which the downstream one of two devices opens alone [A]; None where its maker's table is needed (fuses).

    0 where they are not selective even on overload. Above it both may open: only the energy that they let through tells, which is the maker's figure.
    Source: IEC 60898-1, conventional currents and bands. Raises CannotTell.
    """
    if may_trip(tables, upstream) < needs_to_trip(tables, downstream):
        return 0.0
    return starts_at(tables, upstream)
