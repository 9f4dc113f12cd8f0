"""Valves to be fitted: sizes from the owner's own measurement or a maker's sheet, typed in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.catalogue.naming import plain_size
from pitwright.catalogue.parts import JointKind
from pitwright.errors import Contradiction, Malformed, Missing
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section

__all__ = ["LossPoint", "ValveBody", "read_valve"]

_ENDS = {"female thread": JointKind.FEMALE_THREAD, "socket": JointKind.SOCKET}
_LEAST_BODY, _MOST_BODY = 0.03, 0.6
"""Face to face, no valve of this trade lies outside. [m]"""
_DEFAULT_TILT = math.radians(10.0)
"""How far a diaphragm valve may lean when its sheet says nothing. [rad] Judgement."""


@dataclass(frozen=True, slots=True)
class LossPoint:
    """One line of a loss table: flow [m³/s] and what it costs [Pa]."""

    flow: Reading
    drop: Reading


@dataclass(frozen=True, slots=True)
class ValveBody:
    """One kind of new valve.

    Lengths [m]: ``length`` face to face; ``width`` overall; ``below`` and ``height`` from the
    pipe's axis down and up; swings are the radius swept about the axis with and without the
    bonnet; ``made_up`` from adapter socket bottom to adapter socket bottom, measured on the
    bench; ``adapter`` from the pipe's end in its socket to the thread's tip. ``tilt_limit`` [rad].
    ``union_ends``: both its ends are unions, so that the body itself drops in and lifts out.
    """

    name: str
    length: Reading
    joint: JointKind
    size: str
    width: Reading | None
    below: Reading | None
    height: Reading | None
    swing_with_bonnet: Reading | None
    swing_without: Reading | None
    tilt_limit: float
    made_up: Reading | None
    adapter: Reading | None
    known_from: str
    cv: float | None
    loss: tuple[LossPoint, ...]
    least_flow: Reading | None
    coil: Reading | None
    note: str
    union_ends: bool = False


def read_valve(name: str, section: Section) -> ValveBody:
    """One section [valve.name]. SI. Raises Missing, Contradiction and those of a reading."""

    def length(key: str) -> Reading | None:
        return section.reading(key, low=0.0, high=_MOST_BODY)

    body = section.need_reading(
        "body",
        "measure the body face to face, or copy it from the maker's sheet",
        low=_LEAST_BODY,
        high=_MOST_BODY,
    )
    made_up = section.reading("made_up", low=_LEAST_BODY, high=2 * _MOST_BODY)
    if made_up and made_up.value < body.value / 2:
        raise Contradiction(
            section.at("made_up"),
            made_up.text,
            f"must go with a body of {body.text}",
            "measure the made-up unit from adapter socket bottom to adapter socket bottom",
        )
    size = plain_size(section.text("size"))
    if not size:
        raise Missing(section.at("size"), 'write the size of its ends, as in "1"')
    tilt = section.reading("tilt", tool="eye", unit="deg", low=0.0, high=math.pi)
    return ValveBody(
        name,
        body,
        _ENDS[section.choice("ends", tuple(_ENDS), None)],
        size,
        length("width"),
        length("below"),
        length("height"),
        length("swing"),
        length("swing_bare"),
        tilt.value if tilt else _DEFAULT_TILT,
        made_up,
        length("adapter"),
        section.choice("from", ("measured", "sheet"), "measured"),
        section.number("cv", 0.01, 1000.0),
        _loss(section),
        section.reading("least_flow", tool="sheet flow", unit="gpm", low=0.0, high=0.1),
        section.reading("coil", tool="ohmmeter", unit="ohm", low=0.0, high=1e5),
        section.text("note"),
        section.flag("union_ends", False),
    )


def _loss(section: Section) -> tuple[LossPoint, ...]:
    """The loss table: pairs of flow and pressure, flows rising."""
    value = section.table.get("loss", [])
    where, hint = section.at("loss"), 'write it as [["5 gpm", "1.6 psi"], ["10 gpm", "2 psi"]]'
    if not isinstance(value, list) or len(value) > 60:
        raise Malformed(where, value, "must be a list of pairs, flow and loss", hint)
    points: list[LossPoint] = []
    for i, pair in enumerate(value):
        if not isinstance(pair, list) or len(pair) != 2:
            raise Malformed(f"{where}.{i}", pair, "must be a flow and its loss", hint)
        flow = section.read(
            pair[0], f"{where}.{i}.0", tool="sheet flow", unit="gpm", low=0.0, high=0.1
        )
        drop = section.read(
            pair[1], f"{where}.{i}.1", tool="sheet pressure", unit="psi", low=0.0, high=1e6
        )
        if points and flow.value <= points[-1].flow.value:
            raise Contradiction(f"{where}.{i}", flow.text, "must rise from line to line", hint)
        points.append(LossPoint(flow, drop))
    return tuple(points)
