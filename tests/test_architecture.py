# SPDX-License-Identifier: MIT
"""The house: imports run one way and without cycles, and tests see the installed wheel where CI runs them."""
from __future__ import annotations

import ast
import os
from importlib import resources
from pathlib import Path

import networkx as nx
import schedules
import sld
import topology

PACKAGES = {"topology": topology, "sld": sld, "schedules": schedules}
ALLOWED = {"topology": {"topology"}, "schedules": {"schedules", "topology"}, "sld": {"sld", "topology"}}
SEES_BOTH = ("sld.cli", "sld.issue")  # issue is a package of its own: a set has a manifest, a document, a page, purposes


def modules() -> dict[str, ast.Module]:
    found = {}
    for name, package in PACKAGES.items():
        root = Path(package.__file__ or "").parent
        for path in sorted(root.rglob("*.py")):
            parts = [name, *path.relative_to(root).with_suffix("").parts]
            found[".".join(parts).removesuffix(".__init__")] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def imports(name: str, tree: ast.Module, known: set[str], lazily: bool) -> set[str]:
    """Modules of ours that a module imports; lazily: inside functions too."""
    nodes = ast.walk(tree) if lazily else tree.body
    is_package = any(other.startswith(f"{name}.") for other in known)
    found = set()
    for node in nodes:
        if isinstance(node, ast.Import):
            found |= {a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom):
            parts = name.split(".")
            base = parts[:len(parts) - node.level + is_package] if node.level else []
            full = ".".join([*base, *([node.module] if node.module else [])])
            inner = {f"{full}.{a.name}" for a in node.names} & known
            found |= inner if inner and full not in {name} else {full}
    return {f for f in found if f.split(".")[0] in PACKAGES} - {name}


def test_imports_run_from_schedules_and_sld_to_topology_only() -> None:
    trees = modules()
    for name, tree in trees.items():
        seen = {other.split(".")[0] for other in imports(name, tree, set(trees), lazily=True)}
        allowed = set(PACKAGES) if ".".join(name.split(".")[:2]) in SEES_BOTH else ALLOWED[name.split(".")[0]]
        assert seen <= allowed, name


def test_no_modules_import_each_other_in_a_circle() -> None:
    trees = modules()
    edges = [(name, other) for name, tree in trees.items() for other in imports(name, tree, set(trees), lazily=False)]
    # a package's own __init__ gathers its modules, and these may name the package's other modules
    graph = nx.DiGraph((a, b) for a, b in edges if not b.startswith(f"{a}.") and not a.startswith(f"{b}."))
    assert list(nx.simple_cycles(graph)) == []


def test_ci_tests_the_installed_wheel_with_its_tables() -> None:
    for name in ("equipment/generic.yaml", "profiles/au.yaml", "tables/resistance_iec60228_2004.csv"):
        assert resources.files("topology").joinpath(name).is_file()
    if os.environ.get("SLD_TEST_WHEEL"):  # set by .ci/run
        for package in PACKAGES.values():
            assert "site-packages" in Path(package.__file__ or "").parts


def test_every_module_says_its_licence_and_sorts_what_it_exports() -> None:
    for name, package in PACKAGES.items():
        for path in Path(package.__file__ or "").parent.rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            assert not text or text.startswith("# SPDX-License-Identifier: MIT\n"), path
            for node in ast.parse(text).body:
                if isinstance(node, ast.Assign) and getattr(node.targets[0], "id", "") == "__all__":
                    exported = ast.literal_eval(node.value)
                    assert sorted(exported) == sorted(set(exported)), (name, path)
