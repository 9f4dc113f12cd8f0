"""A box in the way, drawn: its outline, and the edges of the corner nearest the reader."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from pitwright.geometry.solids import block, corners
from pitwright.paper.scene import Obstacle, Scene
from pitwright.paper.shapes import Polygon, Polyline
from pitwright.paper.view import VIEWS, view

BOX = block((0.0, 0.0, -0.2), (0.1, 0.5, -0.1), (1.0, 0.0, 0.0), 0.2, 0.3)
SCENE = Scene(obstacles=(Obstacle("footing", (BOX.a, BOX.b), 0.2, "slab", corners=corners(BOX)),))


@pytest.mark.parametrize("name", sorted(VIEWS))
def test_a_boxs_outline_is_what_its_corners_cover_and_three_edges_meet_inside(name: str) -> None:
    """The outline's area is a hull library's for the projected corners."""
    shapes = view(SCENE, name, 150.0, 100.0).shapes
    outline = next(s for s in shapes if isinstance(s, Polygon) and s.hatch == "cross")
    camera = VIEWS[name](SCENE)
    flat = np.array([camera.flat(p) for p in corners(BOX)])
    x, y = np.array(outline.points).T
    area = abs(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))) / 2
    wide, high = (max(v) - min(v) for v in (x, y))
    theirs = ConvexHull(flat)
    spans = flat.max(axis=0) - flat.min(axis=0)
    assert area / (wide * high) == pytest.approx(theirs.volume / (spans[0] * spans[1]))
    edges = [s for s in shapes if isinstance(s, Polyline) and len(s.points) == 2]
    starts = [s.points[0] for s in edges]
    met = max(set(starts), key=starts.count)
    assert starts.count(met) >= 3
    assert min(x) - 1e-9 <= met[0] <= max(x) + 1e-9
