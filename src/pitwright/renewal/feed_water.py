"""A feed that still runs: which joint it may have, and the relief end that keeps cement dry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pitwright.findings import Short
from pitwright.joining.relief import relief_short
from pitwright.jointing.question import CementedJoint
from pitwright.renewal.proving import relief_of
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.kit import GRIPPED, EndWay
from pitwright.units.kinds import FOOT

__all__ = ["damp", "let_out", "wet_or_loose"]


def wet_or_loose(survey: Survey, stub: Stub, way: EndWay) -> Iterator[Short]:
    """Why a stub may not be joined so: no cement where it runs and no relief end lets it out, no
    grip that nothing backs. [N, m] Source: common practice, no source.
    """
    if stub.seeps and way.name != GRIPPED:
        short = relief_short(stub.id, stub.seeps, relief_of(stub), _lowest(stub), "cement")
        if short is not None:
            yield short
    if way.push > 0.0 and not survey.preferences.blocks:
        yield Short("THRUST", stub.id, 0.0, way.push, way.push, "N", "block_bends", way.name)


def let_out(stub: Stub) -> tuple[tuple[str, float], ...]:
    """The stub and how far its relief end lies below its joint, where it seeps and that keeps the
    joint dry; else nothing. [m] Source: the survey.
    """
    relief, low = relief_of(stub), _lowest(stub)
    if not stub.seeps or relief is None:
        return ()
    if relief_short(stub.id, stub.seeps, relief, low, "cement") is not None:
        return ()
    return ((str(stub.id), low - relief.height - relief.bore / 2),)


def damp(stub: Stub, joint: CementedJoint) -> CementedJoint:
    """The question about a joint on a stub: as in humid air where it is let out. Judgement."""
    return replace(joint, wet=False, humid=joint.humid or bool(let_out(stub)))


def _lowest(stub: Stub) -> float:
    """How high the lowest spot of its straight lies, and of a foot of new work ahead of it. [m]"""
    rise = stub.outward[2]
    outside = stub.pipe.od.value if stub.pipe else 0.0
    return stub.tip.mean[2] + min(rise * FOOT, -rise * stub.cut_back) - outside / 2
