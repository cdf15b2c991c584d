# SPDX-License-Identifier: MIT
"""Label and sign schedule: each label with its words, place, trigger and basis; then the shutdown sequence, step by step."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from topology import conductors
from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.site import (Board, Bond, Electrode, Generator, HybridInverter, Inlet, Meter, ModuleInverters, NeutralEarthLink, Operation,
                           Shutdown, Storage)

from .circuits import circuits
from .columns import ID, NAME, Cell, Column, Table, build, dotted
from .isolating import SourceSwitches, grid_switch, main_board, source_switches, surroundings
from .shutdown import shutdown_steps
from .sourced import facts_of, profiles_of
from .walk import kind_of

__all__ = ["confirmation", "labels"]

UN = {"lithium-ion": "UN 3480", "lithium metal": "UN 3090", "flooded lead": "UN 2794", "valve-regulated lead": "UN 2800",
      "nickel metal hydride": "UN 3496"}
"""UN numbers of batteries by chemistry. Source: UN recommendations on the transport of dangerous goods, as a consumer article has them."""
SHUTDOWN = "shutdown procedure"


@dataclass(frozen=True, eq=False)
class _Sign:
    """A label on one object, or a step of the shutdown procedure."""

    object: str
    name: Cell
    label: str
    step: int | None
    words: Cell
    place: str
    reason: str
    basis: str
    found: str
    state: str


@dataclass(frozen=True)
class _Place:
    """Where a label belongs and why. fills: what its words leave open."""

    object: str
    reason: str
    fills: dict[str, str]


class _Site:
    """What the triggers ask for, computed once."""

    def __init__(self, flows: Flows) -> None:
        self.flows = flows
        self.switches: tuple[SourceSwitches, ...] = source_switches(flows)
        self.away = {s.source for s in self.switches if isinstance(flows.obj(s.source), Generator | Inlet)}
        self.main = main_board(flows)


def labels(flows: Flows) -> Table:
    """The label schedule by the profiles of the site, then the shutdown sequence; everything is a proposal."""
    notes = ("Shutdown sequence: " + confirmation(flows) + ".",
             "These are proposals: the makers' instructions, the network operator's conditions and local rules prevail. "
             "Take the wording of each label from the current edition of its basis.")
    return build("labels", "Labels and shutdown", COLUMNS, _signs(flows), notes)


def confirmation(flows: Flows) -> str:
    """Who confirmed the shutdown sequence, or that it is a draft."""
    said = flows.site.shutdown
    by = said.confirmed_by if isinstance(said, Shutdown) else ""
    if isinstance(by, Unknown) or not by:
        return "DRAFT, not confirmed by a licensed person"
    assert isinstance(said, Shutdown)
    more = [str(fact) for fact in (said.role, said.date) if not isinstance(fact, Unknown) and fact]
    return f"confirmed by {', '.join([by, *more])}"


def _signs(flows: Flows) -> Iterator[_Sign]:
    site = _Site(flows)
    named = set(profiles_of(flows))
    for row in facts_of("labels"):
        if named & set(row["profile"].split()) and _asked(flows, row["entry"]):
            for at in TRIGGERS[row["when"]](site):
                words = row["words"].format(**at.fills) if at.fills else row["words"]
                name = getattr(flows.objects.get(at.object), "name", "")
                yield _Sign(at.object, name, row["label"], None, words, _where(flows, at.object, row["place"]), at.reason, row["source"],
                            row["found"], "proposal")
    state = "confirmed" if confirmation(flows).startswith("confirmed") else "DRAFT"
    for number, step in enumerate(shutdown_steps(flows), 1):
        name = getattr(flows.objects.get(step.object), "name", "")
        yield _Sign(step.object, name, SHUTDOWN, number, step.words, "on the shutdown procedure", step.why, "derived from the site file",
                    "", state)


def _asked(flows: Flows, entry: str) -> bool:
    """Whether a label is wanted: not where the profile, or the site by its limits, says no to the entry that asks for it."""
    found = flows.profiles.peek(entry) if entry else None
    return found is None or found.value is not False


def _where(flows: Flows, node: str, words: str) -> str:
    """The place of a label with the place of what it is on."""
    at = surroundings(flows, node)
    return f"{words}; {node} is at {at}" if at and at.split("(")[-1].rstrip(")") != node else words


# ---- what calls for a label ------------------------------------------------------------------------------------------

def _grid_switch(site: _Site) -> Iterator[_Place]:
    switch = grid_switch(site.flows)
    if switch and site.switches:
        yield _Place(switch, "the site has other supplies beside the grid", {})


def _source_main(site: _Site) -> Iterator[_Place]:
    seen: set[str] = set()
    for s in site.switches:
        if s.main and s.source not in site.away and s.main not in seen:
            seen.add(s.main)
            shared = [other.source for other in site.switches if other.main == s.main]
            yield _Place(s.main, f"switch between the board and {', '.join(shared)}", {"kind": " (SUPPLEMENTARY)" if s.backup else ""})


def _backup_switch(site: _Site) -> Iterator[_Place]:
    yield from (_Place(s.backup[0], f"feeds backed-up circuits from {s.source}", {}) for s in site.switches if s.backup)


def _generator_switch(site: _Site) -> Iterator[_Place]:
    for s in site.switches:
        if s.main and s.source in site.away:
            yield _Place(s.main, f"switch of {s.source}", {})


def _boards_of_sources(site: _Site) -> Iterator[_Place]:
    for board in dict.fromkeys(s.board for s in site.switches if s.board):
        fed = [s.source for s in site.switches if s.board == board]
        yield _Place(board, f"{', '.join(fed)} connect{'s' if len(fed) == 1 else ''} to this board", {})


def _other_boards(site: _Site) -> Iterator[_Place]:
    direct = {s.board for s in site.switches}
    flows = site.flows
    for board in (o for o in flows.objects.values() if isinstance(o, Board) and o.id in flows.graph and o.id not in direct):
        phases = [conductors.bits([phase]) for phase in conductors.phase_names(flows.phases_at(board.id))]
        sources = dict.fromkeys(s for phase in phases for s in flows.reaching(board.id, phase))
        if len(sources) > 1:
            yield _Place(board.id, f"reached by {', '.join(sources)}", {})


def _boards_with_backup(site: _Site) -> Iterator[_Place]:
    hybrids = [s for s in site.flows.backs_up if isinstance(site.flows.obj(s), HybridInverter | Storage)]
    for board in site.flows.objects.values() if hybrids else ():
        if isinstance(board, Board):
            yield _Place(board.id, f"{', '.join(hybrids)} can feed without the supply", {})


def _backed_up(site: _Site) -> Iterator[_Place]:
    table = circuits(site.flows)
    at = {column.heading: n for n, column in enumerate(table.columns)}
    for row in table.rows:
        if row.cells[at["backed up"]] == "yes":
            yield _Place(row.id, "live when the supply is lost", {})


def _sources(site: _Site) -> Iterator[_Place]:
    for s in site.switches:
        yield _Place(s.source, "equipment that feeds the installation", {})


def _arrays_with_isolator(site: _Site) -> Iterator[_Place]:
    for s in site.switches:
        switches = [node for node, leaf in s.direct_current if node and _is_array(site, leaf)]
        if switches:
            yield _Place(s.source, f"its arrays are isolated by {', '.join(switches)}", {})


def _several_isolators(site: _Site) -> Iterator[_Place]:
    for s in site.switches:
        switches = [node for node, _ in s.direct_current if node]
        if len(switches) > 1:
            yield _Place(s.source, f"direct-current switches {', '.join(switches)}", {})


def _array_isolators(site: _Site) -> Iterator[_Place]:
    for s in site.switches:
        yield from (_Place(node, f"isolates {leaf}", {}) for node, leaf in s.direct_current if node and _is_array(site, leaf))


def _local_isolators(site: _Site) -> Iterator[_Place]:
    yield from (_Place(s.local, f"isolates {s.source}", {}) for s in site.switches if s.local)


def _isolation_points(site: _Site) -> Iterator[_Place]:
    nodes = dict.fromkeys(node for s in site.switches for node in (*s.outwards, *s.backup))
    yield from (_Place(node, "between the supply and a source", {}) for node in nodes)


def _panels(site: _Site, reason: str, fills: dict[str, str]) -> Iterator[_Place]:
    """The meter and the main board."""
    meter = next((o.id for o in site.flows.objects.values() if isinstance(o, Meter) and o.id in site.flows.graph), None)
    yield from (_Place(node, reason, fills) for node in (meter, site.main) if node)


def _arrays(site: _Site) -> Iterator[_Place]:
    solar = [s for s in site.flows.sources if _has_modules(site.flows.obj(s))]
    if solar:
        yield from _panels(site, f"photovoltaic modules at {', '.join(solar)}", {})


def _has_modules(source: Any) -> bool:
    """Whether photovoltaic modules stand behind a source; arrays that are not known count."""
    arrays = getattr(source, "arrays", ())
    return isinstance(source, ModuleInverters) or isinstance(arrays, Unknown) or bool(arrays)


def _chemistries(site: _Site) -> dict[str, str]:
    """Storage of the site with its chemistry, "" where the type does not say."""
    flows = site.flows
    stores = [o for o in flows.objects.values() if o.id in flows.graph and o.symbol == "storage"]
    chemistry = {o.id: dotted(kind_of(flows, o), "chemistry") for o in stores}
    return {id_: said if isinstance(said, str) else "" for id_, said in chemistry.items()}


def _storage(site: _Site) -> Iterator[_Place]:
    stores = _chemistries(site)
    if stores:
        numbers = ", ".join(dict.fromkeys(UN.get(said, "TBC") for said in stores.values()))
        yield from _panels(site, f"storage: {', '.join(stores)}", {"un": numbers})


def _storage_units(site: _Site) -> Iterator[_Place]:
    yield from (_Place(id_, "storage", {"chemistry": said or "TBC"}) for id_, said in _chemistries(site).items())


def _elsewhere(site: _Site) -> Iterator[_Place]:
    """Sources that do not stand at the main board."""
    for s in site.switches:
        home = site.flows.home(s.source)
        if site.main and home != site.main and s.source not in site.away:
            yield _Place(site.main, f"{s.source} stands elsewhere", {"location": surroundings(site.flows, s.source) or "TBC"})


def _origin(site: _Site) -> Iterator[_Place]:
    if site.switches:
        yield from _panels(site, f"sources on site: {', '.join(s.source for s in site.switches)}", {})


def _residual(site: _Site) -> Iterator[_Place]:
    flows = site.flows
    homes = dict.fromkeys(flows.home(n) for n, obj in flows.graph.nodes(data="obj") if hasattr(obj, "residual"))
    yield from (_Place(home, "has residual current devices", {}) for home in homes if home)


def _earth(site: _Site) -> Iterator[_Place]:
    for node, obj in site.flows.graph.nodes(data="obj"):
        if isinstance(obj, Electrode | Bond | NeutralEarthLink):
            yield _Place(node, f"{obj.word}", {})


def _power_sharing(site: _Site) -> Iterator[_Place]:
    operation = site.flows.site.operation
    if isinstance(operation, Operation) and operation.shared is True and site.main:
        yield _Place(site.main, "the site shares its generation with others", {})


def _is_array(site: _Site, leaf: str) -> bool:
    return getattr(site.flows.objects.get(leaf), "symbol", "") == "array"


TRIGGERS: dict[str, Callable[[_Site], Iterator[_Place]]] = {
    "grid main switch": _grid_switch, "source main switch": _source_main, "generator switch": _generator_switch,
    "board of a source": _boards_of_sources, "board reached by several sources": _other_boards,
    "board with backup on site": _boards_with_backup, "backup switch": _backup_switch, "backed-up circuit": _backed_up,
    "source": _sources, "array with isolator": _arrays_with_isolator,
    "several direct-current isolators": _several_isolators, "array isolator": _array_isolators, "isolator at a source": _local_isolators,
    "isolation point of a source": _isolation_points, "array": _arrays, "storage": _storage, "storage unit": _storage_units,
    "source elsewhere": _elsewhere, "origin with a source": _origin, "residual current device": _residual, "earth connection": _earth,
    "power-sharing device": _power_sharing}
"""What calls for a label, by the words of `facts/labels.csv`."""

COLUMNS: tuple[tuple[Column, Callable[[_Sign], Any]], ...] = (
    (ID, lambda s: s.object),
    (NAME, lambda s: s.name),
    (Column("label"), lambda s: s.label),
    (Column("step"), lambda s: s.step),
    (Column("words"), lambda s: s.words),
    (Column("place"), lambda s: s.place),
    (Column("reason"), lambda s: s.reason),
    (Column("basis", aside=True), lambda s: s.basis),
    (Column("basis seen as"), lambda s: s.found),
    (Column("state"), lambda s: s.state),
    (Column("fitted, photo, initials", room=12), lambda s: None),
)
