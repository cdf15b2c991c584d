# SPDX-License-Identifier: MIT
"""A source that feeds loads without the supply by the N–E link of another source."""
from __future__ import annotations

from collections.abc import Iterator

from ..conductors import PHASES, N, bits, phase_names
from ..earthed import DISTRIBUTOR, earthed_parts, links_of
from ..errors import CannotTell, Finding, Unknown
from ..flow import Flows
from ..modes import Mode
from ..rule import rule
from ..site import Generator, HybridInverter, Inlet, Load, Storage, Switching

__all__ = ["link_lost_with_source"]


@rule(each=Generator | Inlet | HybridInverter | Storage, severity="warning", danger=True)
def link_lost_with_source(source: Generator | Inlet | HybridInverter | Storage, site: Flows) -> Iterator[Finding]:
    """Source whose island has an N–E link only as long as another source is in use.

    Why: a generator is fetched when the inverter has failed or is turned off for repair. If the neutral was linked by the inverter's relay, or
        beyond its switches, a fault to earth trips nothing then, residual current devices included. Asked without the supply, with the
        switches of each other source open and its own link gone.
    Bad: ne_link: no on a generator inlet behind a changeover that leaves the neutral closed, beside a hybrid inverter with ne_relay: yes
    Good: ne_link: yes on that inlet, and poles: 2P on its changeover
    Source: IEC 60364-5-55, 551.4 (each way of supply has protection by automatic disconnection of its own), from memory
    """
    if source.id not in site.backs_up or source.id not in site.graph:
        return
    for other in _beside(source.id, site):
        if ("link lost", other) not in site.memo:
            site.memo["link lost", other] = _unlinked(other, site)
        if source.id not in site.memo["link lost", other]:
            continue
        if isinstance(link := getattr(source, "ne_link", getattr(source, "ne_relay", None)), Unknown):
            raise CannotTell(link)
        own = "ne_link: yes" if isinstance(source, Generator | Inlet) else "ne_relay: yes"
        board, mode = site.memo["link lost", other][source.id]
        yield Finding(source.mark, f"'{source.id}' feeds '{board}' without an N–E link when '{other}' is turned off: the link that is there in "
                      f"'{mode}' goes with it", f"give '{source.id}' a link of its own ({own}), and let its changeover open the neutral (poles: 2P, or 4P)",
                      objects=(source.id, other, board))


def _lost(site: Flows) -> Iterator[Mode]:
    return (mode for mode in site.modes if not mode.live)


def _beside(source: str, site: Flows) -> list[str]:
    """The other sources that can take the link of one away when the supply is lost: they have it, or their switches stand before it."""
    return [other for other in site.backs_up if other != source and any(_leads_through(source, other, mode, site) for mode in _lost(site))]


def _leads_through(source: str, other: str, mode: Mode, site: Flows) -> bool:
    net = site.net(N, mode)
    if not net.joined(source, other):
        return False
    links = _links(mode, site)
    return other in links or any(net.separates(d, source, link) for d in _switches(other, site) if d in net.index for link in links if net.joined(source, link))


def _links(mode: Mode, site: Flows) -> frozenset[str]:
    """Every N–E link of the site that counts in a mode, the distributor's by the point of supply; worked out once."""
    key = "links", mode
    if key not in site.memo:
        said = {link for part in earthed_parts(site) for neutral in links_of(part, site, mode) for link in neutral.links}
        site.memo[key] = frozenset(site.root if link == DISTRIBUTOR else link for link in said)
    found: frozenset[str] = site.memo[key]
    return found


def _unlinked(other: str, site: Flows) -> dict[str, tuple[str, str]]:
    """The sources that feed a load without an N–E link when another one is turned off, with its board and the mode in which it has one."""
    found: dict[str, tuple[str, str]] = {}
    for mode in _lost(site):
        off = Mode(f"{other} off, {mode.name}", mode.opened | set(_switches(other, site)), mode.live, mode.backup, mode.rests)
        for load in _left_without(other, mode, off, site):
            for source in {s for p in phase_names(site.phases_at(load) & PHASES) for s in site.reaching(load, bits([p]), off)} - {other, *found}:
                found[source] = site.upstream_to_bar(load)[-1], mode.name
    return found


def _left_without(other: str, mode: Mode, off: Mode, site: Flows) -> Iterator[str]:
    """The loads whose neutral has a link in one mode and none but that of a source turned off in another."""
    net, before = site.net(N, off), site.net(N, mode)
    for part in earthed_parts(site):
        linked = [neutral.node for neutral in links_of(part, site, mode) if neutral.links]
        bare = [neutral.node for neutral in links_of(part, site, off) if set(neutral.links) <= {other}]
        for node in part.nodes if linked and bare else ():
            if isinstance(site.obj(node), Load) and any(net.joined(node, n) for n in bare) and any(before.joined(node, n) for n in linked):
                yield node


def _switches(source: str, site: Flows) -> Iterator[str]:
    """The devices that turn a source off: up to the bar that it feeds into, and at its other terminals."""
    obj = site.obj(source)
    start = f"{source}.grid" if isinstance(obj, HybridInverter) else source
    away = isinstance(obj, Generator | Inlet)
    trail = [] if away or start not in site.graph else site.upstream_to_bar(start)
    yield from (node for node in trail if isinstance(site.obj(node), Switching))
    for name, port in getattr(obj, "ports", {}).items() if isinstance(obj, HybridInverter | Generator | Inlet) else ():
        if name != "grid" and isinstance(port.in_line, tuple):
            yield from (item.id for item in port.in_line if isinstance(item, Switching))
