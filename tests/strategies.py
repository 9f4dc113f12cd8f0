"""Shared hypothesis strategies: vectors, directions, poses."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from pitwright.geometry.pose import Pose, facing
from pitwright.geometry.vector import Vec

coordinates = st.floats(-1.0, 1.0)
points = st.tuples(coordinates, coordinates, coordinates)
angles = st.floats(-math.pi, math.pi)


@st.composite
def directions(draw: st.DrawFn) -> Vec:
    """Unit vectors all round the sphere, its poles and axes included."""
    if draw(st.booleans()):
        axes = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
        x, y, z = draw(st.sampled_from(axes))
        s = draw(st.sampled_from([1.0, -1.0]))
        return (s * x, s * y, s * z)
    azimuth, height = draw(angles), draw(st.floats(-1.0, 1.0))
    level = math.sqrt(1.0 - height * height)
    return (level * math.cos(azimuth), level * math.sin(azimuth), height)


@st.composite
def poses(draw: st.DrawFn) -> Pose:
    """Any placing within a metre of the origin."""
    return facing(draw(points), draw(directions())).rolled(draw(angles))
