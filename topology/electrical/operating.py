# SPDX-License-Identifier: MIT
"""What flows in each way of operating a site: loads, generation, charging, as draws on the nodes of the tree."""
from __future__ import annotations

from dataclasses import replace
from typing import Any

from ..conductors import NEUTRAL
from ..dataclass import dataclass
from ..demand import apparent, draws_of, motor_power, nominal_current
from ..errors import CannotTell, Unknown
from ..site import Board, Equipment, Generator, HybridInverter, Load, ModuleInverters, Storage
from ..sweep import Draw, accumulate
from .given import Given, known
from .tree import Tree, numbered

__all__ = ["CASES", "Case", "cases", "charges", "currents", "limits_before", "own_shares", "phases_of", "rated_va"]

MOTORS = ("motor", "pump", "air conditioning")


@dataclass(frozen=True)
class Case:
    """One way of operating.

    name    : of CASES
    draws   : what each node draws, limited where a device before several loads limits it
    missing : for each node what is not known behind it, so that no current there can be told; empty where all is known
    limited : device nodes that limit what is behind them, with the current that all loads at once would draw [A]
    local   : for each node the currents in L1, L2, L3 that what is behind it draws where only devices behind it limit them [A]
    reach   : the largest of these, limited by the node itself where it is such a device [A]
    behind  : how many things draw or give behind each node
    more    : for each node how many times the current of `draws` there that can flow there when other loads rest [-]: devices further up scale
              all loads down together, and one of them may run alone; 1 where nothing is limited
    asked   : what each node would draw if no device limited it
    """

    name: str
    draws: tuple[Draw, ...]
    missing: dict[int, Unknown]
    limited: dict[int, float]
    local: list[list[complex]]
    reach: list[float]
    behind: list[int]
    more: list[float]
    asked: tuple[Draw, ...]


CASES = {
    "demand": "all loads, no generation, storage idle; what a device lets through is the most that is counted",
    "charging": "all loads, storage charging at its rating, no generation",
    "export": "all generation and storage discharging at nameplate, no load",
    "limited": "as export, but at the limit that software sets",
}
"""The ways of operating that are computed, by name."""


def rated_va(given: Given, obj: Any, limited: bool = False) -> float:
    """Apparent power of equipment [VA]: nameplate, or the limit that its software sets where it has one."""
    if isinstance(obj, Generator):
        return float(known(obj.power))
    kind = given.flows.type_of(obj)
    power = kind.power
    if limited and not isinstance(kind.limit, Unknown):
        power = kind.limit
    return float(known(power)) * (known(obj.number) if isinstance(obj, ModuleInverters) else 1)


def phases_of(given: Given, tree: Tree, node: int) -> tuple[int, ...]:
    """The phases of the supply that equipment or a load stands on. Raises CannotTell where the file leaves it open."""
    obj = tree.obj(node)
    said = getattr(obj, "phase", None)
    if said is not None:
        return numbered(tuple(known(said)))
    arriving = tree.phases(node)
    most = _most_phases(given, tree, node, obj)
    if len(arriving) > most:
        raise CannotTell(Unknown(obj.mark, f"phase of {obj.id}"))
    return arriving


def _most_phases(given: Given, tree: Tree, node: int, obj: Any) -> int:
    """How many phases can be in use at a node: by the type of the equipment, and by the poles of the devices up to the bar."""
    most = 3
    if isinstance(obj, Equipment | HybridInverter):
        kind = given.flows.type_of(obj)
        most = known(kind.phases) if not isinstance(kind.phases, Unknown) else 3
    for above in tree.up(node):
        device = tree.obj(above)
        poles = getattr(device, "poles", None)
        if isinstance(poles, str):
            most = min(most, 1 if poles.startswith("1P") else 2 if poles == "2P" else 3)
        if isinstance(device, Board):
            break
    return 1 if most == 2 and len(tree.phases(node)) == 3 else most


def charges(given: Given, inverter: HybridInverter) -> bool:
    """Whether a hybrid inverter may charge its battery from the supply: it has one, and nobody says that it does not."""
    operation = given.flows.site.operation
    return inverter.battery is not None and (isinstance(operation, Unknown) or operation.charge_from_grid is not False)


class _Maker:
    """Makes the draws of one way of operating."""

    def __init__(self, given: Given, tree: Tree, loads: bool, storage: int, generation: bool, limited: bool) -> None:
        self.given, self.tree = given, tree
        self.loads, self.storage, self.generation, self.software = loads, storage, generation, limited
        self.draws: list[Draw] = []
        self._diversity: dict[int, Any] = {}
        self.missing: dict[int, Unknown] = dict(tree.looped)

    def run(self) -> None:
        for node in range(len(self.tree.ids)):
            try:
                self.draws += self.at(node, self.tree.obj(node))
            except CannotTell as error:
                for above in self.tree.up(node, itself=True):
                    self.missing.setdefault(above, error.unknown)

    def at(self, node: int, obj: Any) -> list[Draw]:
        """What one node draws."""
        power = self.power(node, obj)
        if not power:
            return []
        link = self.tree.links[node]
        neutral = link is None or bool(link.conductors & NEUTRAL)
        drawn = draws_of(node, power, phases_of(self.given, self.tree, node), self.given.u0, to_neutral=neutral)
        for draw in drawn:
            try:
                nominal_current(draw, self.given.source)
            except ValueError:
                raise CannotTell(Unknown(obj.mark, f"phase of {obj.id} (the supply does not have it)")) from None
        return drawn

    def power(self, node: int, obj: Any) -> complex:
        if isinstance(obj, Load):
            return self.load(node, obj) if self.loads else 0j
        if isinstance(obj, Storage):
            return complex(self.storage * rated_va(self.given, obj, self.software)) if self.storage else 0j
        if isinstance(obj, HybridInverter) and self.storage > 0 and not self.generation:
            return complex(rated_va(self.given, obj)) if charges(self.given, obj) else 0j
        if isinstance(obj, Equipment | HybridInverter):
            return complex(-rated_va(self.given, obj, self.software)) if self.generation else 0j
        return 0j

    def load(self, node: int, load: Load) -> complex:
        """Complex power of a load [VA]; the rating of its device where the file gives no power."""
        if not isinstance(load.kind, Unknown) and load.kind == "spare":
            return 0j
        if isinstance(load.power, Unknown) and (self.given.at_once or not load.power.given) and not load.power.silent:
            return self.by_device(node, load)
        factor = load.power_factor
        default = self.given.number("motor-power-factor") if not isinstance(load.kind, Unknown) and load.kind in MOTORS else 1.0
        power = known(load.power) if load.efficiency is None else motor_power(known(load.power), known(load.efficiency) / 100)
        return apparent(power, default if factor is None else float(known(factor))) * self.diversity(node)

    def by_device(self, node: int, load: Load) -> complex:
        device = next((obj for above in self.tree.up(node) if getattr(obj := self.tree.objects[above], "limits_current", False)), None)
        if device is None:
            raise CannotTell(load.power)  # type: ignore[arg-type]
        return complex(known(device.rating) * self.given.u0 * len(phases_of(self.given, self.tree, node)))

    def said_diversity(self, node: int) -> Any:
        """What the nearest board from a node upwards says of diversity; None where none says any."""
        way: list[int] = []
        said = None
        for above in self.tree.up(node, itself=True):
            if above in self._diversity:
                said = self._diversity[above]
                break
            way.append(above)
            obj = self.tree.obj(above)
            if isinstance(obj, Board) and obj.diversity is not None:
                said = obj.diversity
                break
        self._diversity |= dict.fromkeys(way, said)
        return said

    def diversity(self, node: int) -> float:
        """Share of the loads that run together: of the nearest board that says one, else of the profile [-]."""
        said = self.said_diversity(self.tree.parent[node])
        if self.given.at_once and isinstance(said, Unknown):
            return 1.0
        return (self.given.number("diversity") if said is None else float(known(said))) / 100


def cases(given: Given, tree: Tree) -> dict[str, Case]:
    """All ways of operating by name. Raises CannotTell where the voltage of the supply is not known."""
    known(given.u0)
    settings: dict[str, tuple[bool, int, bool, bool]] = {
        "demand": (True, 0, False, False), "charging": (True, 1, False, False), "export": (False, -1, True, False),
        "limited": (False, -1, True, True)}
    found = {}
    for name, (loads, storage, generation, limited) in settings.items():
        maker = _Maker(given, tree, loads, storage, generation, limited)
        maker.run()
        found[name] = _limited(given, tree, maker, name)
    return found


def _limited(given: Given, tree: Tree, maker: _Maker, name: str) -> Case:
    """A case with loads scaled down behind a device that would let no more through, the nearest devices first.

    Generation is not scaled: it trips the device. A device before a single load limits nothing: that load is too large for it.
    """
    flow = [[0j, 0j, 0j] for _ in tree.ids]
    behind, scale, reach = [0] * len(tree.ids), [1.0] * len(tree.ids), [0.0] * len(tree.ids)
    cut: dict[int, float] = {}
    for node in {draw.node for draw in maker.draws}:
        behind[node] = 1
    for draw in maker.draws:
        current = nominal_current(draw, given.source)
        for place, sign in zip(draw.between, (1, -1), strict=True):
            if place < 3:
                flow[draw.node][place] += sign * current
    for node in range(len(tree.ids) - 1, -1, -1):
        most = max(abs(current) for current in flow[node])
        rating = _limit_of(tree.obj(node))
        if maker.loads and behind[node] > 1 and rating is not None and most > rating:
            scale[node], cut[node] = rating / most, most
        reach[node] = most * scale[node]
        if node:
            behind[tree.parent[node]] += behind[node]
            flow[tree.parent[node]] = [a + b * scale[node] for a, b in zip(flow[tree.parent[node]], flow[node], strict=True)]
    for node in range(1, len(tree.ids)):
        scale[node] *= scale[tree.parent[node]]
    draws = tuple(replace(draw, s_va=draw.s_va * scale[draw.node]) for draw in maker.draws)
    more = [own / all_ for own, all_ in zip(own_shares(tree, flow, behind), scale, strict=True)] if cut else [1.0] * len(tree.ids)
    return Case(name, draws, maker.missing, cut, flow, reach, behind, more, tuple(maker.draws))


def own_shares(tree: Tree, flow: list[list[complex]], behind: list[int]) -> list[float]:
    """For each node how much of what its loads draw together the nearest device before it lets through [-]; 1 where one load alone is behind."""
    shares = [1.0] * len(tree.ids)
    for node, limit in enumerate(limits_before(tree)):
        most = max(map(abs, flow[node]))
        if behind[node] > 1 and limit is not None and most > limit:
            shares[node] = limit / most
    return shares


def limits_before(tree: Tree) -> list[float | None]:
    """For each node the rating of the nearest device before it that limits current [A]; None without one, and where its rating is open."""
    limits: list[float | None] = [None] * len(tree.ids)
    for node in range(1, len(tree.ids)):
        above = tree.obj(tree.parent[node])
        limits[node] = _limit_of(above) if getattr(above, "limits_current", False) else limits[tree.parent[node]]
    return limits


def _limit_of(obj: Any) -> float | None:
    """The rating of a device that limits current [A]; None for any other."""
    return obj.rating if getattr(obj, "limits_current", False) and isinstance(obj.rating, float) else None


def currents(given: Given, tree: Tree, case: Case) -> list[list[complex]]:
    """Currents into each node in L1, L2, L3 and N [A] at nominal voltages."""
    chosen = [(d.node, d.between, nominal_current(d, given.source)) for d in case.draws]
    return accumulate(tree.parent, chosen)
