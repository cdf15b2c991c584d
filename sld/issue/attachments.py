# SPDX-License-Identifier: MIT
"""Files of the user that are bound into the document: pages of PDF files at their own size, images on sheets in the drawing's frame."""
from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from io import BytesIO
from typing import Any

from topology.dataclass import dataclass
from topology.flow import Flows
from topology.kinds import Said
from topology.site import Attachment

from sld.issue.contents import place
from sld.issue.grid import wrapped
from sld.issue.leaves import Leaf, Picture, framed, room_on
from sld.issue.manifest import sha256
from sld.issue.refused import Refused
from sld.pdf import POINTS
from sld.primitives import Box, Furniture, Pen, Polyline, Sheet, Text
from sld.sheet import SheetInfo

__all__ = ["Bound", "attachments", "bind", "leaves_of"]

IMAGES = (".jpg", ".jpeg", ".png")
SHARPEST = 2600
"""Pixels along the longer side of an image in the document: about 190 on 25.4 mm of A3."""
MOST_PAGES = 200
WHITE = "#ffffff"


@dataclass(frozen=True)
class Bound:
    """An attachment. digest: SHA-256 of its file; shows: ids of what it shows; image: its data as it is bound, for an image;

    sizes: width and height of each page [mm], for a PDF file; neither for a file of another kind, which is only listed.
    """

    name: str
    title: str
    kind: str
    shows: tuple[str, ...]
    digest: str
    data: bytes
    image: bytes | None = None
    sizes: tuple[tuple[float, float], ...] = ()


def attachments(flows: Flows, files: Mapping[str, bytes]) -> list[Bound]:
    """The attachments of a site, in its order. files: by name. Raises Refused where one cannot be read."""
    said = flows.site.attachments
    found = []
    for given in said if isinstance(said, tuple) else ():
        if isinstance(given.file, Said):
            found.append(placed(given, files[given.file.id]))
    return found


def placed(given: Attachment, data: bytes) -> Bound:
    """One attachment as the site file names it. Raises Refused, with its place, where it cannot be read or is another file than it says."""
    shows = tuple(s.id for s in given.shows if isinstance(s, Said)) if isinstance(given.shows, tuple) else ()
    name, wanted = given.file.id, words(given.sha256).lower()
    try:
        if wanted not in ("", sha256(data)):
            raise Refused(f"attachment '{name}' is another file than the site file names: its SHA-256 is {sha256(data)}")
        return read(name, words(given.title), words(given.kind), shows, data)
    except Refused as error:
        raise Refused(f"{place(given.file)}: {error}", "next: save the file again, or correct or remove its line under attachments:") from error


def words(value: Any) -> str:
    return value if isinstance(value, str) else ""


def read(name: str, title: str, kind: str, shows: tuple[str, ...], data: bytes) -> Bound:
    """One attachment, opened."""
    bound = Bound(name, title or name, kind, shows, sha256(data), data)
    if name.lower().endswith(".pdf"):
        return replace(bound, sizes=tuple(sizes(name, data)))
    return replace(bound, image=upright(name, data)) if name.lower().endswith(IMAGES) else bound


def sizes(name: str, data: bytes) -> Iterator[tuple[float, float]]:
    """Width and height of each page as it is shown [mm]."""
    pages = opened(name, data)
    if len(pages) > MOST_PAGES:
        raise Refused(f"attachment '{name}' has {len(pages)} pages; at most {MOST_PAGES} are bound into a set")
    for page in pages:
        box, turned = page.cropbox, page.rotation % 180
        width, height = float(box.width) / POINTS, float(box.height) / POINTS
        yield (height, width) if turned else (width, height)


def opened(name: str, data: bytes) -> Sequence[Any]:
    """The pages of a PDF file. Raises Refused where it is damaged or locked."""
    from logging import CRITICAL, getLogger

    from pypdf import PdfReader

    getLogger("pypdf").setLevel(CRITICAL)  # what it says of damage in its own words, we say in ours
    try:
        reader = PdfReader(BytesIO(data))
        if reader.is_encrypted:
            raise Refused(f"attachment '{name}' is locked with a password; save it without one")
        pages = list(reader.pages)
        for page in pages:
            page.cropbox  # noqa: B018  read now, so that damage shows here
    except Refused:
        raise
    except Exception as error:  # pypdf raises many kinds for damaged files
        raise Refused(f"attachment '{name}' cannot be read as PDF: {error}") from error
    if not pages:
        raise Refused(f"attachment '{name}' has no pages")
    return pages


def upright(name: str, data: bytes) -> bytes:
    """An image as the camera held it, no sharper than paper shows, as JPEG on white. Raises Refused where it is damaged or too large."""
    from PIL import Image, ImageOps

    try:
        with Image.open(BytesIO(data), formats=("JPEG", "PNG")) as image:
            turned = ImageOps.exif_transpose(image).convert("RGBA")
            turned.thumbnail((SHARPEST, SHARPEST))
            white = Image.new("RGBA", turned.size, WHITE)
            out = BytesIO()
            Image.alpha_composite(white, turned).convert("RGB").save(out, "JPEG", quality=88)
    except Exception as error:  # Pillow raises many kinds for damaged files
        raise Refused(f"attachment '{name}' cannot be read as an image: {error}") from error
    return out.getvalue()


def leaves_of(bound: Sequence[Bound], info: SheetInfo) -> list[Leaf]:
    """The pages of all attachments."""
    found: list[Leaf] = []
    for index, one in enumerate(bound):
        document = f"Attachment {index + 1}: {one.title}"
        if one.image is not None:
            found.append(image_leaf(document, one, info))
        for number, size in enumerate(one.sizes):
            title = document if len(one.sizes) == 1 else f"{document}, page {number + 1}"
            found.append(Leaf(document, title, bare(size, caption(one), number + 1), under=(index, number)))
    return found


def caption(one: Bound) -> str:
    shows = f", shows {' '.join(one.shows)}" if one.shows else ""
    return f"Attachment '{one.name}'{shows}, SHA-256 {one.digest}"


def image_leaf(document: str, one: Bound, info: SheetInfo) -> Leaf:
    """An image in the drawing's frame, as large as it fits, with its caption below."""
    from PIL import Image

    assert one.image is not None
    x0, y0, x1, y1 = room_on("A3", info)
    with Image.open(BytesIO(one.image)) as image:
        wide, high = image.size
    scale = min((x1 - x0) / wide, (y1 - y0 - 6.0) / high)
    left = x0 + ((x1 - x0) - wide * scale) / 2
    box: Box = (left, y0, left + wide * scale, y0 + high * scale)
    said = Text((x0, y1), caption(one), 2.5)
    return Leaf(document, document, framed(replace(info, document_type=one.kind.capitalize()), "A3", [said]), picture=Picture(one.image, box))


def bare(size: tuple[float, float], said: str, number: int) -> Sheet:
    """A page of its own size with its caption on white at its foot; what lies below it is put there later."""
    width, height = size
    lines = wrapped(said, width - 8.0, 1.8, False, width - 8.0)
    top = height - 4.0 - 3.0 * len(lines)
    strip = Polyline(((0.0, top), (width, top), (width, height), (0.0, height)), Pen(0.1, (), WHITE), True, WHITE)
    texts = (Text((4.0, top + 2.6 + 3.0 * place), line, 1.8) for place, line in enumerate(lines))
    return Sheet(number, f"{width:.0f} × {height:.0f}", width, height, (0.0, 0.0, width, height), (Furniture("caption", (strip, *texts)),))


def bind(document: bytes, leaves: Sequence[Leaf], bound: Sequence[Bound]) -> bytes:
    """The document with the pages of PDF files below their captions. Without any it stays as it is."""
    if not any(leaf.under for leaf in leaves):
        return document
    from pypdf import PdfWriter

    writer = PdfWriter(clone_from=BytesIO(document))
    # in a writer of its own each page may be turned
    pages = {place: PdfWriter(clone_from=BytesIO(one.data)).pages for place, one in enumerate(bound) if one.sizes}
    for page, leaf in zip(writer.pages, leaves, strict=True):
        if leaf.under is not None:
            lay_under(page, pages[leaf.under[0]][leaf.under[1]])
    out = BytesIO()
    writer.write(out)
    return out.getvalue()


def lay_under(page: Any, other: Any) -> None:
    """Put a page of another file below ours: upright, from its corner, without its links and scripts."""
    from pypdf import Transformation

    for key in ("/Annots", "/AA"):
        other.pop(key, None)
    other.transfer_rotation_to_content()
    x, y = float(other.cropbox.left), float(other.cropbox.bottom)
    page.merge_transformed_page(other, Transformation().translate(-x, -y), over=False)
