# SPDX-License-Identifier: MIT
"""What is needed of a TrueType file and no more: widths, and a file with fewer letters. Loads in a moment, same bytes everywhere.

Source: ISO/IEC 14496-22 (Open Font Format), tables head, hhea, maxp, OS/2, hmtx, cmap, loca, glyf, name, post; from memory, tested
against another reader of such files.
"""
from __future__ import annotations

from collections.abc import Iterable, Iterator
from struct import pack, unpack_from

from topology.dataclass import dataclass

__all__ = ["Face", "cut", "read_face"]

KEPT_NAMES = (0, 13, 14)  # copyright, licence and where the licence stands: they travel with every copy of the font
WORDS, SCALE, MORE, TWO_SCALES, MATRIX, INSTRUCTIONS = 0x1, 0x8, 0x20, 0x40, 0x80, 0x100  # flags of a part of a composite glyph
MAGIC = 0xB1B0AFBA  # what the sum of a whole file is made to give


@dataclass(frozen=True, eq=False)
class Face:
    """A font as read.

    tables   : by their tag
    units    : of the design, to one em
    glyphs   : number of the glyph of each character
    advances : width of each glyph, by its number [units]
    """

    tables: dict[str, bytes]
    units: int
    glyphs: dict[str, int]
    advances: tuple[int, ...]

    @property
    def capital(self) -> int:
        """Height of capital letters [units]."""
        return _number(self.tables["OS/2"], ">h", 88)

    @property
    def descent(self) -> int:
        """Depth of letters below the base line [units]."""
        return -_number(self.tables["OS/2"], ">h", 70)

    def outline(self, glyph: int) -> bytes:
        """The strokes of a glyph as they stand in the file; empty for a space."""
        form, size = (">2I", 4) if _number(self.tables["head"], ">h", 50) else (">2H", 2)
        start, end = unpack_from(form, self.tables["loca"], size * glyph)
        return self.tables["glyf"][start:end] if size == 4 else self.tables["glyf"][2 * start:2 * end]


def read_face(data: bytes) -> Face:
    """Read a TrueType file with a table of all of Unicode. Raises LookupError for one that has none."""
    tables = {}
    for place in range(_number(data, ">H", 4)):
        tag, _, start, length = unpack_from(">4s3I", data, 12 + 16 * place)
        tables[tag.decode("latin-1")] = data[start:start + length]
    wide = _number(tables["hhea"], ">H", 34)
    many = _number(tables["maxp"], ">H", 4)
    advances = unpack_from(">" + "H2x" * wide, tables["hmtx"])
    return Face(tables, _number(tables["head"], ">H", 18), dict(_characters(tables["cmap"])), advances + advances[-1:] * (many - wide))


def _number(data: bytes, form: str, place: int) -> int:
    value: int
    value, = unpack_from(form, data, place)
    return value


def _characters(cmap: bytes) -> Iterator[tuple[str, int]]:
    """Character and glyph from the subtable of format 12."""
    starts = [_number(cmap, ">I", 8 + 8 * place) for place in range(_number(cmap, ">H", 2))]
    table = next((start for start in starts if _number(cmap, ">H", start) == 12), None)
    if table is None:
        raise LookupError("the font has no table of all of Unicode")
    for place in range(_number(cmap, ">I", table + 12)):
        first, last, glyph = unpack_from(">3I", cmap, table + 16 + 12 * place)
        yield from ((chr(code), glyph + code - first) for code in range(first, last + 1))


def cut(face: Face, letters: Iterable[str]) -> bytes:
    """The font with these letters only, without hints, kerning and ligatures: text is as wide as the sum of its letters.

    letters : characters that the font has; any order, once or often
    """
    codes = sorted(map(ord, set(letters)))
    order = [0, *(face.glyphs[chr(code)] for code in codes)]
    numbers = {glyph: new for new, glyph in enumerate(order)}
    strokes = [_renumbered(face.outline(glyph), order, numbers) for glyph in order]  # order grows by the parts of composite glyphs
    starts = [0]
    for stroke in strokes:
        starts.append(starts[-1] + len(stroke))
    kept = face.tables
    return _file({"OS/2": kept["OS/2"], "cmap": _cmap(codes), "glyf": b"".join(strokes), "loca": pack(f">{len(starts)}I", *starts),
                  "head": kept["head"][:8] + bytes(4) + kept["head"][12:50] + pack(">h", 1) + kept["head"][52:],
                  "hhea": kept["hhea"][:34] + pack(">H", len(order)), "hmtx": b"".join(_width(face, glyph) for glyph in order),
                  "maxp": kept["maxp"][:4] + pack(">H", len(order)) + kept["maxp"][6:], "name": _names(kept["name"]),
                  "post": pack(">I", 0x30000) + kept["post"][4:32]})


def _renumbered(glyph: bytes, order: list[int], numbers: dict[int, int]) -> bytes:
    """Strokes without hints; a composite glyph names its parts by their new numbers. Padded to whole words."""
    contours = _number(glyph, ">h", 0) if glyph else 0
    if not contours:
        return b""
    if contours >= 0:
        end = 10 + 2 * contours
        start = end + 2 + _number(glyph, ">H", end)
        made = glyph[:end] + bytes(2) + glyph[start:start + _points(glyph, start, _number(glyph, ">H", end - 2) + 1)]
    else:
        made = glyph[:10]
        for flags, part, rest in _parts(glyph):
            if part not in numbers:
                numbers[part] = len(order)
                order.append(part)
            made += pack(">2H", flags & ~INSTRUCTIONS, numbers[part]) + rest
    return made + bytes(-len(made) % 4)


def _points(glyph: bytes, start: int, many: int) -> int:
    """How many bytes the points of a glyph take, without what fills up its last word: flags, then steps of 0, 1 or 2 bytes in x and y."""
    place, steps = start, 0
    while many > 0:
        flag = glyph[place]
        times = 1 + (glyph[place + 1] if flag & 8 else 0)
        place += 2 if flag & 8 else 1
        steps += times * ((1 if flag & 2 else 0 if flag & 16 else 2) + (1 if flag & 4 else 0 if flag & 32 else 2))
        many -= times
    return place + steps - start


def _parts(glyph: bytes) -> Iterator[tuple[int, int, bytes]]:
    """Flags, number and placing of each part of a composite glyph."""
    place, flags = 10, MORE
    while flags & MORE:
        flags, part = unpack_from(">2H", glyph, place)
        rest = (4 if flags & WORDS else 2) + (2 if flags & SCALE else 4 if flags & TWO_SCALES else 8 if flags & MATRIX else 0)
        yield flags, part, glyph[place + 4:place + 4 + rest]
        place += 4 + rest


def _width(face: Face, glyph: int) -> bytes:
    """Width and left bearing of a glyph; the latter is the left edge of its strokes."""
    outline = face.outline(glyph)
    return pack(">Hh", face.advances[glyph], _number(outline, ">h", 2) if outline else 0)


def _cmap(codes: list[int]) -> bytes:
    """Characters to glyphs 1, 2, 3…: format 4 for those of 16 bits, which every reader knows, and format 12 for all."""
    runs = _runs(codes)
    low = _runs([code for code in codes if code < 0xFFFF])
    many = len(low) + 1
    search = 1 << (many.bit_length() - 1)
    columns = [[last for _, last, _ in low] + [0xFFFF], [first for first, _, _ in low] + [0xFFFF],
               [(glyph - first) & 0xFFFF for first, _, glyph in low] + [1], [0] * many]
    head = (4, 16 + 8 * many, 0, 2 * many, 2 * search, search.bit_length() - 1, 2 * (many - search))
    short = pack(">7H", *head) + pack(f">{many}HH", *columns[0], 0) + b"".join(pack(f">{many}H", *column) for column in columns[1:])
    long = pack(">2H3I", 12, 0, 16 + 12 * len(runs), 0, len(runs)) + b"".join(pack(">3I", *run) for run in runs)
    return pack(">2H2HI2HI", 0, 2, 3, 1, 20, 3, 10, 20 + len(short)) + short + long


def _runs(codes: list[int]) -> list[tuple[int, int, int]]:
    """First and last character of each run without a gap, and the glyph of the first."""
    runs: list[tuple[int, int, int]] = []
    for glyph, code in enumerate(codes, 1):
        if runs and runs[-1][1] == code - 1:
            runs[-1] = (runs[-1][0], code, runs[-1][2])
        else:
            runs.append((code, code, glyph))
    return runs


def _names(table: bytes) -> bytes:
    """The names that must stay with the font."""
    many, strings = unpack_from(">2H", table, 2)
    records = [unpack_from(">6H", table, 6 + 12 * place) for place in range(many)]
    kept = [record for record in records if record[3] in KEPT_NAMES]
    texts = [table[strings + record[5]:strings + record[5] + record[4]] for record in kept]
    heads, place = [pack(">3H", 0, len(kept), 6 + 12 * len(kept))], 0
    for record, text in zip(kept, texts, strict=True):
        heads.append(pack(">6H", *record[:5], place))
        place += len(text)
    return b"".join(heads + texts)


def _file(tables: dict[str, bytes]) -> bytes:
    """Tables put together, each with its checksum, in the order of their tags."""
    many = len(tables)
    search = 16 << (many.bit_length() - 1)
    head, body = pack(">I4H", 0x10000, many, search, many.bit_length() - 1, 16 * many - search), b""
    start = 12 + 16 * many
    for tag, table in sorted(tables.items()):
        head += pack(">4s3I", tag.encode(), _checksum(table), start + len(body), len(table))
        body += table + bytes(-len(table) % 4)
    whole = head + body
    place = start + whole[start:].index(tables["head"]) + 8
    return whole[:place] + pack(">I", (MAGIC - _checksum(whole)) & 0xFFFFFFFF) + whole[place + 4:]


def _checksum(data: bytes) -> int:
    """Sum of all words of 32 bits."""
    padded = data + bytes(-len(data) % 4)
    return sum(unpack_from(f">{len(padded) // 4}I", padded)) & 0xFFFFFFFF
