# SPDX-License-Identifier: MIT
"""networkx without its algorithms: a command needs the graph itself, and loading all that works on graphs takes a fifth of its time.

What is left out loads as soon as something asks networkx for a name that it does not have yet. Only a command of its own process
does this; a program that imports our packages gets networkx as it is.
"""
from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module
from types import ModuleType
from typing import Any

__all__ = ["algorithms_later"]

LATER = ("convert_matrix", "relabel", "generators", "readwrite", "algorithms", "linalg", "drawing")
"""The parts of networkx that it imports last, in its own order"""


def algorithms_later() -> None:
    """Import networkx without its last parts, unless it is there already or is not built as we know it."""
    if "networkx" in sys.modules:
        return
    names = [f"networkx.{part}" for part in LATER]
    sys.modules.update({name: _empty(name) for name in names})
    try:
        package = import_module("networkx")
    except Exception:  # another version with another order: the import that follows loads it whole, or says what is wrong
        for name in [name for name in sys.modules if name.partition(".")[0] == "networkx"]:
            del sys.modules[name]
        return
    for name in names:
        del sys.modules[name]
        vars(package).pop(name.partition(".")[2], None)
    vars(package)["__getattr__"] = _asks(package, vars(package).get("__getattr__"))


def _empty(name: str) -> ModuleType:
    """A module from which nothing can be imported."""
    module = ModuleType(name)
    vars(module)["__all__"] = ()
    return module


def _asks(package: ModuleType, own: Any) -> Callable[[str], Any]:
    """What answers for an attribute that networkx does not have yet: load what was left out, then look again. own: its own answer."""
    def asked(name: str) -> Any:
        if name.startswith("__"):
            raise AttributeError(name)
        vars(package).pop("__getattr__")
        if own is not None:
            vars(package)["__getattr__"] = own
        for part in LATER:
            module = import_module(f"networkx.{part}")
            public = getattr(module, "__all__", None) or [known for known in vars(module) if not known.startswith("_")]
            vars(package).update({known: getattr(module, known) for known in public})
        return getattr(package, name)

    return asked
