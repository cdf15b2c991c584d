# SPDX-License-Identifier: MIT
"""What the printed working says of the thing itself at the end of a way: a board, a load, a source, a device."""
from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from ..errors import CannotTell, Unknown
from ..quantity import show_quantity
from ..site import Board, Equipment, HybridInverter, Load, ModuleInverters
from .bars import taps_of, worst_section
from .derating import lasting_rating
from .given import known
from .operating import CASES, rated_va
from .solved import NAMES, Electrical

__all__ = ["ending", "said"]


def said(label: str, question: Callable[[], str]) -> str:
    """A line, or what is missing for it."""
    try:
        return f"  {label:<12}{question()}"
    except CannotTell as error:
        return f"  {label:<12}cannot tell: {error.unknown.what} is not known"


def ending(solved: Electrical, node: int, obj: Any) -> Iterator[str]:
    """Lines about the thing itself, nothing for what has no figures of its own."""
    if isinstance(obj, Board):
        yield from _board(solved, obj)
    elif isinstance(obj, Load):
        yield from _load(solved, node, obj)
    elif isinstance(obj, Equipment | HybridInverter):
        yield from _source(solved, node, obj)
    elif hasattr(obj, "rating"):
        yield from _device(solved, node, obj)


def _board(solved: Electrical, board: Board) -> Iterator[str]:
    """Each tap of the bar, then its most loaded section."""
    yield said("busbar", lambda: f"rated {known(board.busbar):g} A; most in a section: {_section(solved, board)}")
    try:
        feed, ways = taps_of(solved, board)
    except CannotTell:
        return  # the line above says why
    for tap in (feed, *ways):
        if tap.gives or tap.takes:
            yield f"    {tap.id:<26} gives up to {tap.gives:.1f} A, takes up to {tap.takes:.1f} A"


def _section(solved: Electrical, board: Board) -> str:
    worst, how = worst_section(*taps_of(solved, board), board)
    return f"{worst:.1f} A, {how}"


def _load(solved: Electrical, node: int, load: Load) -> Iterator[str]:
    def draws() -> str:
        watts, factor = known(load.power), load.power_factor
        shaft = f" at the shaft / {known(load.efficiency):g} % efficiency" if load.efficiency is not None else ""
        return f"{show_quantity(watts, 'W')}{shaft}{f', power factor {factor}' if factor is not None else ''}: {_amperes(solved, node, 'demand')}"
    if not (isinstance(load.power, Unknown) and not load.power.given):
        yield said("draws", draws)
    else:
        yield said("draws", lambda: f"what its device lets through: {_amperes(solved, node, 'demand')}")


def _source(solved: Electrical, node: int, obj: Any) -> Iterator[str]:
    def nameplate() -> str:
        units = f" ({known(obj.number)} units)" if isinstance(obj, ModuleInverters) else ""
        return f"{show_quantity(rated_va(solved.given, obj), 'VA')}{units}: {_amperes(solved, node, 'export')}"
    yield said("nameplate", nameplate)
    if rated := _limited(solved, obj):
        yield said("limited", lambda: f"{rated} by software: {_amperes(solved, node, 'limited')}")


def _limited(solved: Electrical, obj: Any) -> str:
    """The power that software limits it to, nothing where there is no such limit."""
    try:
        full, limited = (rated_va(solved.given, obj, limited) for limited in (False, True))
    except CannotTell:
        return ""
    return show_quantity(limited, "VA") if limited < full else ""


def _amperes(solved: Electrical, node: int, case: str) -> str:
    volts = solved.voltages[case]
    volts.told(node)
    return ", ".join(f"{name} {abs(current):.2f} A" for name, current in zip(NAMES, volts.flowing(node), strict=True) if abs(current) > 0.005) or "nothing"


def _device(solved: Electrical, node: int, device: Any) -> Iterator[str]:
    yield said("rated", lambda: f"{known(device.rating):g} A")
    if getattr(device, "make", None) is not None:
        yield said("for hours", lambda: lasting_rating(solved, device).working)
    yield said("Ib", lambda: solved.design(node).working)
    for case in CASES:
        yield said(f"  {case}", lambda case=case: _amperes(solved, node, case))  # type: ignore[misc]
    breaking = getattr(device, "breaking", None)
    if breaking is not None and not (isinstance(breaking, Unknown) and not breaking.given):
        yield said("breaks", lambda: f"{known(breaking) / 1000:g} kA; at its place: "
                   f"{solved.faults.largest(solved.tree.parent[node], len(solved.tree.phases(node))).working}")
