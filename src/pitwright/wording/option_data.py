"""One option, finding or refusal for machines: parts of schema pitwright-plan-1."""

from __future__ import annotations

import math
from typing import Any

from pitwright.findings import Finding, Refusal, Short
from pitwright.renewal.option import Option
from pitwright.trains.cut_list import Bend, Piece
from pitwright.trains.rows import Body
from pitwright.units.inches import both_text
from pitwright.wording.assembly_data import assembly_data, doubt_data
from pitwright.wording.findings import finding_words, short_words

__all__ = ["finding_data", "option_bending", "option_data", "refusal_data", "short_data"]

Data = dict[str, Any]


def option_data(option: Option) -> Data:
    """One option: metres, degrees. Source: docs/json.md describes it."""
    train = option.train
    return {
        "way": option.way,
        "skeleton": train.skeleton.label,
        "keeps": list(option.keeps),
        "between": None
        if option.between is None
        else [
            {"stub": s.id, "tip_m": list(s.tip.mean), "outward": list(s.outward)}
            for s in option.between
        ],
        "shut_off_first": None
        if option.first is None
        else {
            "body": option.first.body,
            "cut_m": option.first.feed.cut,
            "cut_text": both_text(option.first.feed.cut),
            "left_m": option.first.feed.left,
        },
        "proved": _proved(option),
        "checked": {
            "closes_when_rebuilt": True,
            "closes_within_flex": option.bending.judged.closes,
            "can_be_put_in": None if option.assembly is None else True,
        },
        "cut_off": [
            {"stub": s.stub, "cut_m": s.cut, "cut_text": both_text(s.cut), "left_m": s.left}
            for s in option.stubs
        ],
        "items": [_item(i) for i in option.cuts.items],
        "joints": [
            {"before": j.before, "after": j.after, "where": j.where.value}
            for j in option.cuts.joints
        ],
        "parts": [{"item": name, "count": count} for name, count in option.parts],
        "pipe": {"pipe": option.pipe_name, "length_m": option.pipe},
        "misfit": {
            "exact": {
                "position_m": train.misfit.position,
                "angle_deg": math.degrees(train.misfit.angle),
            },
            "rebuilt": {
                "position_m": option.built.position,
                "angle_deg": math.degrees(option.built.angle),
            },
        },
        "bending": option_bending(option),
        "assembly": None if option.assembly is None else assembly_data(option.assembly),
        "doubt": None if option.doubt is None else doubt_data(option.doubt),
        "findings": [finding_data(f) for f in option.findings],
    }


def _proved(option: Option) -> bool:
    """Closes, can be put in, and rests on no part whose take-out nobody measured."""
    guessed = any(f.code == "measure_part" for f in option.findings)
    return option.bending.judged.closes and option.assembly is not None and not guessed


def option_bending(option: Option) -> Data:
    """What closing asks of the old pipe; ratios of 1 are the limit, certified between bounds."""
    closed, dug = option.bending.judged, option.bending.dug
    force, moment = closed.springing
    needed = dug is not None and not option.bending.closes
    return {
        "closes_as_it_lies": option.bending.closes,
        "dig_first": [
            {"stub": stub, "more_bare_m": more} for stub, more in (dug.stubs if dug else ())
        ]
        if needed
        else [],
        "ratio_now": {"lower": option.bending.now.lower, "upper": option.bending.now.upper},
        "ratio": {"lower": closed.lower, "upper": closed.upper},
        "strain_ratio": closed.strain,
        "force_ratio": closed.push,
        "governs": closed.governs,
        "peak": None
        if closed.peak is None
        else {
            "side": closed.stub,
            "straight": closed.peak.straight,
            "from_tip_m": closed.peak.from_tip,
        },
        "springing": {"force_N": force, "moment_Nm": moment},
    }


def _item(item: object) -> Data:
    if isinstance(item, Piece):
        return {
            "kind": "piece",
            "letter": item.letter,
            "length_m": item.length,
            "length_text": both_text(item.length),
            "within_m": item.within,
            "rests_on": list(item.rests_on),
            "before": item.before,
            "after": item.after,
            "depth_marks_m": [item.depth_before, item.depth_after],
        }
    if isinstance(item, Bend):
        return {
            "kind": "bend",
            "name": item.name,
            "angle_deg": math.degrees(item.angle),
            "clock_deg": round(math.degrees(item.clock), 1) + 0.0,
            "takeouts_m": [item.before, item.after],
            "parts": list(item.parts),
        }
    return {
        "kind": "body",
        "name": getattr(item, "name", ""),
        "length_m": getattr(item, "length", 0.0),
        "gives_m": _gives(item),
        "parts": list(getattr(item, "parts", ())),
    }


def _gives(item: object) -> list[float] | None:
    """How much shorter and longer a telescoping or stop-less coupling may still be set. [m]"""
    if not isinstance(item, Body) or item.give <= 0.0:
        return None
    return [item.give + item.pulled, item.give - item.pulled]


def refusal_data(refusal: Refusal) -> Data:
    """A refusal, nearest miss first; numbers in the unit each names. Source: the refusal's own."""
    return {
        "looked_at": refusal.looked_at,
        "cut_short": refusal.cut_short,
        "because": [short_data(s) for s in refusal.because],
    }


def short_data(short: Short) -> Data:
    """One limit: numbers in its unit, angles in degrees, and its words."""
    turn = short.unit == "rad"
    numbers = (short.have, short.need, short.missed)
    have, need, missed = (math.degrees(n) if turn else n for n in numbers)
    return {
        "code": short.code,
        "where": short.where,
        "tried": short.tried,
        "have": have,
        "need": need,
        "missed": missed,
        "unit": "deg" if turn else short.unit,
        "lift": short.lift,
        "text": short_words(short),
        "source": short.source,
    }


def finding_data(found: Finding) -> Data:
    """A finding: its numbers in SI, and its words. Source: the finding's own."""
    return {
        "code": found.code,
        "weight": found.weight.value,
        "text": finding_words(found),
        "numbers": dict(found.numbers),
        "names": dict(found.names),
        "source": found.source,
    }
