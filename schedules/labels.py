# SPDX-License-Identifier: MIT
"""Label and sign schedule: each label with its words, place, trigger and basis; then the shutdown sequence, step by step."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from topology.dataclass import dataclass
from topology.errors import Unknown
from topology.flow import Flows
from topology.site import Shutdown

from .columns import ID, NAME, SIGN_HERE, Cell, Column, Table, build
from .isolating import BY_HAND, called, surroundings
from .label_site import LabelSite
from .label_triggers import TRIGGERS
from .shutdown import shutdown_steps
from .sourced import facts_of, profiles_of

__all__ = ["confirmation", "labels"]

LETTERING = {name: ("Labels are in English, durable and, outdoors, not written by marker pen. Letters: for each metre from which they are "
                    "read at least 5 mm for capitals and 4 mm for small letters (AS/NZS 3000, as a trade page on labels and a regulator's notice of 2014 tell it; second-hand).",)
             for name in ("au", "nz")}
"""What holds for every label, by profile."""
SHUTDOWN = "shutdown"
PREVAIL_TOO = "The steps are derived from the site file, as a proposal: the makers' instructions, the network operator's conditions and local rules prevail."
ON_DEVICE = ("on the switch", "on the device")
"""How the place of a label begins that stands on a switch itself."""
HEADLINE = re.compile(r"\. (?=DANGER|WARNING)|: ")
"""Where the words of a label on a switch stop to be its name."""


@dataclass(frozen=True, eq=False)
class _Sign:
    """A label on one object, or a step of the shutdown procedure."""

    object: str
    name: Cell
    label: str
    step: int | None
    words: Cell
    place: Cell
    reason: str
    basis: str
    found: str
    state: str


def labels(flows: Flows) -> Table:
    """The label schedule by the profiles of the site, then the shutdown sequence, on paper a table of its own; everything is a proposal."""
    confirmed = f"Shutdown sequence: {confirmation(flows)}."
    prevail = ("These are proposals: the makers' instructions, the network operator's conditions and local rules prevail. "
               "Take the wording of each label from the current edition of its basis.")
    lettering = LETTERING.get(next(iter(profiles_of(flows)), ""), ())
    signs = list(_signs(flows))
    steps = [sign for sign in signs if sign.label == SHUTDOWN]
    plain = [(column, cell) for column, cell in COLUMNS if column.heading != "step"]
    on_paper = (build("labels", "Labels", plain, [sign for sign in signs if sign.label != SHUTDOWN], (prevail, *lettering)),
                replace(build("labels", "Shutdown procedure", STEPS, steps, (confirmed, PREVAIL_TOO)), whole=True))
    whole = build("labels", "Labels and shutdown", COLUMNS, signs, (confirmed, prevail, *lettering))
    return replace(whole, on_paper=on_paper if steps else on_paper[:1])


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
    signs = list(_labels(flows))
    yield from signs
    told = {sign.object: str(sign.words) for sign in reversed(signs) if _names(flows, sign)}
    state = "confirmed" if confirmation(flows).startswith("confirmed") else "DRAFT"
    for number, step in enumerate(shutdown_steps(flows), 1):
        name = getattr(flows.objects.get(step.object), "name", "")
        label = f", labelled {HEADLINE.split(told[step.object])[0]}" if step.opens and step.object in told else ""
        yield _Sign(step.object, name, SHUTDOWN, number, f"{step.words}{label}", "on the shutdown procedure", step.why, "derived from the site file",
                    "", state)
    yield from _to_confirm(flows, state)


def _to_confirm(flows: Flows, state: str) -> Iterator[_Sign]:
    """Who confirmed the shutdown sequence; room for it where nobody has."""
    if not flows.sources:
        return
    at = flows.root or flows.sources[0]
    rows: list[tuple[str, Cell]] = [(f"Shutdown sequence {confirmation(flows)}", "")]
    if state == "DRAFT":
        rows = [(f"Shutdown sequence confirmed by: {what}", SIGN_HERE) for what in ("name and role", "licence number", "signature and date")]
    yield from (_Sign(at, "", SHUTDOWN, None, words, room, "confirmation", "derived from the site file", "", state) for words, room in rows)


def _names(flows: Flows, sign: _Sign) -> bool:
    """Whether a label stands on a switch and says which one it is."""
    on_switch = str(sign.place).startswith(ON_DEVICE) and isinstance(flows.objects.get(sign.object), BY_HAND)
    return on_switch and not str(sign.words).startswith(("WARNING", "DANGER", "CAUTION", "Live parts"))


def _labels(flows: Flows) -> Iterator[_Sign]:
    """The labels that the profiles of the site and what stands on it call for."""
    site = LabelSite(flows)
    named = set(profiles_of(flows))
    there: set[tuple[str, str]] = set()
    for row in facts_of("labels"):
        if named & set(row["profile"].split()) and _asked(flows, row["entry"]):
            state = "proposal" if row["found"] == "text" else "proposal: see current edition"
            for at in TRIGGERS[row["when"]](site):
                thing = flows.objects.get(at.object)
                words = row["words"].format(**at.fills) if at.fills else row["words"]
                if _stays(thing) and (at.object, words) not in there:  # one sign of the same words will do on one thing
                    there.add((at.object, words))
                    yield _Sign(at.object, getattr(thing, "name", ""), row["label"], None, words, _where(flows, at.object, row["place"]), at.reason,
                                row["source"], row["found"], state)


def _stays(thing: Any) -> bool:
    """Whether a thing is there after the work."""
    status = getattr(thing, "status", None)
    return isinstance(status, Unknown) or status != "removed"


def _asked(flows: Flows, entry: str) -> bool:
    """Whether a label is wanted: not where the profile, or the site by its limits, says no to the entry that asks for it."""
    found = flows.profiles.peek(entry) if entry else None
    return found is None or found.value is not False


def _where(flows: Flows, node: str, words: str) -> str:
    """The place of a label with the place of what it is on."""
    at = surroundings(flows, node)
    return f"{words}; {called(flows, node)} is at {at}" if at and at.split("(")[-1].rstrip(")") != node else words


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

STEPS: tuple[tuple[Column, Callable[[_Sign], Any]], ...] = (
    (ID, lambda s: s.object),
    (NAME, lambda s: s.name),
    (Column("step"), lambda s: s.step),
    (Column("words"), lambda s: s.words),
    (Column("reason"), lambda s: s.reason),
    (Column("state"), lambda s: s.state),
    (Column("by, date, signature", room=35), lambda s: SIGN_HERE if s.place is SIGN_HERE else None),
)
"""The shutdown sequence on paper: who confirms it has room to sign, and so has who tries a step."""
