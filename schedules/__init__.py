# SPDX-License-Identifier: MIT
"""Schedules of a site: tables that follow from the same objects as the drawings."""
from __future__ import annotations

from collections.abc import Callable

from topology.flow import Flows

from .buses import buses
from .cables import cables
from .circuits import circuits
from .columns import Table
from .connection import connection
from .differences import differences
from .equipment import equipment
from .labels import labels
from .protection import protection
from .sensors import sensors
from .survey import survey
from .terminations import terminations
from .tests import tests

__all__ = ["SCHEDULES"]

SCHEDULES: dict[str, Callable[[Flows], Table]] = {
    "circuits": circuits, "cables": cables, "equipment": equipment, "sensors": sensors, "buses": buses, "terminations": terminations,
    "protection": protection, "labels": labels, "tests": tests,
    "connection": connection, "survey": survey, "differences": differences}
"""Every schedule by its name, which is also its file name, in the order in which they are issued."""
