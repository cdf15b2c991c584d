# SPDX-License-Identifier: MIT
"""An export limit that no sensor and controller enforce."""
from __future__ import annotations

from typing import Any

from ..errors import CannotTell, Finding, Number, Unknown
from ..flow import Flows
from ..generation import Given, given_by, parallel_sources, total
from ..kinds import Said
from ..rule import rule
from ..site import Controller, CurrentTransformer, Supply
from ._allowed import by_file, enforcer
from ._words import kva, listed

__all__ = ["export_limit_not_enforced"]


@rule(each=Supply, limits=("field-export-limit-means",))
def export_limit_not_enforced(supply: Supply, site: Flows) -> Finding | None:
    """Export limit below the nameplates that nothing enforces: no controller is named, or it reads no grid sensor on a phase with a source.

    Why: a figure on a form limits nothing. What goes out is known only where it is measured, and held only by what reads the measurement. Whether
        the setting is right and how fast it acts is tried on site.
    Bad: limits: {export: 5 kW} beside 8 kVA of sources, and no enforced_by
    Good: limits: {export: 5 kW, enforced_by: GW1}, and GW1 reads CT1 (measures: grid) on each phase that has a source
    Source: Ausgrid, advice on NS194, 2025 (the design shows how export is limited); Western Power, page on technical diagrams (sensors, their phases and links)
    """
    allowed = by_file(site, "export")
    nodes = parallel_sources(site)
    if allowed is None or not nodes:
        return None
    sources = [given_by(site, node) for node in nodes]
    if total(sources) <= allowed.value * (1 + 1e-9):
        return None
    found = _lacking(site, sources)
    if found is None:
        return None
    message, next_, objects = found
    asked = site.profiles.peek("field-export-limit-means")
    ids = tuple(s.id for s in sources)
    return Finding(allowed.mark or supply.mark, f"sources of {kva(total(sources))} may export {allowed.value / 1000:g} kW, but {message}", next_,
                   objects=(supply.id, *objects, *ids),
                   source="" if asked is None else asked.reference,
                   numbers={"sources": Number(total(sources), "VA"), "limit": Number(allowed.value, "W")})


def _lacking(site: Flows, sources: list[Given]) -> tuple[str, str, tuple[str, ...]] | None:
    """What the chain from sensor to controller lacks: in words, with a cure and the ids; None where it is whole."""
    said = enforcer(site)
    if isinstance(said, Unknown):
        raise CannotTell(said)
    if said is None:
        return "nothing is named that enforces it", "name it: limits: {enforced_by: …}", ()
    controller = site.objects.get(said.id)
    phases = sorted({p for s in sources for p in s.phases})
    without = [p for p in phases if p not in _measured(site, controller)]
    if not without:
        return None
    who = f"'{said.id}' reads no grid sensor" if isinstance(controller, Controller) else "there is no grid sensor"
    return f"{who} on {listed(without)}", "put a grid sensor before everything on each phase with a source and read it", (said.id,)


def _measured(site: Flows, controller: Any) -> set[str]:
    """Phases on which grid sensors are read by a controller; by equipment, whose inputs the file does not list, all that there are."""
    if not isinstance(controller, Controller):
        sensors = [o for o in site.objects.values() if isinstance(o, CurrentTransformer)]
    else:
        inputs = list(controller.inputs.values())  # an Unknown raises
        said = [one if isinstance(one, Unknown) else one.sensor for one in inputs]
        if unknown := next((s for s in said if isinstance(s, Unknown)), None):
            raise CannotTell(unknown)
        sensors = [o for s in said if isinstance(s, Said) and isinstance(o := site.objects.get(s.id), CurrentTransformer)]
    return {p for sensor in sensors if sensor.measures == "grid" for p in sensor.phase}
