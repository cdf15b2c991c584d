# SPDX-License-Identifier: MIT
"""Notes on how a site is earthed: the system, what links neutral and earth, what is bonded."""
from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from topology.errors import Unknown
from topology.flow import Flows
from topology.site import Bond, Changeover, EarthBar, Generator, HybridInverter, Inlet, NeutralEarthLink

from sld.facts import amount

__all__ = ["earthing_notes"]

SYSTEMS = {"PEN": "neutral and protective conductor come combined (PEN)", "N/PE": "the supply brings N and PE apart (TN-S from there on)",
           "N": "the supply brings no protective conductor (TT)", "PE": "the supply brings no neutral"}
"""What comes with the supply; names of systems after IEC 60364-1, from memory."""


def earthing_notes(flows: Flows) -> Iterator[str]:
    """A line on the earthing of the site, and one for what is bonded."""
    system = getattr(flows.site.supply, "system", None)
    code = getattr(system, "code", None)
    if isinstance(code, tuple):
        yield f"Earthing: {'; '.join((SYSTEMS[code[1]], *_links(flows, code[1]), *_relays(flows)))}."
    for bar in flows.objects.values():
        if isinstance(bar, EarthBar) and isinstance(bar.bonding, tuple) and bar.bonding:
            bonds = (f"{bond.part} {amount(bond.conductor, 'mm2')}" for bond in bar.bonding if isinstance(bond, Bond))
            yield f"Bonded to {bar.id}: {', '.join(bonds)}."


def _links(flows: Flows, code: str) -> Iterator[str]:
    """Where neutral and earth are linked; of a supply without PE, what earths its protective conductors."""
    links = [obj.id for obj in flows.objects.values() if isinstance(obj, NeutralEarthLink)]
    if code == "N":
        bars = [bar.id for bar in flows.objects.values() if isinstance(bar, EarthBar) and bar.electrode is not None
                and (not isinstance(bar.electrode, Unknown) or bar.electrode.given)]
        yield f"protective conductors are earthed by the electrode of {', '.join(bars)}" if bars else "no electrode is shown"
    elif links and code == "PEN":
        yield f"N and PE part at {', '.join(links)} (TN-C-S)"
    elif code == "PEN":
        yield "no N–E link is shown"
    if links and code != "PEN":
        yield f"N–E link of the site: {', '.join(links)}"


def _relays(flows: Flows) -> Iterator[str]:
    """Which device links N and earth when the supply is lost, and which generator has a link of its own."""
    for obj in flows.objects.values():
        if isinstance(obj, HybridInverter) or isinstance(obj, Changeover) and obj.ne_relay is not False:
            yield f"in backup {obj.id} {_said(obj.ne_relay, 'closes')}"
        elif isinstance(obj, Generator | Inlet):
            yield f"{obj.id} {_said(obj.ne_link, 'has')}"


def _said(link: Any, verb: str) -> str:
    return f"{verb} {'an' if link else 'no'} N–E link" if isinstance(link, bool) else "(N–E link TBC)"
