# SPDX-License-Identifier: MIT
"""A PE-connected part that has no N–E link in some mode, or more than one."""
from __future__ import annotations

from collections.abc import Iterator

from ..earthed import DISTRIBUTOR, EarthedPart, LinkedNeutral, earthed_parts, links_of
from ..errors import CannotTell, Finding, Number, Related, Unknown
from ..flow import Flows
from ..modes import Mode
from ..rule import rule
from ..site import Generator, HybridInverter, Inlet, Supply
from ..soil import brings_neutral_only, soil_part
from ._earth import joins_links
from ._words import known

__all__ = ["ne_links_not_one"]


@rule(each=Supply, danger=True, limits=("outbuilding-tt",))
def ne_links_not_one(supply: Supply, site: Flows) -> Iterator[Finding]:
    """PE-connected part whose neutral has no N–E link, or several, in a mode of operation.

    Why: without a link a fault to earth trips nothing; with two of them part of the neutral current flows through the protective
        conductors. Links are counted for each PE-connected part, the distributor's own included, in each mode: a generator or inverter
        that feeds alone needs a link too. A part with an electrode and no protective conductor to the supply (TT) needs none where the
        profile allows it (outbuilding-tt).
    Bad: a changeover that opens the neutral, before a generator without a link
    Good: ne_link: yes on that generator, or a changeover that leaves the neutral closed
    Source: IEC 60364-5-54 and IEC 60364-5-55, 551.4 (generating sets), from memory; AS/NZS 3000, from memory
    """
    said: dict[tuple[str, tuple[str, ...]], tuple[EarthedPart, LinkedNeutral, list[Mode]]] = {}
    for part in [p for p in earthed_parts(site) if not _may_be_tt(p, site)]:
        for mode in site.modes:
            for neutral in links_of(part, site, mode):
                if len(neutral.links) != 1 and not joins_links(part, neutral.links, site):
                    said.setdefault((part.nodes[0], neutral.links), (part, neutral, []))[2].append(mode)
    for part, neutral, modes in said.values():
        _doubt(site, neutral, modes)
        yield _finding(supply, site, part, neutral, modes)


def _may_be_tt(part: EarthedPart, site: Flows) -> bool:
    """Whether a part stands on its own electrode beside others that are linked, and the profile allows that."""
    if brings_neutral_only(site) or soil_part(part.nodes[0], site) is None:
        return False
    entry = site.profiles.find("outbuilding-tt")
    return entry is not None and entry.value is True


def _doubt(site: Flows, neutral: LinkedNeutral, modes: list[Mode]) -> None:
    """Raises CannotTell where a link that nobody knows of would change the count of a mode without the supply."""
    supply = site.site.supply
    if isinstance(supply, Supply) and DISTRIBUTOR in neutral.links:
        known([supply.system if isinstance(supply.system, Unknown) else supply.system.code])
    if neutral.links or not all(mode.backup for mode in modes):
        return
    for node in site.backs_up:
        obj = site.obj(node)
        link = obj.ne_link if isinstance(obj, Generator | Inlet) else obj.ne_relay if isinstance(obj, HybridInverter) else None
        if isinstance(link, Unknown):
            raise CannotTell(link)


def _finding(supply: Supply, site: Flows, part: EarthedPart, neutral: LinkedNeutral, modes: list[Mode]) -> Finding:
    links = [link for link in neutral.links if link != DISTRIBUTOR]
    where = f"the part at '{_name(part, site)}'" if neutral.links else f"the neutral at '{neutral.node}'"
    when = "in every mode" if len(modes) == len(site.modes) else "in " + ", ".join(f"'{mode.name}'" for mode in modes)
    what = f"{len(neutral.links)} N–E links ({', '.join(neutral.links)})" if neutral.links else "no N–E link"
    mark = site.objects[links[-1]].mark if links and links[-1] in site.objects else site.obj(neutral.node).mark
    step = "keep one of them" if neutral.links else "add an ne_link, or a source or changeover that closes one in this mode"
    objects = tuple(dict.fromkeys([*links, _name(part, site), neutral.node]))
    return Finding(mark if mark.line else supply.mark, f"{where} has {what} {when}", step, objects=objects,
                   numbers={"links": Number(len(neutral.links), "1"), "wanted": Number(1, "1")},
                   related=tuple(Related(site.objects[link].mark, f"'{link}' stands here") for link in links[:-1] if link in site.objects))


def _name(part: EarthedPart, site: Flows) -> str:
    """The board of a part, or its first node."""
    boards = [n for n in part.nodes if type(site.obj(n)).__name__ == "Board"]
    return (boards or list(part.nodes))[0]
