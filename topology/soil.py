# SPDX-License-Identifier: MIT
"""Parts of a site whose earth-fault current returns through the soil (TT): which they are, and what their electrodes resist."""
from __future__ import annotations

from typing import Any

from .conductors import N
from .earthed import EarthedPart, earthed_parts
from .electrical import solve
from .errors import CannotTell, Unknown
from .flow import Flows
from .modes import GRID
from .profiles import LimitEntry
from .site import Board, Electrode, Equipment, Generator, Inlet, Load, NeutralEarthLink, Supply, System

__all__ = ["brings_neutral_only", "earth_resistances", "guarded", "soil_part", "touch_voltage"]


def brings_neutral_only(flows: Flows) -> bool:
    """Whether the supply brings a neutral and neither PE nor PEN (TT)."""
    supply = flows.site.supply
    system = supply.system if isinstance(supply, Supply) else None
    return isinstance(system, System) and not isinstance(system.code, Unknown) and system.code[1] == "N"


def soil_part(node: str, flows: Flows) -> EarthedPart | None:
    """The PE-connected part of a node where nothing but the soil joins its PE to the neutral; None for any other node.

    That is a part without N–E link and without the distributor's PE, on a supply that brings a neutral only, or with an electrode of its
    own beside a part that is linked. Source: IEC 60364-1, 312.2.2 (TT system), from memory.
    """
    if "soil" not in flows.memo:
        flows.memo["soil"] = {name: part for part in earthed_parts(flows) if _is_soil(part, flows) for name in part.nodes}
    found: EarthedPart | None = flows.memo["soil"].get(node)
    return found


def _is_soil(part: EarthedPart, flows: Flows) -> bool:
    if part.supplied or any(_links(n, flows) for n in part.nodes):
        return False
    return brings_neutral_only(flows) or bool(part.electrodes) and _neutral_from_outside(part, flows)


def _links(node: str, flows: Flows) -> bool:
    """Whether a node links neutral and earth while the supply is there; the link of a generator or inlet does so only on the supply's neutral."""
    obj = flows.obj(node)
    if isinstance(obj, NeutralEarthLink):
        return obj.closed != "in backup" if isinstance(obj.closed, str) else True
    if not isinstance(obj, Generator | Inlet) or obj.ne_link is not True or flows.root is None or node not in flows.wires.neutral:
        return False
    return flows.net(N, GRID).joined(flows.root, node)


def _neutral_from_outside(part: EarthedPart, flows: Flows) -> bool:
    """Whether the neutral of a part is joined to the point of supply."""
    net = flows.net(N, GRID)
    return flows.root is not None and any(n in flows.wires.neutral and net.joined(flows.root, n) for n in part.nodes)


def earth_resistances(part: EarthedPart, flows: Flows) -> tuple[tuple[float, ...], Unknown | None]:
    """What the electrodes of a part are said to resist to earth, each alone [ohm], and an electrode that does not say it.

    In parallel they resist no more than the best of them, and no less than 1 / Σ 1/R. Raises CannotTell where none says its resistance.
    """
    said = [obj.resistance for n in part.electrodes if isinstance(obj := flows.obj(n), Electrode)]
    open_ = next((r for r in said if isinstance(r, Unknown)), None)
    known = tuple(r for r in said if not isinstance(r, Unknown))
    if not known:
        raise CannotTell(open_ or Unknown(flows.obj(part.nodes[0]).mark, "earth electrode of this part", given=False))
    return known, open_


def touch_voltage(flows: Flows) -> LimitEntry:
    """The voltage to earth that electrode and rated residual current may give [V], of the site's profiles or else the international one."""
    return flows.profiles.peek("touch-voltage") or solve(flows).given.figure("touch-voltage")


def guarded(flows: Flows) -> dict[str, tuple[str, ...]]:
    """Boards, loads and equipment of such parts behind each residual current device, with no other one between; spare ways are left out."""
    if "guarded" not in flows.memo:
        solved, found = solve(flows), {}
        for node, name in enumerate(solved.tree.ids):
            device: Any = solved.faults.residual(node)
            if device is not None and _may_be_touched(solved.tree.obj(node)) and soil_part(name, flows) is not None:
                found.setdefault(device.id, []).append(name)
        flows.memo["guarded"] = {device: tuple(names) for device, names in found.items()}
    answer: dict[str, tuple[str, ...]] = flows.memo["guarded"]
    return answer


def _may_be_touched(thing: Any) -> bool:
    return isinstance(thing, Board | Equipment) or isinstance(thing, Load) and not (isinstance(thing.kind, str) and thing.kind == "spare")
