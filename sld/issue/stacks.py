# SPDX-License-Identifier: MIT
"""Which rows of a table stand on a sheet, one stack beside the other: groups kept together, no row or two alone on the next sheet."""
from __future__ import annotations

from collections.abc import Sequence

from sld.issue.grid import Row, Setting

__all__ = ["FEW", "Piece", "ahead", "stacked", "without_orphans"]

KEPT = 45.0  # height of a group up to which it is not cut [mm]
BALANCE = 1.0  # step in which columns beside each other are levelled [mm]
FEW = 4
"""Rows that a sheet begins or ends a table with at the least, where it has so many."""

LONE = 3
"""Rows with which a sheet goes on with a group at the least."""

Piece = tuple[int, int, Row]
"""Number of a row, which of its pieces, the piece."""


def ahead(pieces: Sequence[Piece], sides: int) -> Sequence[Piece]:
    """The rows with which a sheet begins a table at the least: all where there are few, one where it stands beside itself."""
    return pieces[:1 if sides > 1 else FEW if len(pieces) >= 2 * FEW else len(pieces)]


def without_orphans(pieces: Sequence[Piece], room: float, made: Setting, groups: Sequence[str], under: float) -> list[list[Piece]]:
    """As `stacked`, but a table does not go on for a row or two: enough of it is left for the next sheet.

    under : height [mm] of what has to stand with the last rows
    """
    stacks = stacked(pieces, room, made, groups)
    taken = sum(map(len, stacks))
    least = FEW * made.sides
    if taken == len(pieces):
        full = max(height_of(stack, made, groups) for stack in stacks) + under > room
        left = least if full and under else 0
    else:
        left = least if len(pieces) - taken < least else len(pieces) - taken if rest_of(pieces, taken, groups) in range(1, LONE) else 0
    if not left or (keep := cut(pieces, min(taken, len(pieces) - left), groups, least)) < least:
        return stacks
    return stacked(pieces[:keep], room, made, groups)


def cut(pieces: Sequence[Piece], keep: int, groups: Sequence[str], least: int) -> int:
    """How many pieces stay: about keep, and no group is cut where that is near."""
    for fewer in range(keep, max(0, keep - least), -1) if groups else ():
        if groups[pieces[fewer][0]] != groups[pieces[fewer - 1][0]]:
            return fewer
    return keep - max(0, LONE - rest_of(pieces, keep, groups)) if groups else keep


def rest_of(pieces: Sequence[Piece], keep: int, groups: Sequence[str]) -> int:
    """Rows of the group that is cut after so many pieces; none where none is."""
    rest = 0
    while groups and keep + rest < len(pieces) and groups[pieces[keep + rest][0]] == groups[pieces[keep - 1][0]]:
        rest += 1
    return rest


def height_of(stack: Sequence[Piece], made: Setting, groups: Sequence[str]) -> float:
    """Of a stack [mm], with what its groups stand under."""
    leads = {groups[number] for number, *_ in stack} if groups else ()
    return sum(part.height for *_, part in stack) + sum(made.leads[lead].height for lead in leads)


def stacked(pieces: Sequence[Piece], room: float, made: Setting, groups: Sequence[str]) -> list[list[Piece]]:
    """As many pieces as fit into stacks of a height [mm]; where all fit, the stacks are about level. At least one piece is taken."""
    def packed(limit: float) -> list[list[Piece]]:
        return packed_into(pieces, limit, made, groups)

    stacks = packed(room)
    if sum(map(len, stacks)) < len(pieces):
        return stacks
    level = sum(part.height for *_, part in pieces) / made.sides
    while sum(map(len, stacks := packed(min(level, room)))) < len(pieces):
        level += BALANCE
    return stacks


def packed_into(pieces: Sequence[Piece], room: float, made: Setting, groups: Sequence[str]) -> list[list[Piece]]:
    """Pieces in order, stack after stack; each group, and each part of one, bears what it stands under. A low group is not cut."""
    whole = group_heights(pieces, groups)
    stacks: list[list[Piece]] = [[]]
    used, before = 0.0, ""
    for piece in pieces:
        group = groups[piece[0]] if groups else ""
        lead = made.leads[group].height if groups else 0.0
        new = group != before
        high = piece[2].height + (lead if new else 0.0)
        together = lead + whole[group] if new and whole[group] <= KEPT else high
        if stacks[-1] and used + together > room:
            if len(stacks) == made.sides:
                break
            stacks.append([])
            used, high = 0.0, piece[2].height + lead
        stacks[-1].append(piece)
        used, before = used + high, group
    return stacks


def group_heights(pieces: Sequence[Piece], groups: Sequence[str]) -> dict[str, float]:
    """Height of the rows of each group [mm]."""
    found: dict[str, float] = {}
    for number, _, part in pieces if groups else ():
        found[groups[number]] = found.get(groups[number], 0.0) + part.height
    return found
