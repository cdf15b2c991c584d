# SPDX-License-Identifier: MIT
"""What several checks share: lists of ids in messages, and who takes or gives power on a phase."""
from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..conductors import bits
from ..errors import CannotTell, Unknown
from ..flow import Flows
from ..site import Controller, CurrentTransformer, Equipment, Load

__all__ = ["known", "kva", "listed", "on_phase", "read_by"]


def known(references: Iterable[Any]) -> list[Any]:
    """Values, all of them known. Raises CannotTell for one that is TBC or could not be read."""
    found = list(references)
    for said in found:
        if isinstance(said, Unknown):
            raise CannotTell(said)
    return found


def listed(ids: Iterable[str], most: int = 8) -> str:
    """Ids for a message, cut where they get many; the finding's objects name them all."""
    words = list(ids)
    return ", ".join(words[:most]) + (f" and {len(words) - most} more" if len(words) > most else "")


def on_phase(site: Flows, above: str, phase: str, classes: type | tuple[type, ...]) -> list[str]:
    """Ids of these classes that a place separates from the point of supply on one phase; spare ways do not count.

    Equipment that stands on a circuit of several phases and says that it uses another one is left out.
    Raises CannotTell where the phase of such equipment is TBC.
    """
    assert site.root is not None
    found = []
    for node in site.net(bits([phase])).under(above, site.root):
        obj = site.obj(node)
        spare = isinstance(obj, Load) and isinstance(obj.kind, str) and obj.kind == "spare"
        elsewhere = isinstance(obj, Equipment) and obj.phase is not None and phase not in obj.phase
        if isinstance(obj, classes) and not spare and not elsewhere:
            found.append(node)
    return found


def kva(va: float) -> str:
    """Power as an operator writes it: 7.5 kVA. va [VA]."""
    return f"{va / 1000:.3g} kVA" if va < 1e5 else f"{va / 1000:.0f} kVA"


def read_by(sensor: CurrentTransformer, site: Flows) -> list[Controller]:
    """The controllers that have a sensor among their inputs."""
    if sensor.id not in site.graph:
        return []
    return [site.obj(v) for _, v, data in site.graph.out_edges(sensor.id, data=True) if data["layer"] == "lead"]
