# SPDX-License-Identifier: MIT
"""Drawings of a site."""
