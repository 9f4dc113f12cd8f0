"""American wire gauge."""

from __future__ import annotations

import pytest

from pitwright.errors import OutOfRange
from pitwright.units.wire import awg_area, awg_diameter


@pytest.mark.published("ASTM-B258", "diameters of the gauge, mil, as printed to 0.1 mil")
@pytest.mark.parametrize(
    ("gauge", "mil"), [(10, "101.9"), (12, "80.8"), (14, "64.1"), (16, "50.8"), (18, "40.3")]
)
def test_diameters_print_as_the_standard_does(gauge: int, mil: str) -> None:
    assert awg_diameter(gauge) / 25.4e-6 == pytest.approx(float(mil), abs=0.05)


def test_three_gauges_halve_the_area() -> None:
    """Law of the rule: six gauges halve the diameter to within half a percent."""
    assert awg_diameter(14) / awg_diameter(20) == pytest.approx(2.0, rel=0.005)
    assert awg_area(14) / awg_area(17) == pytest.approx(2.0, rel=0.01)


def test_a_gauge_nobody_makes_is_refused_with_what_came() -> None:
    with pytest.raises(OutOfRange, match=r"0 to 40 \(got 99\)"):
        awg_diameter(99)
