"""What is plain about putting a train in, before its joints are ordered: what never goes in at all.

Between two stubs that cannot move, a straight train of ordinary sockets has nowhere to be pushed
home from: only a telescoping coupling, or a stop-less one at each end, lets it down in its place.
"""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.catalogue.shelf import Shelf
from pitwright.findings import Finding, Short, Weight, finding
from pitwright.renewal.bending import stands_fast
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.cut_list import CutList
from pitwright.trains.kit import GRIPS_ON_STUB, SLID_ON_STUB, TELESCOPING, EndWay
from pitwright.trains.rows import Body
from pitwright.trains.train import Train

__all__ = ["cannot_be_put_in", "sliding_cautions"]


def cannot_be_put_in(
    survey: Survey, stubs: tuple[Stub, Stub], train: Train, cuts: CutList
) -> Short | None:
    """A straight train that neither stub lets be pushed home; None where nothing so plain stops it.

    The number is the deepest push that is wanted. [m] Source: common practice, no source.
    """
    if train.bends or _lets_itself_down(train):
        return None
    off = (cuts.inlet_cut, cuts.outlet_cut)
    if not all(stands_fast(survey, s, c) for s, c in zip(stubs, off, strict=True)):
        return None
    deep = max((d for p in cuts.pieces for d in (p.depth_before, p.depth_after)), default=0.0)
    for way in train.skeleton.ways:
        if way.coupler is not None:
            deep = max(deep, way.coupler.stub_side.depth)
    label = train.skeleton.label
    return Short("STUCK", "last joint", 0.0, deep, deep, "m", "slide_or_box", label)


def _lets_itself_down(train: Train) -> bool:
    """A telescoping coupling anywhere; stop-less ones on both sides; one between two stubs."""
    ways = train.skeleton.ways
    if any(way.name == TELESCOPING for way in ways):
        return True
    alone = len(train.rows[0].items) == 1
    slide = [way.slides for way in ways]
    return all(slide) or (alone and any(slide))


def sliding_cautions(
    shelf: Shelf, stubs: tuple[Stub, Stub], train: Train, cuts: CutList
) -> Iterator[Finding]:
    """What a body that slides or holds no thrust asks of the person who fits it. [m, N]

    Source: common practice, no source.
    """
    for stub, way in zip(stubs, train.skeleton.ways, strict=True):
        if way.coupler is None:
            continue
        joint = {"joint": _named(shelf, way), "stub": str(stub.id)}
        if way.push > 0.0:
            yield finding("holds_no_thrust", Weight.CHECK, numbers={"push": way.push}, names=joint)
        if not way.slides:
            continue
        if way.name == TELESCOPING:
            give = min(_spare(cuts, way), default=0.0)
            yield finding("set_stroke", numbers={"give": give}, names=joint)
            continue
        on = f"stub {stub.id}" if way.name in (SLID_ON_STUB, GRIPS_ON_STUB) else "new piece"
        yield finding(
            "park_first",
            Weight.CHECK,
            numbers={"park": way.coupler.park or way.needs},
            names={"on": on},
        )


def _spare(cuts: CutList, way: EndWay) -> Iterator[float]:
    """How far the body stands from either end of what it spans, both ways. [m]"""
    assert way.coupler is not None
    for item in cuts.items:
        if isinstance(item, Body) and item.parts == way.coupler.parts:
            yield item.give + item.pulled
            yield item.give - item.pulled


def _named(shelf: Shelf, way: EndWay) -> str:
    assert way.coupler is not None
    part = way.coupler.parts[0]
    return next((f.name for f in shelf.fittings if f.id == part), part)
