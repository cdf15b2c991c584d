# SPDX-License-Identifier: MIT
"""What is written down on site: settings, test results, who confirmed the shutdown procedure, allowance for ordering cable."""
from __future__ import annotations

import datetime
from typing import ClassVar

from .dataclass import dataclass
from .fields import say
from .kinds import Amount, Choice, Day, Free, Ref, Said
from .parts import Part

__all__ = ["SETTING", "TESTS", "Ordering", "Setting", "Shutdown", "TestResult"]

SETTING = r"[A-Za-z0-9 <>().,/+–-]{1,40}"
"""Name of a setting, as the protection schedule has it: U>, f<<, loss of mains."""
TESTS = (
    "visual inspection", "labels", "protective conductor", "ring final", "insulation", "polarity", "correct connections", "earth fault loop",
    "prospective fault current", "residual current device", "test button", "surge protection", "phase sequence", "earth electrode", "voltage rise",
    "sensor direction", "sensor ratio", "sensor phase", "sensor zero", "sensor balance", "sensor secondary", "bus resistance", "bus cores", "bus insulation",
    "bus polarity", "shield", "bus addresses", "direct-current polarity", "string polarity", "open-circuit voltage", "short-circuit current",
    "array insulation", "isolation", "functional test", "loss of supply", "reconnection", "settings", "export limit", "nameplate", "charge limits",
    "communication", "charge and discharge", "backup", "transfer time", "interlock", "N–E link in backup", "certificate of compliance",
    "record of inspection", "electrical safety certificate",
    "entry in the register", "papers to the operator")
"""Tests that the inspection and test record has a row for, by the word that the site file uses too."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Setting(Part):
    """A setting of a device as it was made. value: with its unit, as the device shows it; delay [s]."""

    word: ClassVar[str] = "setting"
    value: str = say(Free("265 V"), "value", required=True)
    delay: float = say(Amount("s", "1 s", 0, 1e6), "delay", default=None)
    by: str = say(Free("A. Example"), "who set it", default="")
    date: datetime.date = say(Day(), "date", default=None)


@dataclass(frozen=True, eq=False, kw_only=True)
class TestResult(Part):
    """A result of inspection or test. of: what was tested; result: as the instrument shows it, with its unit."""

    __test__: ClassVar[bool] = False
    word: ClassVar[str] = "test result"
    of: Said = say(Ref("thing", example="MSB.3"), "what was tested", required=True)
    test: str = say(Choice(*TESTS), "test", required=True)
    result: str = say(Free("0.62 ohm"), "result", required=True)
    by: str = say(Free("A. Example"), "who tested", default="")
    instrument: str = say(Free("loop tester 0012"), "instrument", default="")
    date: datetime.date = say(Day(), "date", default=None)
    remark: str = say(Free("after the joint was remade"), "remark", default="")


@dataclass(frozen=True, eq=False, kw_only=True)
class Shutdown(Part):
    """Who confirmed the shutdown procedure, and how long [s] equipment stays dangerous after it, as its makers say."""

    word: ClassVar[str] = "shutdown"
    confirmed_by: str = say(Free("A. Example"), "who confirmed the shutdown procedure", default="")
    role: str = say(Free("licensed electrician"), "role", default="")
    date: datetime.date = say(Day(), "date", default=None)
    wait: float = say(Amount("s", "5 min", 0, 86_400), "waiting time after the last step")


@dataclass(frozen=True, eq=False, kw_only=True)
class Ordering(Part):
    """What is added for ordering. allowance [%]: on the length of every cable."""

    word: ClassVar[str] = "ordering"
    allowance: float = say(Amount("%", "10 %", 0, 100), "allowance on cable lengths")
