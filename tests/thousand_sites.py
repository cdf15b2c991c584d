# SPDX-License-Identifier: MIT
"""A thousand random valid sites drawn and judged: python tests/thousand_sites.py [first seed] [number]. Exit 1 where anything is wrong.

The test suite judges a few of them; this takes some minutes. Sizes are spread evenly over the orders of magnitude from 10 to 2,000 objects.
"""
from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]

from scene_faults import faults  # noqa: E402
from sites import site  # noqa: E402
from sld.single_line import single_line  # noqa: E402
from topology.flow import Flows  # noqa: E402
from topology.read import read_bytes  # noqa: E402

__all__ = ["main"]


def main(first: int, number: int) -> int:
    """Draw and judge; each fault on a line of its own, then the counts."""
    counts: Counter[str] = Counter()
    for seed in range(first, first + number):
        draw = random.Random(seed)
        size, phases = int(10 ** draw.uniform(1.0, 3.3)), draw.choice((1, 3))
        scene = single_line(Flows(read_bytes(site(seed, size, phases).encode())))
        counts["sites"] += 1
        for sheet in scene.sheets:
            wrong = faults(sheet)
            wrong += [f"power {wire.id} bends" for wire in sheet.wires if wire.kind == "power" and len(wire.points) > 2]
            counts.update({"sheets": 1, "symbols": len(sheet.symbols), "faults": len(wrong)})
            for fault in wrong:
                print(f"site {seed} of {size} objects, {phases} phases, sheet {sheet.number}: {fault}")
    print(", ".join(f"{count} {what}" for what, count in counts.items()))
    return int(counts["faults"] > 0)


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:]] + [0, 1000][len(sys.argv) - 1:]
    sys.exit(main(*given[:2]))
