from __future__ import annotations

import math

import numpy as np
import pytest

from pitwright.closing.ends import FlexEnd, RigidEnd, between
from pitwright.errors import OutOfRange
from pitwright.flex.compliance import tip_compliance
from pitwright.geometry.vector import dot
from tests.closing.pits import job
from tests.flex.inch import path


def test_a_wrench_moves_both_stubs_by_the_misfit_it_was_made_from() -> None:
    for seed in range(10):
        ends = job(seed).ends
        assert isinstance(ends.inlet, FlexEnd) and isinstance(ends.outlet, FlexEnd)
        y = (0.01, -0.02, 0.005, 0.03, -0.01)
        wrench = np.array(ends.full(ends.wrench(y)))
        whole = np.array(tip_compliance(ends.inlet.path, ends.at)) @ wrench
        whole += np.array(tip_compliance(ends.outlet.path, ends.at)) @ wrench
        assert whole[:3] == pytest.approx(y[:3], abs=1e-9)
        for turn, axis in zip(y[3:], ends.across, strict=True):
            assert float(whole[3:] @ axis) == pytest.approx(turn, abs=1e-9)
        moment = (float(wrench[3]), float(wrench[4]), float(wrench[5]))
        assert dot(moment, ends.axis) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("bad", [0.0, -1.0, 2.0, math.nan])
def test_a_strain_limit_no_pipe_has_is_refused(bad: float) -> None:
    good = FlexEnd(path((0, 0, 0), (20, 0, 0)), 0.002)
    with pytest.raises(OutOfRange, match="inlet strain limit"):
        between(FlexEnd(good.path, bad), good, 222.0)
    with pytest.raises(OutOfRange, match="hand force"):
        between(good, good, bad if bad != 2.0 else 0.0)


def test_a_rigid_end_has_no_spots_and_hardly_gives() -> None:
    flex = FlexEnd(path((0, 0, 0), (20, 0, 0)), 0.002)
    ends = between(flex, RigidEnd((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)), 222.0)
    assert {s.stub for s in ends.spots} == {"inlet"}
    both = between(RigidEnd((0.5, 0.0, 0.0), (1.0, 0.0, 0.0)), ends.outlet, 222.0)
    force = both.wrench((1e-3, 0.0, 0.0, 0.0, 0.0))[0]
    assert both.spots == () and force > 100.0 * 222.0
