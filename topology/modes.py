# SPDX-License-Identifier: MIT
"""Operating modes: the few ways in which the switches of a whole site stand, and what conducts inside a device in each.

"With one source isolated" is no mode but a question to `Flows`.
"""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from . import conductors
from .dataclass import dataclass
from .site import Breaker, Changeover, Contactor, Coupler, HybridInverter, InterfaceProtection, Isolator, Storage, Supply, Switch, Switching

__all__ = ["ANY", "GRID", "Mode", "conducts", "joins", "modes_of", "opened_by"]

WITH_NEUTRAL = ("1P+N", "3P+N", "4P")
WITHOUT_NEUTRAL = ("1P solid-N",)


@dataclass(frozen=True, slots=True)
class Mode:
    """A mode. opened: ids of devices that stand open; live: the supply feeds the site; backup: changeovers stand on their alternative
    side and hybrid inverters have opened their relay to the grid; rests: changeovers stay on their normal side all the same; every: all
    positions at once, for "can it ever be reached".
    """

    name: str
    opened: frozenset[str] = frozenset()
    live: bool = True
    backup: bool = False
    rests: bool = False
    every: bool = False

    def __hash__(self) -> int:
        """By name: modes are looked up often, and those of one name mostly are one."""
        return hash(self.name)


GRID = Mode("grid")
"""Normal operation: the supply is live and every switch is closed."""
ANY = Mode("any", every=True)
"""Every position at once: what is not joined here never is."""


def modes_of(objects: Iterable[Any], supply: Any) -> tuple[Mode, ...]:
    """The modes of a site: grid, grid lost with backup, main switch open; with changeover and inverter also what the inverter backs up alone."""
    things = tuple(objects)
    lost = frozenset(o.id for o in things if isinstance(o, InterfaceProtection) or _opens_when_lost(o))
    modes = GRID, Mode("grid lost", lost, live=False, backup=True), Mode("main switch open", lost | _main_switches(supply), backup=True)
    both = any(isinstance(o, Changeover) for o in things) and any(isinstance(o, HybridInverter | Storage) for o in things)
    return (*modes, Mode("grid lost, changeover at normal", lost, live=False, backup=True, rests=True)) if both else modes


def _opens_when_lost(obj: Any) -> bool:
    return isinstance(obj, Contactor) and isinstance(obj.opens, str) and obj.opens == "on loss of supply"


def _main_switches(supply: Any) -> frozenset[str]:
    """The last switch or circuit-breaker of the supply's chain, or of each of its branches."""
    if not isinstance(supply, Supply):
        return frozenset()
    chains = [supply, *(supply.circuits if isinstance(supply.circuits, tuple) else ())]
    found = [[i for i in c.in_line if isinstance(i, Switch | Isolator | Breaker)] for c in chains if isinstance(getattr(c, "in_line", None), tuple)]
    return frozenset(switches[-1].id for switches in found if switches)


def opened_by(poles: Any, phases: int) -> int:
    """What a device of these poles opens where so many phases arrive: a mask over L1 L2 L3 N as the count of phases, and N.

    poles  : 1P, 1P solid-N, 1P+N, 2P, 3P, 3P+N, 4P
    Returns the number of phases that it opens, with conductors.N added where the neutral is opened too.
    Poles that are not known open every phase and leave the neutral closed, which is the worse case for both.
    """
    if not isinstance(poles, str):
        return phases
    number = int(poles[0])
    neutral = poles in WITH_NEUTRAL or poles not in WITHOUT_NEUTRAL and number > max(phases, 1)
    return min(number, phases) | (conductors.N if neutral else 0)


def conducts(obj: Any, conductor: int, mode: Mode, arriving: int = conductors.PHASES) -> bool:
    """Whether a device in line conducts inside in a mode: an open one opens the phases it has poles for, N where they say so, never PE."""
    if not isinstance(obj, Switching) or mode.every or obj.id not in mode.opened:
        return True
    phases = conductors.phase_names(arriving)
    opened = opened_by(obj.poles, len(phases))
    if conductor & conductors.PHASES:
        return conductor not in [conductors.bits([p]) for p in phases[:opened & ~conductors.N]]
    return not (conductor == conductors.N and opened & conductors.N)


def joins(device: Any, ports: tuple[str, str], conductor: int, mode: Mode, arriving: int = conductors.PHASES) -> bool:
    """Whether two terminals of a device are joined inside in a mode. A conductor that it does not open is joined in every mode."""
    if mode.every or conductor & (conductors.PE | conductors.PEN):
        return True
    phases = len(conductors.phase_names(arriving))
    poles = device.poles if isinstance(device, Changeover | Coupler | HybridInverter) else None
    if conductor == conductors.N and isinstance(poles, str) and not opened_by(poles, phases) & conductors.N:
        return True
    if isinstance(device, Changeover):
        by_itself = isinstance(device.operated, str) and device.operated != "manual"
        return ("alternative" if mode.backup and not mode.rests and (by_itself or not mode.live) else "normal") in ports
    if isinstance(device, Coupler):
        return isinstance(device.stands, str) and device.stands == "closed"
    return not (isinstance(device, HybridInverter) and mode.backup)
