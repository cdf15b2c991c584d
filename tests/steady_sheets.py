# SPDX-License-Identifier: MIT
"""How steady sheets are when a site grows: python tests/steady_sheets.py [first seed] [number].

A circuit is added to a random board of random valid sites, and the part of the symbols that stand on another sheet than before is counted.
"""
from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]

from sites import site  # noqa: E402
from sld.layout import Feed, Strip  # noqa: E402
from sld.power_tree import site_forest  # noqa: E402
from sld.primitives import Sheet  # noqa: E402
from sld.sheet.info import SheetInfo  # noqa: E402
from sld.single_line import drawn_sheets  # noqa: E402
from sld.split import Forest, kept, strips_of  # noqa: E402
from topology.flow import Flows  # noqa: E402
from topology.read import read_bytes  # noqa: E402

__all__ = ["grown", "moved_part", "sheets_of"]


def circuit(board: str | None, name: str) -> Strip:
    """A circuit of the usual width."""
    load = Strip(f"{name}.load", f"{name}.load", "sockets", ("sockets 2 kW",), wire=Feed(f"{name}.cable", f"{name}.cable", lines=("2.5 mm² 2C+2.5E Cu PVC", "9 m in conduit"),
                                                                                conductors="1/N/PE AC 230 V", number=3))
    return Strip(f"{name}.breaker", f"{name}.breaker", "rcbo", ("99 New sockets", "20 A C 1P+N 30 mA type A 6 kA"), wire=Feed(f"{name}.link", f"{name}.breaker"),
                 children=(load,), enclosure=board)


def grown(forest: Forest, draw: random.Random, name: str = "new") -> Forest:
    """The same forest with one more circuit on one of its boards, anywhere among its ways."""
    bars = [strip for root in forest.roots for strip in strips_of(root) if strip.kind == "busbar" and strip.children]
    chosen = draw.choice(bars)
    place = draw.randint(0, len(chosen.children))
    more = (*chosen.children[:place], circuit(chosen.enclosure, name), *chosen.children[place:])
    return replace(forest, roots=tuple(changed(root, chosen.id, more) for root in forest.roots))


def changed(strip: Strip, name: str, children: tuple[Strip, ...]) -> Strip:
    if strip.id == name:
        return replace(strip, children=children)
    kids = tuple(changed(kid, name, children) for kid in strip.children)
    return replace(strip, children=kids) if any(a is not b for a, b in zip(kids, strip.children)) else strip


def sheets_of(drawn: Sequence[Sheet]) -> dict[str, int]:
    """The sheet of each device; references are none."""
    return {placed.id: sheet.number for sheet in drawn for placed in sheet.symbols if not placed.symbol.kind.startswith("reference")}


def moved_part(seed: int, known: bool = True) -> tuple[float, int, int]:
    """Part of the symbols that a new circuit moves to another sheet, number of sheets before and after.

    known : the drawing is told of the earlier edition, as by `was:` in the row of a revision
    """
    draw = random.Random(seed)
    size, phases = int(10 ** draw.uniform(1.8, 3.3)), draw.choice((1, 3))
    forest = site_forest(Flows(read_bytes(site(seed, size, phases).encode())))
    first = drawn_sheets(forest, SheetInfo())
    before, after = sheets_of(first), sheets_of(drawn_sheets(grown(forest, draw), SheetInfo(), kept(first) if known else None))
    return sum(after[name] != number for name, number in before.items()) / len(before), max(before.values()), max(after.values())


def main(first: int, number: int) -> int:
    """Print each site in which something moved, then the average, with and without an earlier edition."""
    for known in (True, False):
        total = 0.0
        for seed in range(first, first + number):
            part, before, after = moved_part(seed, known)
            total += part
            if part:
                print(f"site {seed}: {100 * part:.1f} % of the symbols, {before} sheets before, {after} after")
        print(f"{number} sites {'with' if known else 'without'} an earlier edition, on average {100 * total / number:.2f} % of the symbols moved to another sheet")
    return 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]] + [0, 100][len(sys.argv) - 1:]
    sys.exit(main(*given[:2]))
