"""Putting a train in: which order of joints can be made, as steps a person can follow."""

from __future__ import annotations

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.joining.work import Work

__all__ = ["put_in"]


def put_in(work: Work) -> Assembly | Refusal:
    """An order in which every joint of a train can be made, or why there is none. [m, N, s]

    Raises what :func:`~pitwright.jointing.times.joint_times` raises. Source: design study.
    """
    raise NotImplementedError(work)
