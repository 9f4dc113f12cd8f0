"""An invented pit: three crooked zones on an old header, two of them being renewed."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from math import cos, sin

from pitwright.geometry.vector import Vec, add, scale, sub, unit
from pitwright.paper.scene import (
    Cut,
    Dimension,
    Fitting,
    Ground,
    Joint,
    Obstacle,
    Pipe,
    Scene,
    Walls,
    adapter,
    coupling,
    elbow,
    measured,
    tee,
    valve,
)

INCH = 0.0254
OD = {"1-1/4": 1.660 * INCH, "1": 1.315 * INCH, "3/4": 1.050 * INCH}
SOCKET = {size: od * 1.22 for size, od in OD.items()}
UP: Vec = (0.0, 0.0, 1.0)


def _along(a: Vec, b: Vec, metres: float) -> Vec:
    return add(a, scale(unit(sub(b, a)), metres))


def _zone(x: float, name: str, letters: str, size: str, lean: Vec, new: bool) -> Scene:
    """One zone: riser stub, elbow, nipple, adapter, valve, adapter, nipple, elbow, down pipe."""
    od, socket = OD[size], SOCKET[size]
    header: Vec = (x, 0.0, 0.0)
    rise = unit(add(UP, lean))
    corner = add(header, scale(rise, 0.17))
    flat = unit((lean[0], 1.0, lean[2]))
    arm = 0.033
    start = add(corner, scale(flat, arm))
    a1 = add(start, scale(flat, 0.055))
    inlet = add(a1, scale(flat, 0.04))
    outlet = add(inlet, scale(flat, 0.11))
    a2 = add(outlet, scale(flat, 0.04))
    end = add(a2, scale(flat, 0.05))
    far = add(end, scale(flat, arm))
    down = unit(add((0.0, 0.0, -1.0), scale(lean, -0.8)))
    face_up, face_down = add(corner, scale(rise, -arm)), add(far, scale(down, arm))
    cut_up, cut_down = add(header, scale(rise, 0.085)), add(far, scale(down, 0.1))
    tail = add(far, scale(down, 0.24))
    old = not new
    pipes = (
        Pipe((header, cut_up if new else face_up), od, old=True),
        Pipe((start, a1), od, old, letters[1].strip()),
        Pipe((a2, end), od, old, letters[2].strip()),
        Pipe((cut_down if new else face_down, tail), od, old=True, runs_on=(False, True)),
    )
    fittings: tuple[Fitting, ...] = (
        elbow(corner, (face_up, start), socket, old=old),
        adapter(a1, inlet, socket, old=old),
        valve(inlet, outlet, UP, diameter=0.046, height=0.085, bonnet=0.075, old=old, words=name),
        adapter(a2, outlet, socket, old=old),
        elbow(far, (end, face_down), socket, old=old),
    )
    if old:
        return _owned(Scene(pipes, fittings), name)
    sleeve = coupling(_along(cut_up, header, 0.024), _along(cut_up, corner, 0.024), socket)
    drop = coupling(_along(cut_down, tail, 0.024), _along(cut_down, far, 0.024), socket)
    spools = (
        Pipe((cut_up, face_up), od, letter=letters[0]),
        Pipe((face_down, cut_down), od, letter=letters[3]),
    )
    joints = (
        Joint(face_up, "bench"),
        Joint(start, "bench"),
        Joint(a1, "bench"),
        Joint(a2, "bench"),
        Joint(end, "bench"),
        Joint(face_down, "bench"),
        Joint(_along(cut_up, header, 0.024), "pit"),
        Joint(_along(cut_up, corner, 0.024), "bench"),
        Joint(_along(cut_down, tail, 0.024), "pit"),
        Joint(_along(cut_down, far, 0.024), "bench"),
    )
    cuts = (Cut(cut_up, rise, od), Cut(cut_down, down, od))
    dims = (
        measured(corner, far),
        measured(header, corner),
        measured(inlet, outlet),
    )
    whole = Scene((*pipes, *spools), (*fittings, sleeve, drop), joints, cuts, dimensions=dims)
    return _owned(whole, name)


def _owned(scene: Scene, zone: str) -> Scene:
    return replace(
        scene,
        pipes=tuple(replace(p, zone=zone) for p in scene.pipes),
        fittings=tuple(replace(f, zone=zone) for f in scene.fittings),
        joints=tuple(replace(j, zone=zone) for j in scene.joints),
        cuts=tuple(replace(c, zone=zone) for c in scene.cuts),
        dimensions=tuple(replace(d, zone=zone) for d in scene.dimensions),
    )


def manifold(turn: float = 0.0) -> Scene:
    """The whole pit, turned about the plumb line by ``turn`` radians."""
    zones = (
        _zone(0.02, "north beds", "ABCD", "1", (0.05, 0.0, 0.03), True),
        _zone(0.17, "lawn", "EFGH", "1", (-0.04, 0.0, -0.02), True),
        _zone(0.33, "drip", "    ", "3/4", (0.03, 0.0, 0.05), False),
    )
    tees = tuple(
        tee(
            (x, 0.0, 0.0),
            ((x - 0.04, 0, 0), (x + 0.04, 0, 0), (x, 0, 0.04)),
            SOCKET["1-1/4"],
            old=True,
        )
        for x in (0.02, 0.17, 0.33)
    )
    od = OD["1-1/4"]
    header = (
        Pipe(
            ((-0.19, 0, 0), (-0.02, 0, 0)), od, True, words="feed 1-1/4 in", runs_on=(True, False)
        ),
        Pipe(((0.06, 0, 0), (0.13, 0, 0)), od, True),
        Pipe(((0.21, 0, 0), (0.29, 0, 0)), od, True),
    )
    mouth = tuple(
        (x, y, 0.30) for x, y in ((-0.12, -0.09), (0.45, -0.09), (0.45, 0.47), (-0.12, 0.47))
    )
    scene = Scene(
        (*header, *(p for z in zones for p in z.pipes)),
        (*tees, *(f for z in zones for f in z.fittings)),
        tuple(j for z in zones for j in z.joints),
        tuple(c for z in zones for c in z.cuts),
        Walls(mouth, 0.36),
        Ground(0.32),
        (
            Obstacle("root", ((-0.10, 0.40, -0.02), (0.06, 0.45, 0.02)), 0.03, "root"),
            Obstacle(
                "wire", ((0.44, 0.42, 0.1), (0.36, 0.30, 0.05), (0.40, 0.1, 0.0)), 0.006, "wires"
            ),
            Obstacle("rock", ((0.41, -0.03, -0.02),), 0.06, "rock"),
        ),
        (
            *(d for z in zones for d in z.dimensions),
            measured((0.02, 0, 0), (0.17, 0, 0)),
            measured((0.17, 0, 0), (0.33, 0, 0)),
        ),
        north=(0.4, 1.0, 0.0),
        north_words="house",
    )
    return turned(scene, turn) if turn else scene


def turned(scene: Scene, turn: float) -> Scene:
    """The same scene, every point and direction turned about the plumb line."""
    c, s = cos(turn), sin(turn)

    def walk(value: object) -> object:
        if isinstance(value, tuple):
            if len(value) == 3 and all(isinstance(v, int | float) for v in value):
                x, y, z = value
                return (c * x - s * y, s * x + c * y, z)
            return tuple(walk(v) for v in value)
        if is_dataclass(value) and not isinstance(value, type):
            changed = {f.name: walk(getattr(value, f.name)) for f in fields(value)}
            return replace(value, **changed)
        return value

    result = walk(scene)
    assert isinstance(result, Scene)
    return result


SHORT = Dimension((0.0, 0.0, 0.0), (0.02, 0.0, 0.0), "13/16 in")
