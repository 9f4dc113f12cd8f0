"""Under load: what a bad splice does that an unloaded meter hides; the scalar rule is the safer."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutOfRange
from pitwright.survey.harness import Source
from pitwright.wiring.copper import FOOT, ohm_per_metre
from pitwright.wiring.under_load import coil_volts, longest_run, runs_short, station_volts
from tests.wiring.harnesses import three


def test_a_bad_splice_takes_the_volts_only_under_load() -> None:
    sound = station_volts(three(), "S2", "inrush")
    bad = station_volts(three(), "S2", "inrush", bad_splice=80.0)
    assert sound.volts > 24.0
    assert bad.volts < 17.0


@given(st.floats(5.0, 40.0), st.floats(1.0, 60.0), st.floats(0.3, 0.9))
def test_the_scalar_rule_never_promises_more_than_phasors(
    drop_ohm: float, splice: float, factor: float
) -> None:
    """Straight subtraction of I·R leaves less than the true phasor sum, at the rated amps."""
    z = 60.0 * complex(factor, (1 - factor * factor) ** 0.5)
    true = coil_volts(z, drop_ohm + splice, 0.0, Source(24.0, 0.0)).volts
    scalar = 24.0 - 24.0 / 60.0 * (drop_ohm + splice)
    assert scalar <= true + 1e-9


def test_more_coils_at_once_leave_fewer_volts_and_may_overload() -> None:
    got = [coil_volts(60 * (0.55 + 0.835j), 3.2, 3.2, Source(), n) for n in (1, 2, 3, 4)]
    volts = [g.volts for g in got]
    assert volts == sorted(volts, reverse=True)
    assert [g.overloaded for g in got] == [False, False, True, True]


def test_a_run_longer_than_the_rule_allows_is_seen() -> None:
    metres, allowed = runs_short(three(), "S2")
    assert metres == pytest.approx(350 * FOOT)
    assert metres < allowed
    far = replace(three(), boxes=tuple(replace(b, length=600.0) for b in three().boxes))
    metres, allowed = runs_short(far, "S2")
    assert metres > allowed


def test_half_the_ohms_twice_the_run() -> None:
    assert longest_run(18, 18, 0.4) == pytest.approx(2 * longest_run(18, 18, 0.8))
    assert longest_run(18, 18, 0.37) == pytest.approx(4.0 / (0.37 * 2 * ohm_per_metre(18)))


def test_arguments_that_make_no_sense_are_refused() -> None:
    with pytest.raises(OutOfRange):
        longest_run(18, 18, 0.0)
    with pytest.raises(OutOfRange):
        longest_run(18, 18, 0.4, volts=18.0)
    with pytest.raises(OutOfRange):
        coil_volts(60 + 0j, 1.0, 1.0, Source(), 0)
