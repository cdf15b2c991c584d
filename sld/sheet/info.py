# SPDX-License-Identifier: MIT
"""What a sheet says about itself."""
from __future__ import annotations

from topology.dataclass import dataclass


__all__ = ["Revision", "SheetInfo"]


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the revision table."""

    index: str
    date: str
    note: str
    by: str = ""


@dataclass(frozen=True, slots=True)
class SheetInfo:
    """Texts of the title block and of the blocks above it. An empty text leaves its field blank.

    The first eight fields are mandatory by ISO 7200:2004 (read in a public paraphrase), together with the sheet number.
    final  : the drawing shows what was built; otherwise it is stamped as not for energising
    fed    : the drawing shows sources beside the supply
    cautions, notes : lines added to those of the program
    totals : a table, its heading first, with the amounts of each phase
    limits : lines below the totals
    elsewhere : on which sheet of a set notes and legend stand, for the caution of the others
    counted : what the checks found, for the caution of each sheet
    checks : the same at length, and what was assumed, one line each
    changed : ids of what the last revision changed: clouds stand round it
    zoned  : with zones along the frame; below A3 they may be left off
    paper  : size asked for, A4 to A0; empty for the smallest that fits
    """

    owner: str = ""
    number: str = ""
    date: str = ""
    title: str = ""
    approver: str = ""
    creator: str = ""
    document_type: str = ""
    revision: str = ""
    status: str = ""
    language: str = "en"
    supplementary: str = ""
    site: str = ""
    address: str = ""
    connection: str = ""
    customer: str = ""
    designer: str = ""
    licence: str = ""
    installer: str = ""
    approval: str = ""
    counted: str = ""
    elsewhere: str = ""
    final: bool = False
    fed: bool = True
    zoned: bool = True
    paper: str = ""
    changed: frozenset[str] = frozenset()
    sheet: int = 1
    sheets: int = 1
    revisions: tuple[Revision, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    totals: tuple[tuple[str, ...], ...] = ()
    limits: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
