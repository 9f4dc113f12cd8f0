"""What cement says about each joint of a train: asked of ``jointing``, joint by joint."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from pitwright.findings import Refusal, Short
from pitwright.joining.layout import CEMENTED, Layout
from pitwright.joining.relief import drained, lowest_glued, relief_short
from pitwright.joining.work import StubSide, Work
from pitwright.jointing.question import CementedJoint
from pitwright.jointing.times import JointTimes, joint_times

__all__ = ["asked", "cement_short", "seeping", "times_of", "touched"]


def touched(work: Work, laid: Layout, index: int) -> tuple[StubSide, ...]:
    """The stubs that seep and that a joint touches, drained or not. Source: the survey."""
    near = (index <= laid.first, index >= laid.last)
    return tuple(s for s, at in zip(work.sides, near, strict=True) if at and s.seeps > 0.0)


def seeping(work: Work, laid: Layout, index: int) -> bool:
    """Whether a joint touches a stub that still runs, no relief end keeping it dry."""
    return any(not drained(work, laid, s) for s in touched(work, laid, index))


def asked(work: Work, laid: Layout, index: int, *, bench: bool) -> CementedJoint:
    """The question about one joint: on the bench its surfaces are dry, beside a relief end damp.

    Source: the survey; that a drained end is as humid air is judgement.
    """
    if bench:
        return replace(work.cement, wet=False, wet_after=None)
    question = work.cement
    for side in touched(work, laid, index):
        if drained(work, laid, side):
            question = replace(question, humid=True)
        elif side.wet_after is None:
            question = replace(question, wet=True)
        else:
            known = [t for t in (side.wet_after, question.wet_after) if t is not None]
            question = replace(question, wet_after=min(known))
    return question


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
    for side in () if bench else touched(work, laid, index):
        low = lowest_glued(work, laid)
        short = relief_short(side.name, side.seeps, side.relief, low, work.train.skeleton.label)
        if side.relief is not None and side.wet_after is None and short is not None:
            return short
    return replace(got.because[0], where=f"{place.before} to {place.after}")
