# SPDX-License-Identifier: MIT
"""A source that can feed into the network while the network is down."""
from __future__ import annotations

from ..conductors import PHASES, bits, phase_names
from ..errors import CannotTell, Finding, Unknown
from ..flow import Flows
from ..rule import rule
from ..site import Generator, HybridInverter, Inlet, Storage
from ._sources import ensure_devices

__all__ = ["back_feed"]


@rule(each=Generator | Inlet | HybridInverter | Storage, danger=True)
def back_feed(source: Generator | Inlet | HybridInverter | Storage, site: Flows) -> Finding | None:
    """Source that feeds without the supply and stays joined to the point of supply while the supply is lost.

    Why: whoever works on the network takes it for dead; and when it comes back it meets a source that runs out of step. A switch that
        somebody should open first is no protection: changeover, interlock or a relay of the source must do it in every position.
    Bad: a generator inlet behind a plain circuit-breaker of the main board
    Good: the same inlet at the alternative side of a changeover
    Source: IEC 60364-5-55, 551.7 (no parallel feed by oversight, separation when the supply is lost), from memory; common practice
    """
    if source.id not in site.backs_up or site.root is None or source.id not in site.graph:
        return None
    lost = next(m for m in site.modes if not m.live)
    back = [p for p in phase_names(PHASES) if site.uses(source.id, bits([p]))
            and site.net(bits([p]), lost).joined(site.root, source.id)]
    if not back:
        return None
    ensure_devices(source.id, site)
    _ensure_supply(site)
    return Finding(source.mark, f"'{source.id}' stays joined to the point of supply on {' '.join(back)} while the supply is lost",
                   "feed the alternative side of a changeover, or put interface protection or a contactor that opens on loss of supply between",
                   objects=(source.id, site.root))




def _ensure_supply(site: Flows) -> None:
    """Raises CannotTell where a device of the supply's chain is TBC: it may be the one that opens."""
    chain = getattr(site.site.supply, "in_line", ())
    for item in chain if isinstance(chain, tuple) else (chain,):
        if isinstance(item, Unknown):
            raise CannotTell(item)
