"""Bands of the distance methods against simulated readings, and what each cannot do."""

from __future__ import annotations

from random import Random
from statistics import mean, stdev

import pytest

from pitwright.errors import OutOfRange
from pitwright.wiring.copper import FOOT, ohm_per_metre
from pitwright.wiring.distance import (
    by_both_ends,
    by_capacitance,
    by_capacitance_both_ends,
    by_loop_ohms,
    by_murray,
    by_volt_drop,
)

L, D = 300 * FOOT, 180 * FOOT
R18 = ohm_per_metre(18)


def scattered(dice: Random) -> float:
    return 1 + 0.05 * dice.gauss(0, 1)


def test_loop_ohms_are_only_an_upper_bound() -> None:
    """A fault of 5 ohm ignored puts the answer 392 ft too far: the study's bias."""
    got = by_loop_ohms(2 * R18 * D + 5.0, 2 * R18, 0.15)
    assert got.kind == "no farther than"
    assert (got.metres - D) / FOOT == pytest.approx(392.0, abs=1.0)


def test_ohms_from_both_ends_cancel_the_fault() -> None:
    near, far = 2 * R18 * D + 37.0, 2 * R18 * (L - D) + 37.0
    assert by_both_ends(near, far, 2 * R18, L, 0.15).metres == pytest.approx(D)


def test_the_volt_drop_band_is_what_simulated_meters_give() -> None:
    dice = Random(3)
    ohm_near, ohm_far = 0.5 * R18 * D, 0.5 * (R18 * (L - D) + R18 * L)

    def read(volts: float) -> float:
        return volts + dice.gauss(0, 0.5 * (0.005 * volts + 0.002))

    drawn = [by_volt_drop(read(ohm_near), read(ohm_far), L).metres for _ in range(3000)]
    got = by_volt_drop(ohm_near, ohm_far, L)
    assert mean(drawn) == pytest.approx(D, abs=0.02)
    assert stdev(drawn) == pytest.approx(got.sd, rel=0.06)
    assert got.band / FOOT == pytest.approx(1.3, abs=0.35)


def test_the_capacitance_bands_are_what_simulated_meters_give() -> None:
    dice = Random(4)
    drawn = [
        by_capacitance(
            D * (1 + 0.05 * dice.gauss(0, 1)), L * (1 + 0.05 * dice.gauss(0, 1)), L
        ).metres
        for _ in range(4000)
    ]
    assert stdev(drawn) == pytest.approx(by_capacitance(D, L, L).sd, rel=0.06)
    both = [
        by_capacitance_both_ends(
            D * (1 + 0.03 * dice.gauss(0, 1)), (L - D) * (1 + 0.03 * dice.gauss(0, 1)), L
        ).metres
        for _ in range(4000)
    ]
    assert stdev(both) == pytest.approx(by_capacitance_both_ends(D, L - D, L).sd, rel=0.06)


def test_the_murray_band_of_the_study() -> None:
    got = by_murray(D, 2 * L - D, L)
    assert got.metres == pytest.approx(D)
    assert got.band / FOOT == pytest.approx(1.96 * 0.003 * 180, rel=0.01)


def test_an_unsure_route_length_widens_every_ratio() -> None:
    sure = by_murray(D, 2 * L - D, L)
    unsure = by_murray(D, 2 * L - D, L, length_sd=0.03 * L)
    assert unsure.sd > sure.sd
    assert unsure.sd == pytest.approx((sure.sd**2 + (0.03 * D) ** 2) ** 0.5)


def test_what_cannot_be_measured_is_refused() -> None:
    with pytest.raises(OutOfRange):
        by_murray(0.0, 1.0, L)
    with pytest.raises(OutOfRange):
        by_volt_drop(1.0, 1.0, -3.0)
