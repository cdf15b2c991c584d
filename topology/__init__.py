# SPDX-License-Identifier: MIT
"""What a site is, and the checks on it."""
