# SPDX-License-Identifier: MIT
"""One fault, one finding: what only follows from another finding points at it, so that whoever reads begins with what mends both."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace

from .dataclass import dataclass
from .electrical import solve
from .errors import SEVERITIES, CannotTell, Finding, Mark
from .flow import Flows
from .kinds import Said
from .site import Circuit, Terminal

__all__ = ["KIN", "Kin", "with_causes"]

Key = object
Keys = Callable[[Finding, Flows], Iterable[Key]]


def shared(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The objects that a finding names, but for the supply, which all of a site shares; a terminal stands for its device too."""
    for name in finding.objects:
        if name != flows.root:
            yield name
            if isinstance(flows.objects.get(name), Terminal):
                yield name.partition(".")[0]


def device(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The first object that a finding names."""
    return finding.objects[:1]


def circuit(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The circuit on a board in which the first object stands, or which it is."""
    outer = _outer(flows)
    for name in finding.objects[:1]:
        here = flows.circuit_of[name].id if name in flows.circuit_of else name
        while here in outer:
            here = outer[here]
        yield here


def _outer(flows: Flows) -> dict[str, str]:
    """For each circuit on a local bar the circuit that ends in this bar."""
    if "outer circuits" not in flows.memo:
        outer = [c for c in flows.objects.values() if isinstance(c, Circuit) and isinstance(c.circuits, tuple)]
        flows.memo["outer circuits"] = {inner.id: c.id for c in outer for inner in c.circuits if isinstance(inner, Circuit)}
    found: dict[str, str] = flows.memo["outer circuits"]
    return found


def steepest(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The cable along which most of a drop or rise of voltage comes about; the object itself where it is a trunk of its own."""
    solved = solve(flows)
    total = solved.linear_rise if finding.rule == "voltage-rise-over-limit" else solved.linear_drop
    steps: list[tuple[float, str]] = [(0.0, "")]
    for n in solved.tree.up(solved.node(finding.objects[0]), itself=True):
        link = solved.tree.links[n]
        if link is not None and link.run is not None:
            with suppress(CannotTell):  # a bound was enough for the finding
                steps.append((total(n) - total(solved.tree.parent[n]), link.run.id))
    yield max(steps)[1] or finding.objects[0]


def unread(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The sources of a finding about who holds the export, where somebody is named and only the measurement lacks."""
    named = isinstance(getattr(flows.site.limits, "enforced_by", None), Said)
    return shared(finding, flows) if named else ()


def whole(finding: Finding, flows: Flows) -> Iterable[Key]:
    """The site: wherever they stand."""
    return ("",)


@dataclass(frozen=True)
class Kin:
    """Findings of two rules, or of one, that tell of one fault where a key of both is the same."""

    cause: str
    effect: str
    of_cause: Keys = shared
    of_effect: Keys = shared


KIN = (
    Kin("phase-without-sensor", "export-limit-not-enforced", shared, unread),  # what no sensor measures nobody can hold
    Kin("bus-not-a-chain", "terminator-misplaced", device, device),  # a bus with a tee has other ends
    Kin("bus-not-a-chain", "bus-tee-too-long", device, device),
    Kin("lead-extended", "lead-too-long", device, device),
    Kin("terminal-fed-twice", "ne-links-not-one"),  # the second way brings the second link
    Kin("terminal-fed-twice", "unlimited-board"),
    Kin("terminal-fed-twice", "source-without-isolator"),
    Kin("source-without-disconnection", "back-feed"),
    Kin("source-without-disconnection", "source-without-disconnection", circuit, circuit),  # one device lacks before all of them
    Kin("source-without-isolator", "source-without-isolator", circuit, circuit),
    Kin("phase-stays-closed", "disconnection-leaves-conductor"),
    Kin("disconnection-leaves-conductor", "disconnection-leaves-conductor", device, device),
    Kin("pen-switched", "pen-switched", whole, whole),  # where a link is forgotten, everything behind it opens a PEN
    Kin("load-on-generation-circuit", "source-behind-shared-rcd"),
    Kin("load-on-generation-circuit", "generation-sensor-sees-other"),
    Kin("breaker-above-cable-capacity", "breaker-above-cable-capacity"),  # one device before several cables
    Kin("breaker-above-cable-capacity", "cable-overloaded"),
    Kin("combined-neutral-overloaded", "cable-overloaded", circuit, circuit),
    Kin("cable-overloaded", "voltage-drop-over-limit", device, steepest),  # a cable too thin for its load also drops too much
    Kin("cable-overloaded", "voltage-rise-over-limit", device, steepest),
    Kin("breaker-above-cable-capacity", "voltage-drop-over-limit", device, steepest),
    Kin("breaker-above-cable-capacity", "voltage-rise-over-limit", device, steepest),
    Kin("loop-impedance-too-high", "loop-impedance-too-high", circuit, circuit),
    Kin("loop-impedance-too-high", "voltage-drop-over-limit", circuit, circuit),  # both ask for a shorter or thicker cable
    Kin("voltage-drop-over-limit", "voltage-drop-over-limit", steepest, steepest),
    Kin("voltage-rise-over-limit", "voltage-rise-over-limit", steepest, steepest),
)
"""Which findings tell of one fault. The more severe of two leads whatever stands here; of two alike, the cause."""


def with_causes(findings: Sequence[Finding], flows: Flows) -> list[Finding]:
    """Findings in order, those that follow from another with its index. Nothing is left out: severities, counts and exit code stay.

    A finding never stands below one that is less severe, or below an accepted one while it is open itself.
    """
    parents = _Parents(findings, flows)
    above = {i: parent for i, f in enumerate(findings) if (parent := parents.of(i, f)) is not None}
    return [replace(f, cause=_top(i, above)) if i in above else f for i, f in enumerate(findings)]


def _top(index: int, above: dict[int, int]) -> int:
    """The finding at the top of a chain of causes."""
    while index in above:
        index = above[index]
    return index


class _Parents:
    """The first finding of each rule under each key, by which others find what they follow from."""

    def __init__(self, findings: Sequence[Finding], flows: Flows) -> None:
        self.findings, self.flows = findings, flows
        self.first: dict[tuple[str, Keys, Key], int] = {}
        self.missing: dict[Key, int] = {}
        asked = {(rule, keys) for kin in KIN for rule, keys in ((kin.cause, kin.of_cause), (kin.effect, kin.of_effect))}
        keys_of = {rule: [keys for name, keys in asked if name == rule] for rule, _ in asked}
        for i, f in enumerate(findings):
            if f.outcome == "cannot-tell":
                self.missing.setdefault(self._lacks(f), i)
            else:
                for keys in keys_of.get(f.rule, ()):
                    for key in keys(f, flows):
                        self.first.setdefault((f.rule, keys, key), i)

    def of(self, index: int, finding: Finding) -> int | None:
        """What a finding follows from: the first that fits by the order of KIN; None where it leads."""
        if finding.outcome == "cannot-tell":
            first = self.missing[self._lacks(finding)]
            return first if first != index else None
        found = (i for kin in KIN for i in self._kin(kin, finding) if self._leads(i, index))
        return next(found, None)

    def _kin(self, kin: Kin, finding: Finding) -> Iterable[int]:
        """First findings of the other rule of a kin; as an effect, and as a cause that is less severe than its effect."""
        if kin.effect == finding.rule:
            yield from self._first(kin.cause, kin.of_cause, kin.of_effect(finding, self.flows))
        elif kin.cause == finding.rule:
            others = self._first(kin.effect, kin.of_effect, kin.of_cause(finding, self.flows))
            yield from (i for i in others if _rank(self.findings[i]) < _rank(finding))

    def _first(self, rule: str, keys: Keys, wanted: Iterable[Key]) -> list[int]:
        return sorted({i for key in wanted if (i := self.first.get((rule, keys, key))) is not None})

    def _leads(self, index: int, below: int) -> bool:
        """Whether one finding may stand above another."""
        one, other = self.findings[index], self.findings[below]
        earlier = index < below or one.rule != other.rule
        return index != below and earlier and _rank(one) <= _rank(other) and (one.accepted is None or other.accepted is not None)

    def _lacks(self, finding: Finding) -> Key:
        """What a finding could not be told for want of. One TBC is one thing, however many facts it stands for."""
        missing = finding.missing[0]
        return missing.mark if self._is_tbc(missing.mark) else (missing.mark, missing.what)

    def _is_tbc(self, mark: Mark) -> bool:
        read = self.flows.read
        lines = read.lines if mark.file == read.name else read.texts.get(mark.file, ())
        return 0 < mark.line <= len(lines) and lines[mark.line - 1][mark.column - 1:].startswith(("TBC", '"?"'))


def _rank(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity)
