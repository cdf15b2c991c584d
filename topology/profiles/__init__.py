# SPDX-License-Identifier: MIT
"""Profiles: figures that depend on the country and the operator, as data. One value, one source; one without a source is refused."""
from __future__ import annotations

from .chosen import Override, Profiles, load_profiles, value_of
from .entries import LimitEntry, Profile, Value
from .load import SECTIONS, ProfileError, load_profile, parse_profile, profile_names

__all__ = ["Entry", "LimitEntry", "Override", "Profile", "ProfileError", "Profiles", "SECTIONS", "Value", "load_profile", "load_profiles", "parse_profile",
           "profile_names", "value_of"]

Entry = LimitEntry
"""One figure of a profile."""
