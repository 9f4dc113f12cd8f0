"""What cement says about each joint of a train: asked of ``jointing``, joint by joint."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from pitwright.findings import Refusal, Short
from pitwright.joining.layout import CEMENTED, Layout
from pitwright.joining.work import Work
from pitwright.jointing.question import CementedJoint
from pitwright.jointing.times import JointTimes, joint_times

__all__ = ["asked", "cement_short", "seeping", "times_of"]


def seeping(work: Work, laid: Layout, index: int) -> bool:
    """Whether a joint touches a stub that still runs. Source: the survey."""
    inlet, outlet = work.sides
    return (index <= laid.first and inlet.seeps > 0.0) or (
        index >= laid.last and outlet.seeps > 0.0
    )


def asked(work: Work, laid: Layout, index: int, *, bench: bool) -> CementedJoint:
    """The question about one joint: on the bench its surfaces are dry. Source: the survey."""
    if bench:
        return replace(work.cement, wet=False, wet_after=None)
    if not seeping(work, laid, index):
        return work.cement
    side = work.sides[0] if index <= laid.first else work.sides[1]
    if side.wet_after is None:
        return replace(work.cement, wet=True)
    known = [t for t in (side.wet_after, work.cement.wet_after) if t is not None]
    return replace(work.cement, wet_after=min(known))


@lru_cache(maxsize=512)
def _times(joint: CementedJoint) -> JointTimes | Refusal:
    return joint_times(joint)


def times_of(work: Work, laid: Layout, index: int, *, bench: bool) -> JointTimes | Refusal:
    """Working, set and cure of one joint, or why it may not be cemented. [s]

    Raises Missing, OutOfRange, UnknownName. Source: ``jointing``.
    """
    return _times(asked(work, laid, index, bench=bench))


def cement_short(work: Work, laid: Layout, index: int, *, bench: bool) -> Short | None:
    """Why a joint that is cemented may not be; None where it may. Source: ``jointing``."""
    if laid.places[index].kind not in CEMENTED:
        return None
    got = times_of(work, laid, index, bench=bench)
    if isinstance(got, JointTimes):
        return None
    place = laid.places[index]
    return replace(got.because[0], where=f"{place.before} to {place.after}")
