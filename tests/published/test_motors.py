# SPDX-License-Identifier: MIT
"""What a motor takes from the supply, against nameplate figures that standards give."""
from __future__ import annotations

import pytest
from topology.demand import apparent, line_current, motor_power

# three-phase motors of four poles at 400 V: shaft power [W], efficiency of class IE3 [%] (IEC 60034-30-1, from memory), current for the choice of
# switchgear [A] (IEC 60947-4-1, from memory; it covers motors of lower efficiency, so that it may stand above)
MOTORS = [(3000, 87.7, 6.5), (4000, 88.6, 8.5), (7500, 90.4, 15.5)]


@pytest.mark.parametrize(("shaft_w", "efficiency", "ampere"), MOTORS)
def test_a_motor_draws_what_its_shaft_gives_over_efficiency_and_power_factor(shaft_w: float, efficiency: float, ampere: float) -> None:
    taken = motor_power(shaft_w, efficiency / 100)
    found = line_current(abs(apparent(taken, 0.8)), 230.94, 3)
    assert ampere * 0.92 < found <= ampere
    assert line_current(abs(apparent(shaft_w, 0.8)), 230.94, 3) < ampere * 0.9  # the shaft's power alone is too little


def test_an_efficiency_of_nothing_or_above_one_is_refused() -> None:
    for wrong in (0.0, -0.5, 1.01):
        with pytest.raises(ValueError, match="outside 0 to 1"):
            motor_power(3000, wrong)
