# SPDX-License-Identifier: MIT
"""What answers each requirement and each known mistake: a check, a drawing or schedule, or a line that a person fills in."""
from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from functools import cache
from importlib import resources

import yaml

from . import checks, site_faults
from .dataclass import dataclass
from .faults import FAULTS
from .rule import RULES

__all__ = ["LINES", "Row", "coverage", "coverage_text", "lines_for", "planned"]

LINES = ("inspection record", "survey list")
"""Where a person answers what no model can decide."""
_ = checks, site_faults  # importing them registers rules and faults


@dataclass(frozen=True)
class Row:
    """A requirement or mistake. checks: names, written or planned; why: a model cannot decide it, then line is one of LINES; made, by: made from
    the model by these diagrams, schedules and papers (by their names in the contract, and sheet, report, set).
    """

    id: str
    row: str
    checks: tuple[str, ...] = ()
    why: str = ""
    line: str = ""
    made: str = ""
    by: tuple[str, ...] = ()


@cache
def coverage() -> tuple[Row, ...]:
    """Every requirement and mistake, in order."""
    return tuple(Row(id_, **{key: tuple(value) if isinstance(value, list) else value for key, value in given.items()})
                 for id_, given in _data()["rows"].items())


@cache
def planned() -> Mapping[str, int]:
    """Checks that are not written yet, with the number of their issue."""
    return {name: issue for name, issue in _data()["planned"].items() if name not in RULES}


def lines_for(record: str) -> tuple[Row, ...]:
    """Rows that a person answers in the inspection record or the survey list."""
    return tuple(row for row in coverage() if row.line == record)


def coverage_text(papers: Collection[str]) -> str:
    """Each requirement and mistake on a line with what answers it. papers: the diagrams and schedules that there are; others are not yet."""
    return "\n".join(f"{row.id}\t{row.row}\t{'; '.join(_answers(row, papers))}" for row in coverage())


def _answers(row: Row, papers: Collection[str]) -> Iterator[str]:
    yield from (name if name in RULES or name in FAULTS else f"{name} (not yet: issue {planned()[name]})" for name in row.checks)
    if row.made:
        names = ", ".join(name if name in papers else f"{name} (not yet)" for name in row.by)
        yield f"made from the model: {row.made} [{names}]"
    if row.why:
        yield f"no model can decide it: {row.why} → {row.line}"


@cache
def _data() -> dict[str, dict[str, dict[str, str]]]:
    text = resources.files("topology").joinpath("coverage.yaml").read_text(encoding="utf-8")
    data: dict[str, dict[str, dict[str, str]]] = yaml.safe_load(text)
    return data
