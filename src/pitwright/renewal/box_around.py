"""Box around: an elbow on each stub with parallel open ports, and a U dropped on both in one push.

Nothing has to move for it. Crooked stubs leave two ways only for the ports to be parallel: square
to both, up or down for stubs that look past each other sideways. So these chains are built for
themselves: the search's grid of azimuths would find ports a few degrees out of parallel.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pitwright.findings import Short
from pitwright.geometry.vector import (
    Vec,
    Z,
    across,
    cross,
    dot,
    minus,
    norm,
    scale,
    sub,
    turned,
    unit,
    without,
)
from pitwright.trains.chains import Chain
from pitwright.trains.frames import plain_frames
from pitwright.trains.kit import Kit, StubEnd
from pitwright.trains.laying import Allowance, Frame, Setting, laid_out
from pitwright.trains.lengths import Lack, tableau
from pitwright.trains.room import Room
from pitwright.trains.search import Found, order
from pitwright.trains.train import Train

__all__ = ["ELBOWS", "boxes", "ports"]

_SQUARE = math.pi / 2
ELBOWS = (_SQUARE,) * 4
"""The bends of an elbow box. [rad]"""
_ALIKE = math.radians(0.25)
"""Stubs nearer in line than this leave the ports any azimuth: what a socket's play takes up. [rad]
Judgement."""
_AZIMUTHS = 8


def boxes(stubs: tuple[StubEnd, StubEnd], kit: Kit, allow: Allowance, room: Room) -> Found:
    """Every elbow box between two stubs, and what stopped the others. [m, rad]

    Source: two elbows on the stubs and a U; the lengths by the search's own rules.
    """
    if not any(math.isclose(c.bend, _SQUARE) for c in kit.corners):
        lift = "other_bends"
        return Found((), (Short("NO_ELBOW", "shelf", 0.0, 1.0, 1.0, "1", lift, "box"),), 0)
    plain = replace(
        kit,
        ends_a=tuple(w for w in kit.ends_a if not w.slides and w.push == 0.0),
        ends_b=tuple(w for w in kit.ends_b if not w.slides and w.push == 0.0),
    )
    frames, shorts = plain_frames(ELBOWS, stubs, plain)
    found: list[Train] = []
    for port in ports(stubs):
        for frame in frames:
            answer = _laid(stubs, frame, port, allow, room)
            if isinstance(answer, Train):
                found.append(answer)
            else:
                shorts.append(answer)
    return Found(tuple(sorted(found, key=order)), tuple(shorts), len(found) + len(shorts))


def ports(stubs: tuple[StubEnd, StubEnd]) -> Iterator[Vec]:
    """Which ways both elbows' ports can point alike: unit vectors square to both stubs. [-]

    The highest first, then those toward the far stub: neither changes in a mirror.

    Source: geometry.
    """
    u, v = stubs[0].outward, minus(stubs[1].outward)
    way = sub(stubs[1].tip, stubs[0].tip)
    square = cross(u, v)
    if norm(square) > math.sin(_ALIKE):
        found = [unit(square), minus(unit(square))]
    else:
        up = without(Z, u)
        first = unit(up) if norm(up) > _ALIKE else across(u)[0]
        found = [turned(first, u, 2 * math.pi * n / _AZIMUTHS) for n in range(_AZIMUTHS)]
    yield from sorted(found, key=lambda p: (-round(p[2], 6), -round(dot(p, way), 6)))


def _ends(frame: Frame, room: float) -> tuple[float, float]:
    """The end legs as short as they may be; where the cross piece finds no ``room`` between them,
    with the outlet stub cut back, then the inlet too. [m]
    """
    first, last = frame.rows[0], frame.rows[-1]
    lack = max(0.0, first.low + last.low + frame.rows[2].low - room)
    outlet = min(max(last.cut, 0.0), lack)
    inlet = min(max(first.cut, 0.0), lack - outlet)
    return first.low - inlet, last.low - outlet


def _laid(
    stubs: tuple[StubEnd, StubEnd], frame: Frame, port: Vec, allow: Allowance, room: Room
) -> Train | Short:
    """One skeleton with its ports pointing one way: the cross piece goes where the ends leave it.

    Its direction is what is left of the way, square to the ports, once both end legs are as short
    as they may be. [m]
    """
    u, v = stubs[0].outward, minus(stubs[1].outward)
    way = sub(stubs[1].tip, stubs[0].tip)
    label = frame.skeleton.label
    ends = _ends(frame, dot(way, u))
    rest = without(sub(sub(way, scale(u, ends[0])), scale(v, ends[1])), port)
    if norm(rest) <= 1e-6 or dot(rest, u) <= 0.0:
        have = max(0.0, dot(way, u))
        need = frame.rows[0].low + frame.rows[-1].low + frame.rows[2].low
        return Short("LEG", "leg 3", have, need, need - have, "m", "cut_back_outlet", label)
    middle = unit(rest)
    chain = Chain((u, port, middle, minus(port), v), 0.0, True)
    board = tableau(chain.directions, way)
    if norm(board.miss) > allow.position:
        over = norm(board.miss) - allow.position
        return Short("SKEW", "train", norm(board.miss), allow.position, over, "m", "jog", label)
    leg = frame.skeleton.valve_leg
    if frame.skeleton.unit is not None and leg is not None:
        lean = abs(math.asin(max(-1.0, min(1.0, chain.directions[leg][2]))))
        most = frame.skeleton.unit.tilt
        if lean > most + 1e-9:
            lift = "valve_on_level_leg"
            return Short("TILT", "valve", lean, most, lean - most, "rad", lift, label)
    answer = laid_out(Setting(stubs, allow, chain, board, room), frame)
    if isinstance(answer, Lack):
        where = f"leg {answer.leg + 1}"
        lift = "coupling_and_piece" if answer.have > answer.bound else "cut_back_outlet"
        return Short("LEG", where, answer.have, answer.bound, answer.missed, "m", lift, label)
    return answer
