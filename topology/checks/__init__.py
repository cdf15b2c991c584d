# SPDX-License-Identifier: MIT
"""The checks by name, one file each."""
from __future__ import annotations

from .allocation_exceeded import allocation_exceeded
from .application_field_missing import application_field_missing
from .array_not_bonded import array_not_bonded
from .array_over_inverter import array_over_inverter
from .array_voltage_too_high import array_voltage_too_high
from .as_built_differs import as_built_differs
from .back_feed import back_feed
from .backup_other_than_said import backup_other_than_said
from .backup_overloaded import backup_overloaded
from .board_overfull import board_overfull
from .breaker_above_cable_capacity import breaker_above_cable_capacity
from .breaking_capacity_too_small import breaking_capacity_too_small
from .bus_address_twice import bus_address_twice
from .bus_medium_wrong import bus_medium_wrong
from .bus_not_a_chain import bus_not_a_chain
from .bus_tee_too_long import bus_tee_too_long
from .bus_too_long import bus_too_long
from .bus_too_many_devices import bus_too_many_devices
from .busbar_overfed_far_end import busbar_overfed_far_end
from .busbar_section_overloaded import busbar_section_overloaded
from .cable_overloaded import cable_overloaded
from .combined_neutral_overloaded import combined_neutral_overloaded
from .combined_neutral_wrong import combined_neutral_wrong
from .danger_limit_lifted import danger_limit_lifted
from .dc_string_not_protected import dc_string_not_protected
from .device_below_design_current import device_below_design_current
from .disconnection_leaves_conductor import disconnection_leaves_conductor
from .disconnection_rating_low import disconnection_rating_low
from .earth_resistance_too_high import earth_resistance_too_high
from .export_limit_not_enforced import export_limit_not_enforced
from .export_over_limit import export_over_limit
from .generation_limit_not_held import generation_limit_not_held
from .generation_over_limit import generation_over_limit
from .generation_sensor_misses import generation_sensor_misses
from .generation_sensor_sees_other import generation_sensor_sees_other
from .grid_sensor_misses import grid_sensor_misses
from .interface_protection_missing import interface_protection_missing
from .island_without_electrode import island_without_electrode
from .lead_extended import lead_extended
from .lead_too_long import lead_too_long
from .limit_override_idle import limit_override_idle
from .link_lost_with_source import link_lost_with_source
from .load_on_generation_circuit import load_on_generation_circuit
from .loop_impedance_too_high import loop_impedance_too_high
from .main_switch_not_allocation import main_switch_not_allocation
from .marked_device_fed_from_behind import marked_device_fed_from_behind
from .meter_one_way import meter_one_way
from .ne_links_not_one import ne_links_not_one
from .neutral_borrowed import neutral_borrowed
from .not_fed import not_fed
from .pe_joins_linked_parts import pe_joins_linked_parts
from .pen_switched import pen_switched
from .phase_difference_over_limit import phase_difference_over_limit
from .phase_stays_closed import phase_stays_closed
from .phase_without_sensor import phase_without_sensor
from .power_line_beside_string import power_line_beside_string
from .protective_conductor_too_small import protective_conductor_too_small
from .rcd_missing_in_backup import rcd_missing_in_backup
from .rcd_type_ac import rcd_type_ac
from .sensor_burden_exceeded import sensor_burden_exceeded
from .sensor_not_read import sensor_not_read
from .sensor_primary_low import sensor_primary_low
from .sensor_reference_wrong import sensor_reference_wrong
from .sensor_reversed import sensor_reversed
from .shared_neutral_adds_up import shared_neutral_adds_up
from .shield_bond_wrong import shield_bond_wrong
from .source_behind_shared_rcd import source_behind_shared_rcd
from .source_without_disconnection import source_without_disconnection
from .source_without_isolator import source_without_isolator
from .storage_phase_without_backed_up_load import storage_phase_without_backed_up_load
from .submain_without_filter import submain_without_filter
from .terminal_fed_twice import terminal_fed_twice
from .terminator_misplaced import terminator_misplaced
from .too_many_units import too_many_units
from .tt_circuit_without_rcd import tt_circuit_without_rcd
from .two_masters import two_masters
from .unlimited_board import unlimited_board
from .upstream_may_trip_first import upstream_may_trip_first
from .voltage_drop_over_limit import voltage_drop_over_limit
from .voltage_rise_over_limit import voltage_rise_over_limit
from .way_used_twice import way_used_twice

__all__ = ["allocation_exceeded", "application_field_missing", "array_not_bonded", "array_over_inverter", "array_voltage_too_high",
           "as_built_differs", "back_feed", "backup_other_than_said", "backup_overloaded", "board_overfull", "breaker_above_cable_capacity",
           "breaking_capacity_too_small", "bus_address_twice", "bus_medium_wrong", "bus_not_a_chain", "bus_tee_too_long", "bus_too_long",
           "bus_too_many_devices", "busbar_overfed_far_end", "busbar_section_overloaded", "cable_overloaded",
           "combined_neutral_overloaded", "combined_neutral_wrong", "danger_limit_lifted", "dc_string_not_protected",
           "device_below_design_current", "disconnection_leaves_conductor", "disconnection_rating_low", "earth_resistance_too_high",
           "export_limit_not_enforced", "export_over_limit", "generation_limit_not_held", "generation_over_limit",
           "generation_sensor_misses", "generation_sensor_sees_other", "grid_sensor_misses", "interface_protection_missing",
           "island_without_electrode", "lead_extended", "lead_too_long", "limit_override_idle", "link_lost_with_source", "load_on_generation_circuit",
           "loop_impedance_too_high", "main_switch_not_allocation", "marked_device_fed_from_behind", "meter_one_way", "ne_links_not_one",
           "neutral_borrowed", "not_fed", "pe_joins_linked_parts", "pen_switched", "phase_difference_over_limit", "phase_stays_closed",
           "phase_without_sensor", "power_line_beside_string", "protective_conductor_too_small", "rcd_missing_in_backup", "rcd_type_ac",
           "sensor_burden_exceeded", "sensor_not_read", "sensor_primary_low", "sensor_reference_wrong", "sensor_reversed",
           "shared_neutral_adds_up", "shield_bond_wrong", "source_behind_shared_rcd", "source_without_disconnection",
           "source_without_isolator", "storage_phase_without_backed_up_load", "submain_without_filter", "terminal_fed_twice",
           "terminator_misplaced", "too_many_units", "tt_circuit_without_rcd", "two_masters", "unlimited_board", "upstream_may_trip_first",
           "voltage_drop_over_limit", "voltage_rise_over_limit", "way_used_twice"]
