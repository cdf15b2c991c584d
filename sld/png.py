# SPDX-License-Identifier: MIT
"""A sheet as PNG: our own SVG through CairoSVG, with our own font and no other."""
from __future__ import annotations

import os
from functools import lru_cache
from html import escape
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sld.font import FAMILY, font_file, font_size, text_width
from sld.primitives import Scene, Sheet
from sld.svg import svg
from topology.errors import SiteError

__all__ = ["png"]

NO_CAIRO = ("PNG needs the system library libcairo, which is not on this machine. Debian or Ubuntu: apt-get install libcairo2; "
            "macOS: brew install cairo; Windows: install the GTK runtime (with MSYS2: pacman -S mingw-w64-ucrt-x86_64-cairo) "
            "and put its bin folder on PATH. SVG, PDF, DXF and the schedules work without it.")
OTHER_FONT = ("PNG cannot be drawn here: the graphics library does not take the font of the drawings, and with another font text could be "
              "lost. SVG, PDF, DXF and the schedules are not affected.")
PROBE = "4×25 mm² ≤ 30 mA, 0.35 Ω, Main switchboard"
"""Text with the signs that a wrong font loses first."""


def png(sheet: Sheet, scene: Scene, dpi: int = 150) -> bytes:
    """The sheet in pixels. Raises SiteError where libcairo is missing or would use another font."""
    check_cairo()
    drawing = svg(sheet, scene).replace('font-family="Lettering,', 'font-family="', 1)  # CairoSVG reads no embedded font
    made: bytes = surface().convert(bytestring=drawing.encode(), dpi=dpi)
    return made


@lru_cache(maxsize=1)
def surface() -> Any:
    """CairoSVG's surface for PNG with letters at their true width, where by default each is rounded to whole pixels."""
    import cairocffi
    from cairosvg.surface import PNGSurface

    class TrueWidths(PNGSurface):  # type: ignore[misc]
        def set_context_size(self, *arguments: Any) -> None:
            """Called before anything is drawn. CairoSVG would set options of its own at every element: it finds nothing to set."""
            super().set_context_size(*arguments)
            options = cairocffi.FontOptions(hint_style=cairocffi.HINT_STYLE_NONE, hint_metrics=cairocffi.HINT_METRICS_OFF)
            cairocffi.Context.set_font_options(self.context, options)
            self.context.set_font_options = lambda _: None

    return TrueWidths


@lru_cache(maxsize=1)
def check_cairo() -> None:
    """Load libcairo with our font as the only one, and prove by the width of a text that it is used."""
    with TemporaryDirectory() as folder:
        config = Path(folder, "fonts.conf")
        config.write_text(font_config(folder), encoding="utf-8")
        before = os.environ.get("FONTCONFIG_FILE")
        os.environ["FONTCONFIG_FILE"] = str(config)
        try:
            width = probe()
        except (ImportError, OSError) as fault:
            raise SiteError(NO_CAIRO) from fault
        finally:
            restore("FONTCONFIG_FILE", before)
    if any(abs(width[bold] / text_width(PROBE, 1000.0, bold) - 1) > 0.01 for bold in (False, True)):
        raise SiteError(OTHER_FONT)


def restore(name: str, value: str | None) -> None:
    """The configuration has been read by now; nobody else shall find ours."""
    if value is None:
        del os.environ[name]
    else:
        os.environ[name] = value


def font_config(folder: str) -> str:
    """A fontconfig configuration with two files; never read again, since its folder is gone by then."""
    files = "".join(f"<glob>{escape(str(font_file(bold)))}</glob>" for bold in (False, True))
    return ('<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig>'
            f"<dir>{escape(str(font_file().parent))}</dir><cachedir>{escape(folder)}</cachedir>"
            f"<selectfont><acceptfont>{files}</acceptfont><rejectfont><glob>*</glob></rejectfont></selectfont>"
            "<config><rescan><int>0</int></rescan></config></fontconfig>")


def probe() -> dict[bool, float]:
    """Advance width of PROBE at font size for capitals 1000 units high, regular and bold."""
    import cairocffi

    context = cairocffi.Context(cairocffi.ImageSurface(cairocffi.FORMAT_A8, 1, 1))
    found = {}
    for bold in (False, True):
        context.select_font_face(FAMILY, cairocffi.FONT_SLANT_NORMAL, cairocffi.FONT_WEIGHT_BOLD if bold else cairocffi.FONT_WEIGHT_NORMAL)
        context.set_font_size(font_size(1000.0, bold))
        found[bold] = context.text_extents(PROBE)[4]
    return found
