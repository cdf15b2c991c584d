# SPDX-License-Identifier: MIT
"""What calls for a label on boards, on switches between supply and sources, and at the origin."""
from __future__ import annotations

from collections.abc import Iterator

from topology import conductors
from topology.site import Board, Bond, Circuit, Contactor, Electrode, HybridInverter, Load, NeutralEarthLink, Operation, Storage

from .circuits import circuits
from .isolating import called, grid_switch
from .label_site import LabelSite, Place, panels

__all__ = ["at_origin", "backed_up", "backup_switch", "boards_of_sources", "boards_with_backup", "controlled_loads", "earth", "generator_switch", "grid_switch_sign",
           "isolation_points", "local_isolators", "meter_panel", "origin", "other_boards", "power_sharing", "residual", "several_switches",
           "source_main", "two_colours", "vehicle_supplies", "victoria", "whole_site"]


def grid_switch_sign(site: LabelSite) -> Iterator[Place]:
    """The grid's main switch, where the site has other sources."""
    switch = grid_switch(site.flows)
    if switch and site.switches:
        yield Place(switch, "the site has other supplies beside the grid", {})


def source_main(site: LabelSite) -> Iterator[Place]:
    """The switch of each source next to its board."""
    seen: set[str] = set()
    for s in site.switches:
        if s.main and s.source not in site.away and s.main not in seen:
            seen.add(s.main)
            shared = [other.source for other in site.switches if other.main == s.main]
            yield Place(s.main, f"switch between the board and {', '.join(shared)}", {"kind": " (SUPPLEMENTARY)" if s.backup else ""})


def backup_switch(site: LabelSite) -> Iterator[Place]:
    """The switch through which a source feeds backed-up circuits."""
    yield from (Place(s.backup[0], f"feeds backed-up circuits from {s.source}", {}) for s in site.switches if s.backup)


def generator_switch(site: LabelSite) -> Iterator[Place]:
    """The switch of a generator or its inlet."""
    for s in site.switches:
        if s.main and s.source in site.away:
            yield Place(s.main, f"switch of {s.source}", {})


def boards_of_sources(site: LabelSite) -> Iterator[Place]:
    """Boards that sources connect to."""
    for board in dict.fromkeys(s.board for s in site.switches if s.board):
        fed = [s.source for s in site.switches if s.board == board]
        yield Place(board, f"{', '.join(fed)} connect{'s' if len(fed) == 1 else ''} to this board", {})


def other_boards(site: LabelSite) -> Iterator[Place]:
    """Boards that more than one source reaches."""
    direct = {s.board for s in site.switches}
    flows = site.flows
    for board in (o for o in flows.objects.values() if isinstance(o, Board) and o.id in flows.graph and o.id not in direct):
        phases = [conductors.bits([phase]) for phase in conductors.phase_names(flows.phases_at(board.id))]
        sources = dict.fromkeys(s for phase in phases for s in flows.reaching(board.id, phase))
        if len(sources) > 1:
            yield Place(board.id, f"reached by {', '.join(sources)}", {})


def boards_with_backup(site: LabelSite) -> Iterator[Place]:
    """Every board of a site with a source that can feed without the supply."""
    hybrids = [s for s in site.flows.backs_up if isinstance(site.flows.obj(s), HybridInverter | Storage)]
    for board in site.flows.objects.values() if hybrids else ():
        if isinstance(board, Board):
            yield Place(board.id, f"{', '.join(hybrids)} can feed without the supply", {})


def backed_up(site: LabelSite) -> Iterator[Place]:
    """Circuits that stay live when the supply is lost; none where one sign for the whole site does."""
    if not list(whole_site(site)):
        yield from (Place(id_, "live when the supply is lost", {}) for id_, live in _in_backup(site) if live == "yes")


def whole_site(site: LabelSite) -> Iterator[Place]:
    """The main board, where every circuit stays live when the supply is lost and the profile has one sign for that."""
    live = {said for _, said in _in_backup(site)}
    entry = site.flows.profiles.peek("label-backup-one-sign")
    if site.main and "yes" in live and "no" not in live and entry is not None and entry.value is True:
        yield Place(site.main, "every circuit is live when the supply is lost", {})


def _in_backup(site: LabelSite) -> list[tuple[str, object]]:
    """Each circuit with whether it stays live when the supply is lost, as the circuit schedule says it."""
    table = circuits(site.flows)
    at = next(n for n, column in enumerate(table.columns) if column.heading == "backed up")
    return [(row.id, row.cells[at]) for row in table.rows]


def controlled_loads(site: LabelSite) -> Iterator[Place]:
    """Circuits that the distributor switches."""
    for circuit in site.flows.objects.values():
        if isinstance(circuit, Circuit) and isinstance(circuit.in_line, tuple):
            by = [item.id for item in circuit.in_line if isinstance(item, Contactor) and item.opens == "by distributor"]
            if by:
                yield Place(circuit.id, f"the distributor switches it by {', '.join(by)}", {})


def local_isolators(site: LabelSite) -> Iterator[Place]:
    """The switch next to each source, where it is another than the one at the board."""
    yield from (Place(s.local, f"isolates {s.source}", {}) for s in site.switches if s.local)


def isolation_points(site: LabelSite) -> Iterator[Place]:
    """Every switch between the supply and a source."""
    nodes = dict.fromkeys(node for s in site.switches for node in (*s.outwards, *s.backup))
    yield from (Place(node, "between the supply and a source", {}) for node in nodes)


def residual(site: LabelSite) -> Iterator[Place]:
    """Boards with residual current devices."""
    flows = site.flows
    homes = dict.fromkeys(flows.home(n) for n, obj in flows.graph.nodes(data="obj") if hasattr(obj, "residual"))
    yield from (Place(home, "has residual current devices", {}) for home in homes if home)


def earth(site: LabelSite) -> Iterator[Place]:
    """Electrodes, bonds and N–E links."""
    for node, obj in site.flows.graph.nodes(data="obj"):
        if isinstance(obj, Electrode | Bond | NeutralEarthLink):
            yield Place(node, f"{obj.word}", {})


def power_sharing(site: LabelSite) -> Iterator[Place]:
    """The main board of a site that shares its generation."""
    operation = site.flows.site.operation
    if isinstance(operation, Operation) and operation.shared is True and site.main:
        yield Place(site.main, "the site shares its generation with others", {})


def origin(site: LabelSite) -> Iterator[Place]:
    """The meter and the main board of a site with sources."""
    if site.switches:
        yield from panels(site, f"sources on site: {', '.join(s.source for s in site.switches)}", {})


def two_colours(site: LabelSite) -> Iterator[Place]:
    """Boards that hold existing circuits and new ones, whose conductors may have colours of two standards."""
    for board in site.flows.objects.values():
        if isinstance(board, Board) and isinstance(board.circuits, tuple):
            said = {c.status for c in board.circuits if isinstance(getattr(c, "status", None), str)}
            if "existing" in said and said & {"new", "altered", "relocated"}:
                yield Place(board.id, "existing and new circuits on one board; asked for where the existing ones have red, yellow, blue and black", {})


def several_switches(site: LabelSite) -> Iterator[Place]:
    """Sources that no single switch makes dead."""
    for s in site.switches:
        names = dict.fromkeys((*s.outwards[-1:], *s.backup[:1], *(node for node, _ in s.direct_current if node)))
        if len(names) > 1:
            yield Place(s.source, f"isolated by {len(names)} switches", {"switches": ", ".join(called(site.flows, name) for name in names)})


def vehicle_supplies(site: LabelSite) -> Iterator[Place]:
    """Supplies of vehicles; whether one feeds back is not in the site file."""
    for load in site.flows.objects.values():
        if isinstance(load, Load) and isinstance(load.kind, str) and load.kind == "EV supply":
            yield Place(load.id, "supply of a vehicle; asked for where it can feed back", {})


def victoria(site: LabelSite) -> Iterator[Place]:
    """The main board of a site whose network operator serves Victoria."""
    if site.main and site.switches and any(profile.region == "VIC" for profile in site.flows.profiles.profiles):
        yield Place(site.main, "sources on site; the network operator serves Victoria", {})


def at_origin(site: LabelSite) -> Iterator[Place]:
    """The main board, whatever the site has."""
    if site.main:
        yield Place(site.main, "origin of the installation", {})


def meter_panel(site: LabelSite) -> Iterator[Place]:
    """The meter of a site with sources, the main board where there is none."""
    yield from list(origin(site))[:1]
