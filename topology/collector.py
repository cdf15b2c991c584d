# SPDX-License-Identifier: MIT
"""The garbage collector put aside while many objects that all stay are made: collecting them makes work grow by n^1.3."""
from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["no_collection"]


@contextmanager
def no_collection() -> Iterator[None]:
    """Switches the collector off for a while, and on again if it was on."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
