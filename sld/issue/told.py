# SPDX-License-Identifier: MIT
"""What the command says of a set that was issued."""
from __future__ import annotations

from collections.abc import Iterator

from topology.report import Report

from sld.counts import counted
from sld.issue.run import Issued

__all__ = ["told"]


def told(issued: Issued, report: Report) -> Iterator[str]:
    """Lines for stderr: what was mended or left out, what changed, and how many findings the set bears."""
    yield from issued.said
    if issued.changed:
        yield f"replaced {issued.folder.name}; changed:"
        yield from (f"  {line}" for line in issued.changed)
    else:
        yield f"issued {issued.folder.name}" if issued.new else f"{issued.folder.name} is issued already with the same content; nothing was written"
    yield f"{counted(report.counts)}: findings.json"
