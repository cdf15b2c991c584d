# SPDX-License-Identifier: MIT
"""A check is a function of one object; the runner asks it for each object of its class."""
from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from .errors import CannotTell, Finding, Missing
from .faults import doc_parts
from .flow import Flows

__all__ = ["RULES", "rule", "run_rules"]

Check = Callable[[Any, Flows], Iterable[Finding]]
RULES: dict[str, Check] = {}
_CLASSES: dict[str, tuple[type, str]] = {}


def rule(each: type, severity: str = "error") -> Callable[[Check], Check]:
    """Register a check of one class of object under its function's name."""
    def register(function: Check) -> Check:
        name = function.__name__.replace("_", "-")
        RULES[name], _CLASSES[name] = function, (each, severity)
        return function
    return register


def run_rules(flows: Flows) -> list[Finding]:
    """What all checks say of a site. A value that is not known gives "cannot tell" for that object alone."""
    from . import checks  # registers them; they import this module

    found: list[Finding] = []
    for name in checks.__all__:
        name = name.replace("_", "-")
        each, severity = _CLASSES[name]
        source = doc_parts(RULES[name].__doc__ or "").get("Source", "")
        for obj in flows.objects.values():
            if isinstance(obj, each):
                found += [replace(f, rule=name, severity=severity if f.outcome == "finding" else "note", source=source)
                          for f in _ask(RULES[name], obj, flows)]
    return found


def _ask(check: Check, obj: Any, flows: Flows) -> list[Finding]:
    try:
        return list(check(obj, flows))
    except CannotTell as error:
        if error.unknown.silent:
            return []
        what, mark = error.unknown.what, error.unknown.mark
        return [Finding(mark, f"{what} is not known", f"find out: {what}", outcome="cannot-tell", objects=(obj.id,), missing=(Missing(what, mark),))]
