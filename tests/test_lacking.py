# SPDX-License-Identifier: MIT
"""A file that lacks a section, or says TBC instead of one, is reported on: no check takes for granted what nobody wrote."""
from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from topology.read import read_bytes
from topology.report import check

GALLERY = Path(__file__).parents[1] / "gallery"
SITES = sorted(p.parent.name for p in GALLERY.glob("*/site.yaml") if p.parent.name != "tender")


@pytest.mark.parametrize("name", SITES)
def test_any_section_can_be_left_out_or_be_unknown(name: str) -> None:
    whole = yaml.safe_load((GALLERY / name / "site.yaml").read_text(encoding="utf-8"))
    whole.pop("include", None)
    for key in whole:
        for changed in ({k: v for k, v in whole.items() if k != key}, {**whole, key: "TBC"}):
            said = check(read_bytes(yaml.safe_dump(changed, sort_keys=False, allow_unicode=True).encode()))
            assert said.text().endswith("under the rules that apply at the place."), key
