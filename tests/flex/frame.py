"""A frame finite element library as the independent judge of compliance (dev-only, MIT)."""

from __future__ import annotations

import numpy as np
from Pynite import FEModel3D

from pitwright.flex.path import BarePath

AXES = ("FX", "FY", "FZ", "MX", "MY", "MZ")


def model(path: BarePath) -> FEModel3D:
    """The path as members between nodes, clamped at the soil."""
    beam = path.beam
    frame = FEModel3D()
    modulus = 1e9
    shear = 1e9
    frame.add_material("pipe", modulus, shear, 0.3, 1.0)
    second = beam.ei / modulus
    frame.add_section("ring", beam.ea / modulus, second, second, beam.gj / shear)
    for i, (x, y, z) in enumerate(path.points):
        frame.add_node(f"N{i}", x, y, z)
    for i in range(len(path.points) - 1):
        frame.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "pipe", "ring")
    frame.def_support("N0", True, True, True, True, True, True)
    return frame


def compliance(path: BarePath) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """The compliance (6, 6) at the tip by one load case a column."""
    frame, tip = model(path), f"N{len(path.points) - 1}"
    for axis in AXES:
        frame.add_node_load(tip, axis, 1.0, case=axis)
        frame.add_load_combo(axis, {axis: 1.0})
    frame.analyze_linear(check_stability=False)
    node = frame.nodes[tip]
    rows = (node.DX, node.DY, node.DZ, node.RX, node.RY, node.RZ)
    return np.array([[row[axis] for axis in AXES] for row in rows])
