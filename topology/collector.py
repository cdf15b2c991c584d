# SPDX-License-Identifier: MIT
"""The garbage collector put aside while many objects that all stay are made: collecting them makes work grow by n^1.3."""
from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["no_collection"]

MOST = 1_500_000  # objects, some hundred megabytes


@contextmanager
def no_collection() -> Iterator[None]:
    """Switches the collector off for a while, and on again if it was on."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            _keep()
            gc.enable()


class _Kept:
    """How many objects have been put among the old ones without a look at them."""

    number = 0


def _keep() -> None:
    """Put what was made among the old objects, which are looked at seldom: one look at all of it took a quarter of the time of making it.

    Where many objects have come together that way, in a process that reads one site after the other, they are looked at after all.
    """
    new = gc.get_count()[0]
    if _Kept.number and _Kept.number + new > MOST:
        gc.collect()
        _Kept.number = 0
    elif not gc.get_freeze_count():  # what someone else has frozen stays so
        gc.freeze()
        gc.unfreeze()
        _Kept.number += new
