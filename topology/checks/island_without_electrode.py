# SPDX-License-Identifier: MIT
"""An installation that runs without the supply and has no electrode of its own."""
from __future__ import annotations

from ..earthed import earthed_parts, links_of
from ..errors import CannotTell, Finding, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import EarthBar, Electrode, NeutralEarthLink, Supply

__all__ = ["island_without_electrode"]


@rule(each=Supply, danger=True, limits=("island-own-electrode",))
def island_without_electrode(supply: Supply, site: Flows) -> Finding | None:
    """Part with neutral and earth linked on site that a source feeds without the supply, with no earth electrode.

    Why: the distributor's earth may be gone together with the supply; then nothing holds the installation at earth potential.
    Bad: a hybrid inverter with its own N–E relay on a site that relies on the distributor's earth alone
    Good: main earth terminal with electrode: rod 16 mm²
    Source: as the profile says (island-own-electrode); institution's note on island mode, BS 7671, 551.4.3.2.1
    """
    entry = site.profiles.find("island-own-electrode")
    if entry is None or entry.value is not True or not site.backs_up:
        return None
    for part in earthed_parts(site):
        fed = [n.node for mode in site.modes if not mode.live for n in links_of(part, site, mode)]
        if fed and not any(isinstance(site.obj(electrode).kind, str) for electrode in part.electrodes):
            _ensure_known(part.nodes, site)
            source = site.obj(site.backs_up[0])
            return Finding(source.mark, f"'{source.id}' feeds '{fed[0]}' without the supply, and that part has no earth electrode of its own",
                           "add one: electrode: rod 16 mm² at the N–E link or at the main earth terminal (earthing:)", objects=(source.id, fed[0]),
                           severity=entry.severity, source=entry.reference)
    return None


def _ensure_known(nodes: tuple[str, ...], site: Flows) -> None:
    """Raises CannotTell where an electrode is TBC: it may be there."""
    for node in nodes:
        thing = site.obj(node)
        said = thing.kind if isinstance(thing, Electrode) else thing.electrode if isinstance(thing, NeutralEarthLink | EarthBar) else None
        if isinstance(said, Unknown) and (said.given or isinstance(thing, Electrode)):
            raise CannotTell(said)
