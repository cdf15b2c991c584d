# SPDX-License-Identifier: MIT
"""An earth electrode that resists so much that a residual current device trips too late."""
from __future__ import annotations

from collections.abc import Iterator

from ..earthed import EarthedPart
from ..errors import CannotTell, Finding, Number
from ..flow import Flows
from ..rule import rule
from ..site import Rcbo, Rcd
from ..soil import earth_resistances, guarded, soil_part, touch_voltage

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
    behind = guarded(site).get(device.id)
    if behind is None or device.status == "removed":
        return
    part = soil_part(behind[0], site)
    assert part is not None
    touch, steady = touch_voltage(site), site.profiles.find("electrode-unsteady-above")
    said, open_ = earth_resistances(part, site)
    ohm = min(said)
    residual = device.residual + 0  # an Unknown raises
    volts, numbers = ohm * residual, {"RA": Number(ohm, "ohm"), "residual current": Number(residual, "A")}
    ids = (device.id, *part.electrodes, *behind)
    if volts > touch.si * (1 + 1e-9):
        if open_ is not None:
            raise CannotTell(open_)
        yield Finding(device.mark, f"{ohm:g} ohm × {residual * 1000:g} mA of '{device.id}' are {volts:.0f} V to earth, at most {touch.si:g} V are allowed",
                      f"lower the resistance to {touch.si / residual:.0f} ohm, or take a more sensitive device", objects=ids, numbers=numbers,
                      severity=touch.severity, source=touch.reference)
    elif steady is not None and steady.value is not None and ohm > steady.si and open_ is None and _is_first(device, part, site):
        electrode = site.obj(part.electrodes[0])
        yield Finding(electrode.mark, f"'{electrode.id}' resists {ohm:g} ohm, and above {steady.si:g} ohm it may not be steady",
                      "measure it in a dry season, or lengthen the electrode", objects=(electrode.id,), severity="note", source=steady.reference,
                      numbers={"RA": numbers["RA"], "steady up to": Number(steady.si, "ohm")})


def _is_first(device: Rcd | Rcbo, part: EarthedPart, site: Flows) -> bool:
    """Whether a device is the first one of its part, so that the electrode is spoken of once."""
    return device.id == next(name for name, behind in guarded(site).items() if soil_part(behind[0], site) is part)
