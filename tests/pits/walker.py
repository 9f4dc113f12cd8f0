"""Builds a printed train again with 4 x 4 matrices, from the JSON document and nothing of ours.

It reads what ``docs/json.md`` says: cut off the inlet, go along bodies and pieces, at a bend go in
by its first take-out, turn, go out by its second. Clocking as the page defines it: seen along
the flow, the first bend from plumb (0 up, 90 to the right), every later one from going on as the
bend before it turned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def _along(by: float) -> Array:
    move = np.eye(4)
    move[2, 3] = by
    return move


def _about(axis: int, angle: float) -> Array:
    """A right-handed rotation about one of the frame's own axes."""
    turn, (i, j) = np.eye(4), [(1, 2), (2, 0), (0, 1)][axis]
    turn[i, i] = turn[j, j] = math.cos(angle)
    turn[j, i] = math.sin(angle)
    turn[i, j] = -math.sin(angle)
    return turn


def _start(tip: Sequence[float], outward: Sequence[float]) -> Array:
    """z along the flow, x as far up as it can be (a plumb pipe: along the pit's x)."""
    z = np.array(outward) / np.linalg.norm(outward)
    up = np.array([0.0, 0.0, 1.0]) - z[2] * z
    if np.linalg.norm(up) < 1e-6:
        up = np.array([1.0, 0.0, 0.0]) - z[0] * z
    x = up / np.linalg.norm(up)
    frame = np.eye(4)
    frame[:3, 0], frame[:3, 1], frame[:3, 2], frame[:3, 3] = x, np.cross(z, x), z, tip
    return frame


def built(option: dict[str, Any], tip: Sequence[float], outward: Sequence[float]) -> Array:
    """Where the train ends, as a frame whose z points along the flow."""
    at = _start(tip, outward) @ _along(-option["cut_off"][0]["cut_m"])
    for item in option["items"]:
        if item["kind"] != "bend":
            at = at @ _along(item["length_m"])
            continue
        before, after = item["takeouts_m"]
        clock, bend = (math.radians(item[k]) for k in ("clock_deg", "angle_deg"))
        at = at @ _along(before) @ _about(2, clock) @ _about(1, bend) @ _along(after)
    return at


def stations(option: dict[str, Any], tip: Sequence[float], outward: Sequence[float]) -> list[Array]:
    """The points of the train's axis: its beginning, every bend's centre, its end. [m]"""
    at = _start(tip, outward) @ _along(-option["cut_off"][0]["cut_m"])
    points = [at[:3, 3].copy()]
    for item in option["items"]:
        if item["kind"] != "bend":
            at = at @ _along(item["length_m"])
            continue
        before, after = item["takeouts_m"]
        clock, bend = (math.radians(item[k]) for k in ("clock_deg", "angle_deg"))
        at = at @ _along(before)
        points.append(at[:3, 3].copy())
        at = at @ _about(2, clock) @ _about(1, bend) @ _along(after)
    return [*points, at[:3, 3].copy()]


def missed(
    option: dict[str, Any],
    inlet: tuple[Sequence[float], Sequence[float]],
    outlet: tuple[Sequence[float], Sequence[float]],
) -> tuple[float, float]:
    """How far [m] and at what angle [rad] the built train misses the outlet as it is cut."""
    end = built(option, *inlet)
    outward = np.array(outlet[1]) / np.linalg.norm(outlet[1])
    tip = np.array(outlet[0]) - option["cut_off"][1]["cut_m"] * outward
    z = end[:3, 2]
    angle = math.atan2(float(np.linalg.norm(np.cross(z, -outward))), float(z @ -outward))
    return float(np.linalg.norm(tip - end[:3, 3])), angle
