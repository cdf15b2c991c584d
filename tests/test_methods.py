# SPDX-License-Identifier: MIT
"""Every method of calculation has a manual that says what its numbers mean and where it comes from."""
from __future__ import annotations

import pytest
from topology.methods import METHODS
from topology.report import explain, rule_names


@pytest.mark.parametrize("name", METHODS)
def test_each_method_is_explained_with_its_unit_and_its_source_or_law(name: str) -> None:
    text = explain(name) or ""
    assert text.startswith(f"{name} (method): ")
    assert "Source:" in text or "Law:" in text or "Rule:" in text
    assert any(unit in text for unit in ("[A]", "[W]", "[s]", "[V]", "[ohm]", "[mm²]", "[-]", "[m]", "ohm/km", "mV/A/m", "[A √s / mm²]", "factor", "[°]", "degC")), text


def test_methods_are_listed_and_are_no_rules() -> None:
    assert (explain("methods") or "").splitlines() == sorted(METHODS)
    assert not set(METHODS) & set(rule_names())
    assert explain("no-such-thing") is None
