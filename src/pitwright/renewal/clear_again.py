"""Where a train lies whose lengths were changed while it was built, and whether it is clear there.

The search looked for room with the lengths it found; whoever changes them must look again.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from pitwright.closing.rebuild import walk
from pitwright.findings import Short
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import Vec, add, dot, scale, sub
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.surroundings import room_for
from pitwright.trains.bench import new_pipe
from pitwright.trains.cut_list import Bend, CutList, Piece
from pitwright.trains.room import Laid, clearest, solids
from pitwright.trains.train import Train
from pitwright.units.inches import SIXTEENTH

__all__ = ["laid_again", "lies_clear"]


def lies_clear(job: Job, train: Train, cuts: CutList) -> tuple[Train, tuple[Capsule, ...]] | Short:
    """The train as its cut list lays it now, with its solids, or what it would stand in. [m]

    Less than a sixteenth is no more than a cut's own mark, and is let pass. Source: the shapes of
    the search.
    """
    survey, zone, stubs = job.survey, job.zone, job.stubs
    pipe = new_pipe(survey.shelf, new_size(survey, zone, stubs))
    if pipe is None:
        return train, ()
    valve = survey.valve(zone.valve) if zone.valve else None
    room = room_for(survey, stubs, pipe, valve)
    now = laid_again(train, cuts, (stubs[0].tip.mean, stubs[0].outward), survey.preferences.gap)
    laid, tip = Laid(now.lengths, now.share), stubs[0].tip.mean
    got = clearest([laid], now.directions, now.rows, tip, room, now.skeleton.label)
    if isinstance(got, Short) and got.missed > SIXTEENTH:
        return got
    return now, tuple(solids(now.directions, now.rows, tip, laid, room.girth))


def laid_again(train: Train, cuts: CutList, inlet: tuple[Vec, Vec], gap: float) -> Train:
    """The train with the directions and lengths of its legs as the cut list has them. [m]

    ``inlet`` is the tip and outward of the inlet stub; ``gap`` stays bare on a piece between two
    sockets. Source: mating port to port.
    """
    *begins, end = walk(cuts, *inlet)
    points, directions = [inlet[0]], []
    for pose, item in zip(begins, cuts.items, strict=True):
        if isinstance(item, Bend):
            points.append(add(pose.at, scale(pose.z, item.before)))
            directions.append(pose.z)
    points.append(add(end.at, scale(end.z, -cuts.outlet_cut)))
    directions.append(end.z)
    lengths = [dot(sub(b, a), d) for (a, b), d in zip(pairwise(points), directions, strict=True)]
    return replace(
        train,
        directions=tuple(directions),
        lengths=tuple(lengths),
        cut_back=(cuts.inlet_cut, cuts.outlet_cut),
        share=_share(train, cuts, gap),
    )


def _share(train: Train, cuts: CutList, gap: float) -> float:
    """Which share of the valve leg's slack lies before the valve now. [-]"""
    before, after, leg = 0.0, 0.0, 0
    passed = False
    for item in cuts.items:
        if isinstance(item, Bend):
            leg += 1
        elif leg != train.skeleton.valve_leg:
            continue
        elif isinstance(item, Piece):
            slack = max(0.0, item.length - item.depth_before - item.depth_after - gap)
            before, after = (before, after + slack) if passed else (before + slack, after)
        elif getattr(item, "name", "") == "valve":
            passed = True
    whole = before + after
    return before / whole if whole > 0.0 else train.share
