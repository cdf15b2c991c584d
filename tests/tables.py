# SPDX-License-Identifier: MIT
"""Writes the published table of checks and slips: `python tests/tables.py > gallery/slips.md`, from the root of the checkout."""
from __future__ import annotations

import sys

from sites import MUTATIONS, site
from slips_cannot import cannot
from topology.read import read_bytes
from topology.report import check
from topology.rule import RULES

__all__ = ["slip_table"]

OBJECTS = 150
SEED = 0
HEAD = """# Which check speaks at which slip

A row is a check, a column the slip that belongs to the check of the same number. A slip is one mistake put into a generated site of {objects} objects
on which all checks are silent (`tests/sites.py`). ■ the check speaks, ? it cannot tell, · it is silent. The table is taken on a site of one, of two
and of three phases, of which the worst counts; `tests/test_sites.py` puts each slip into eight more (two phases 120° and 180° apart, with outbuildings,
TN-S and TT), and a check that speaks at another's slip fails there. What a kind of site cannot have stands in `tests/slips_cannot.py`. Written by
`tests/tables.py`.

"""


def heard(rule: str) -> dict[str, str]:
    """The checks that say something at the slip of a rule: ■ for a finding, ? for what cannot be told."""
    found: dict[str, str] = {}
    for phases in (p for p in (1, 2, 3) if rule not in cannot(p)):
        for finding in check(read_bytes(MUTATIONS[rule](site(SEED, OBJECTS, phases)).encode())).findings:
            found[finding.rule] = "■" if finding.outcome == "finding" else found.get(finding.rule, "?")
    return found


def slip_table() -> str:
    """The page as Markdown; the matrix stands in a block of its own, so that its columns stay under each other."""
    slips = sorted(MUTATIONS)
    said = {slip: heard(slip) for slip in slips}
    wide = max(map(len, RULES))
    rows = [f"{n:3} {name:{wide}} {''.join(said[slip].get(name, '·') for slip in slips)}" for n, name in enumerate(sorted(RULES), 1)]
    tens = "".join(str(n // 10) if n % 10 == 0 else " " for n in range(1, len(slips) + 1))
    ones = "".join(str(n % 10) for n in range(1, len(slips) + 1))
    pad = " " * (wide + 5)
    return HEAD.format(objects=OBJECTS) + "\n".join(["```text", pad + tens, pad + ones, *rows, "```", ""])


if __name__ == "__main__":
    sys.stdout.write(slip_table())
