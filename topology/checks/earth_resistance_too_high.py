# SPDX-License-Identifier: MIT
"""An earth electrode that resists so much that a residual current device trips too late."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..earthed import EarthedPart
from ..electrical import solve
from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..profiles import LimitEntry
from ..rule import rule
from ..site import Board, Equipment, Load, Rcbo, Rcd
from ..soil import earth_resistances, soil_part
from ._sources import spare
from ._status import severity_for

__all__ = ["earth_resistance_too_high"]


@rule(each=Rcd | Rcbo, danger=True, limits=("touch-voltage", "electrode-unsteady-above"))
def earth_resistance_too_high(device: Rcd | Rcbo, site: Flows) -> Iterator[Finding]:
    """Residual current device at a TT supply whose rated residual current times the resistance of the electrode is above the touch voltage.

    Why: a fault to earth then puts more than the touch voltage on every metal part of the installation before the device trips. A high
        resistance changes with the weather, so that the electrode gets a note where it is above the profile's figure.
    Bad: electrode: rod 10 mm² 400 ohm, and rcd: 63 A 2P 300 mA type A before a board
    Good: electrode: rod 10 mm² 80 ohm, or a device of 30 mA there
    Source: IEC 60364-4-41, 411.5.3: RA × IΔn ≤ 50 V, RA the electrode with the protective conductors
    """
    guarded = _guarded(site).get(device.id)
    if guarded is None or device.status == "removed":
        return
    part = soil_part(guarded[0], site)
    assert part is not None
    touch, steady = _figure(site, "touch-voltage"), site.profiles.find("electrode-unsteady-above")
    said, open_ = earth_resistances(part, site)
    ohm = min(said)
    residual = device.residual + 0  # an Unknown raises
    volts, numbers = ohm * residual, {"RA": Number(ohm, "ohm"), "residual current": Number(residual, "A")}
    ids = (device.id, *part.electrodes, *guarded)
    if volts > touch.si * (1 + 1e-9):
        if open_ is not None:
            raise CannotTell(open_)
        yield Finding(device.mark, f"{ohm:g} ohm × {residual * 1000:g} mA of '{device.id}' are {volts:.0f} V to earth, at most {touch.si:g} V are allowed",
                      f"lower the resistance to {touch.si / residual:.0f} ohm, or take a more sensitive device", objects=ids, numbers=numbers,
                      severity=severity_for(site, ids, touch.severity), source=touch.reference)
    elif steady is not None and steady.value is not None and ohm > steady.si and open_ is None and _is_first(device, part, site):
        electrode = site.obj(part.electrodes[0])
        yield Finding(electrode.mark, f"'{electrode.id}' resists {ohm:g} ohm, and above {steady.si:g} ohm it may not be steady",
                      "measure it in a dry season, or lengthen the electrode", objects=(electrode.id,), severity="note", source=steady.reference,
                      numbers={"RA": numbers["RA"], "steady up to": Number(steady.si, "ohm")})


def _is_first(device: Rcd | Rcbo, part: EarthedPart, site: Flows) -> bool:
    """Whether a device is the first one of its part, so that the electrode is spoken of once."""
    return device.id == next(name for name, guarded in _guarded(site).items() if soil_part(guarded[0], site) is part)


def _figure(site: Flows, id_: str) -> LimitEntry:
    """An entry of the site's profiles, else of the international one."""
    return site.profiles.find(id_) or solve(site).given.figure(id_)


def _guarded(site: Flows) -> dict[str, list[str]]:
    """What stands at a TT supply behind each residual current device, with no other one between; worked out once."""
    if "guarded" not in site.memo:
        solved, found = solve(site), {}
        for node, name in enumerate(solved.tree.ids):
            device: Any = solved.faults.residual(node)
            thing = solved.tree.obj(node)
            if device is not None and isinstance(thing, Board | Load | Equipment) and not spare(thing) and soil_part(name, site) is not None:
                found.setdefault(device.id, []).append(name)
        site.memo["guarded"] = found
    guarded: dict[str, list[str]] = site.memo["guarded"]
    return guarded
