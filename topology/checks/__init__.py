# SPDX-License-Identifier: MIT
"""The checks by name, one file each."""
from __future__ import annotations

from .backup_overloaded import backup_overloaded
from .breaker_above_cable_capacity import breaker_above_cable_capacity
from .breaking_capacity_too_small import breaking_capacity_too_small
from .bus_address_twice import bus_address_twice
from .bus_medium_wrong import bus_medium_wrong
from .bus_not_a_chain import bus_not_a_chain
from .bus_tee_too_long import bus_tee_too_long
from .bus_too_long import bus_too_long
from .bus_too_many_devices import bus_too_many_devices
from .busbar_section_overloaded import busbar_section_overloaded
from .cable_overloaded import cable_overloaded
from .combined_neutral_overloaded import combined_neutral_overloaded
from .combined_neutral_wrong import combined_neutral_wrong
from .device_below_design_current import device_below_design_current
from .disconnection_leaves_conductor import disconnection_leaves_conductor
from .disconnection_rating_low import disconnection_rating_low
from .generation_sensor_misses import generation_sensor_misses
from .generation_sensor_sees_other import generation_sensor_sees_other
from .grid_sensor_misses import grid_sensor_misses
from .lead_extended import lead_extended
from .lead_too_long import lead_too_long
from .load_on_generation_circuit import load_on_generation_circuit
from .loop_impedance_too_high import loop_impedance_too_high
from .ne_links_not_one import ne_links_not_one
from .not_fed import not_fed
from .pe_joins_linked_parts import pe_joins_linked_parts
from .pen_switched import pen_switched
from .phase_stays_closed import phase_stays_closed
from .phase_without_sensor import phase_without_sensor
from .power_line_beside_string import power_line_beside_string
from .protective_conductor_too_small import protective_conductor_too_small
from .sensor_burden_exceeded import sensor_burden_exceeded
from .sensor_not_read import sensor_not_read
from .sensor_reference_wrong import sensor_reference_wrong
from .sensor_reversed import sensor_reversed
from .shared_neutral_adds_up import shared_neutral_adds_up
from .shield_bond_wrong import shield_bond_wrong
from .source_behind_shared_rcd import source_behind_shared_rcd
from .source_without_disconnection import source_without_disconnection
from .source_without_isolator import source_without_isolator
from .submain_without_filter import submain_without_filter
from .terminal_fed_twice import terminal_fed_twice
from .terminator_misplaced import terminator_misplaced
from .too_many_units import too_many_units
from .unlimited_board import unlimited_board
from .voltage_rise_over_limit import voltage_rise_over_limit
from .way_used_twice import way_used_twice

__all__ = [
    "backup_overloaded",
    "breaker_above_cable_capacity",
    "breaking_capacity_too_small",
    "bus_address_twice",
    "bus_medium_wrong",
    "bus_not_a_chain",
    "bus_tee_too_long",
    "bus_too_long",
    "bus_too_many_devices",
    "busbar_section_overloaded",
    "cable_overloaded",
    "combined_neutral_overloaded",
    "combined_neutral_wrong",
    "device_below_design_current",
    "disconnection_leaves_conductor",
    "disconnection_rating_low",
    "generation_sensor_misses",
    "generation_sensor_sees_other",
    "grid_sensor_misses",
    "lead_extended",
    "lead_too_long",
    "load_on_generation_circuit",
    "loop_impedance_too_high",
    "ne_links_not_one",
    "not_fed",
    "pe_joins_linked_parts",
    "pen_switched",
    "phase_stays_closed",
    "phase_without_sensor",
    "power_line_beside_string",
    "protective_conductor_too_small",
    "sensor_burden_exceeded",
    "sensor_not_read",
    "sensor_reference_wrong",
    "sensor_reversed",
    "shared_neutral_adds_up",
    "shield_bond_wrong",
    "source_behind_shared_rcd",
    "source_without_disconnection",
    "source_without_isolator",
    "submain_without_filter",
    "terminal_fed_twice",
    "terminator_misplaced",
    "too_many_units",
    "unlimited_board",
    "voltage_rise_over_limit",
    "way_used_twice",
]
