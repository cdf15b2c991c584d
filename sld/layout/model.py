# SPDX-License-Identifier: MIT
"""What the layout is given, and what it hands back: plain data that knows nothing of a site."""
from __future__ import annotations

from topology.dataclass import dataclass

from sld.primitives import Area, Label, Pen, Placed, Primitive, Wire

__all__ = ["Chain", "ChainDevice", "ChainLink", "Drawn", "Enclosure", "Feed", "Net", "Segment", "Strip", "Style"]


@dataclass(frozen=True, slots=True)
class Feed:
    """The wire that comes into a strip from above, with the text of its cable.

    lines      : text beside the wire, one entry a line, wrapped where it is long
    conductors : what the wire consists of (1/N/PE), written at a stroke across the wire
    crossed    : drawn with crosses, as what is removed
    revised    : letter of the revision that altered it, drawn in a triangle
    number     : of its conductors, written at the stroke; 0 leaves it out
    port       : terminal of the device above at which it begins; a device with several is drawn as wide as what hangs on it
    into       : terminal at which it ends, written in a device that is drawn so wide
    """

    id: str
    object: str
    kind: str = "power"
    net: str | None = None
    lines: tuple[str, ...] = ()
    conductors: str = ""
    pen: Pen = Pen()
    crossed: bool = False
    revised: str = ""
    port: str = ""
    number: int = 0
    into: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """A device or a busbar in the ordered tree.

    kind      : kind of symbol; or "busbar", which is stretched over its children; or "branch", where a line divides without a busbar
    lines     : designation first, then ratings
    wire      : what feeds it; None at the root
    enclosure : id of the board or place that it stands in
    marks     : (kind of symbol, object id) drawn at the port for buses: terminator, shield bond
    crossed, revised : as for a wire
    pair      : of a reference, the id of the reference that it is continued at
    side      : a second line that comes in from the left, at `side_port`: its first strip; each of its strips has one child at most,
                and all stand in the same enclosure as this one
    side_wire : from the last strip of that line to the port
    """

    id: str
    object: str
    kind: str
    lines: tuple[str, ...] = ()
    title: str = ""
    pen: Pen = Pen()
    wire: Feed | None = None
    children: tuple[Strip, ...] = ()
    enclosure: str | None = None
    marks: tuple[tuple[str, str], ...] = ()
    crossed: bool = False
    revised: str = ""
    pair: str = ""
    side: Strip | None = None
    side_wire: Feed | None = None
    side_port: str = "alternative"


@dataclass(frozen=True, slots=True)
class Enclosure:
    """A board or place: a dash-dot rectangle with its name. Strips name it by id. part: ends the id of its rectangle."""

    id: str
    object: str
    lines: tuple[str, ...] = ()
    part: str = ""


@dataclass(frozen=True, slots=True)
class Segment:
    """One piece of a bus or lead between two strips. text: what is written beside it (9 m).

    end and pair : where it leads to another drawing, end is empty, and pair names the reference at which it is continued; its own
                   reference has the id of the segment with .to after it
    """

    id: str
    object: str
    start: str
    end: str
    text: str = ""
    start_port: str = ""
    end_port: str = ""
    pair: str = ""


@dataclass(frozen=True, slots=True)
class Net:
    """A bus or lead that is not part of the tree; port: its place on each symbol where a segment names none."""

    id: str
    kind: str
    segments: tuple[Segment, ...]
    name: str = ""
    port: str = "bus"
    pen: Pen = Pen()


@dataclass(frozen=True, slots=True)
class Style:
    """Choices of a layout, all lengths in mm. The text never gets smaller to make a drawing fit.

    wrap  : width at which labels and cable text are broken into lines
    axis  : where a busbar is fed, "centre" or "left"
    under : subboards hang below the loads of the board that feeds them, so that they can slide under these
    tiers : they also hang below each other, the last way's uppermost; with the axis at the left no feeder is in the way
    """

    wrap: float = 21.0
    axis: str = "centre"
    under: bool = True
    tiers: bool = False


@dataclass(frozen=True, slots=True)
class ChainDevice:
    """A device in a bus diagram. lines: designation, name, place, address; marks: (kind of symbol, object id) such as a terminator."""

    id: str
    object: str
    lines: tuple[str, ...] = ()
    title: str = ""
    pen: Pen = Pen()
    marks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ChainLink:
    """A segment of a bus diagram. text: length and running length; bond: at which device its shield is bonded; also: at which one too."""

    id: str
    object: str
    start: str
    end: str
    text: str = ""
    bond: str = ""
    pen: Pen = Pen()
    also: str = ""


@dataclass(frozen=True, slots=True)
class Chain:
    """One bus with its devices, in the order in which they are known. name: its heading; lines: what stands below that."""

    id: str
    name: str
    devices: tuple[ChainDevice, ...]
    links: tuple[ChainLink, ...]
    kind: str = "bus"
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished drawing from (0, 0) to (width, height), all in mm.

    marks : strokes without an object
    uses  : kinds of mark that the legend must explain: conductors, crossed, revised
    pairs : ids of two references, the first in this drawing, the second where it is continued
    """

    symbols: tuple[Placed, ...]
    wires: tuple[Wire, ...]
    labels: tuple[Label, ...]
    areas: tuple[Area, ...]
    marks: tuple[Primitive, ...]
    width: float
    height: float
    uses: frozenset[str] = frozenset()
    pairs: tuple[tuple[str, str], ...] = ()
