"""The bench's own frame against textbook cantilevers, and against what bends cannot change."""

from __future__ import annotations

import numpy as np
import pytest

from bench.truth.beam import MODULUS, POISSON, Tube, frame

TUBE = Tube(0.0334, 0.0036)
EI = MODULUS * TUBE.second
LONG = 0.5


def straight(parts: int = 1) -> np.ndarray:
    return frame([((1.0, 0.0, 0.0), LONG / parts)] * parts, TUBE).tip


def test_a_cantilever_gives_what_the_textbook_says() -> None:
    """FL³/3EI, FL²/2EI, ML/EI, FL/EA, TL/GJ."""
    tip = straight()
    assert tip[1, 1] == pytest.approx(LONG**3 / (3 * EI), rel=1e-9)
    assert tip[5, 1] == pytest.approx(LONG**2 / (2 * EI), rel=1e-9)
    assert tip[4, 2] == pytest.approx(-(LONG**2) / (2 * EI), rel=1e-9)
    assert tip[5, 5] == pytest.approx(LONG / EI, rel=1e-9)
    assert tip[0, 0] == pytest.approx(LONG / (MODULUS * TUBE.area), rel=1e-9)
    shear = MODULUS / (2 * (1 + POISSON))
    assert tip[3, 3] == pytest.approx(LONG / (shear * 2 * TUBE.second), rel=1e-9)


def test_cutting_a_straight_into_members_changes_nothing() -> None:
    assert np.allclose(straight(), straight(5), rtol=1e-7, atol=1e-15)


def test_the_moment_at_the_soil_is_force_times_arm() -> None:
    got = frame([((0.0, 1.0, 0.0), LONG)], TUBE).moments
    assert np.linalg.norm(got[0] @ np.eye(6)[0]) == pytest.approx(LONG, rel=1e-9)
    assert np.linalg.norm(got[1] @ np.eye(6)[0]) == pytest.approx(0.0, abs=1e-9)


def test_a_bent_path_obeys_reciprocity_and_turns_with_the_pit() -> None:
    path = [((0.0, 0.0, 1.0), 0.3), ((0.0, 1.0, 0.0), 0.2), ((0.6, 0.8, 0.0), 0.4)]
    tip = frame(path, TUBE).tip
    assert np.allclose(tip, tip.T, rtol=1e-9, atol=1e-14)
    turn = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    turned = [(tuple(turn @ np.array(way)), size) for way, size in path]
    both = np.kron(np.eye(2), turn)
    assert np.allclose(frame(turned, TUBE).tip, both @ tip @ both.T, rtol=1e-7, atol=1e-13)
