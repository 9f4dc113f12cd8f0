"""The digging question for machines: behind ``pitwright flex --json``, schema pitwright-flex-1."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from pitwright.findings import Refusal
from pitwright.flex.compliance import Place
from pitwright.flex.limits import StrainLimit
from pitwright.planning import Plan, ZonePlan
from pitwright.renewal.movable import InLine, Movable, Moved
from pitwright.units.inches import Rounding, both_text
from pitwright.wording.flex import CAUTIONS, in_line_words, moved_words
from pitwright.wording.plan_data import option_bending, short_data

__all__ = ["SCHEMA", "flex_data"]

SCHEMA = "pitwright-flex-1"
Data = dict[str, Any]


def flex_data(plan: Plan, stubs: Sequence[Movable], lines: Sequence[InLine], version: str) -> Data:
    """The document, ready for ``json.dumps``: metres, newtons and degrees, keys in a fixed order.

    Source: docs/json.md describes it.
    """
    planned = {zone.zone.id: zone for zone in plan.zones}
    return {
        "schema": SCHEMA,
        "version": version,
        "pit": plan.survey.name,
        "survey": plan.survey.file,
        "stubs": [_stub(stub) for stub in stubs],
        "zones": [
            {
                "zone": zone.id,
                "name": zone.name,
                **_trains(planned.get(zone.id)),
                "into_line": [_line(line) for line in lines if line.zone == zone.id],
            }
            for zone in plan.survey.zones
        ],
        "cautions": list(CAUTIONS),
    }


def _stub(stub: Movable) -> Data:
    limit = stub.limit
    return {
        "stub": stub.stub.id,
        "pipe": stub.stub.pipe.id if stub.stub.pipe else None,
        "condition": stub.stub.condition,
        "bare_m": stub.bare,
        "soil": None
        if stub.ground is None
        else {
            "kind": stub.ground.soil or None,
            "stiffness_Pa": stub.ground.stiffness,
            "depth_m": stub.ground.depth,
            "source": stub.ground.source,
            "status": stub.ground.status,
        },
        "strain_limits": {
            "staying": limit.staying,
            "staying_source": limit.staying_source,
            "staying_status": limit.staying_status,
            "momentary": limit.momentary,
            "momentary_source": limit.momentary_source,
            "momentary_status": limit.momentary_status,
        }
        if isinstance(limit, StrainLimit)
        else None,
        "reaches": [_moved(each) for each in stub.reaches],
        "stuck": None if stub.stuck is None else short_data(stub.stuck),
    }


def _moved(moved: Moved) -> Data:
    far = moved.reach
    return {
        "how_long": moved.how_long,
        "tip": "free to turn" if moved.turning else "held",
        "least_m": far.least,
        "least_text": both_text(far.least, Rounding.NOT_LONGER),
        "least_way": list(far.way),
        "most_m": far.most,
        "most_way": list(far.best_way),
        "governs": far.governs,
        "strain": far.strain,
        "force_N": far.force,
        "peak": _peak(far.peak),
        "text": moved_words(moved),
    }


def _peak(place: Place) -> Data:
    return {"straight": place.straight, "from_tip_m": place.from_tip, "point_m": list(place.point)}


def _trains(zone: ZonePlan | None) -> Data:
    answer = None if zone is None else zone.answer
    options = () if answer is None or isinstance(answer, Refusal) else answer
    now = next((o for o in options if o.bending.closes), None)
    dug = next((o for o in options if not o.bending.closes), None)
    refused = [short_data(s) for s in answer.because] if isinstance(answer, Refusal) else None
    return {
        "as_it_lies": None
        if now is None
        else {"skeleton": now.train.skeleton.label, "bending": option_bending(now)},
        "after_digging": None
        if dug is None
        else {"skeleton": dug.train.skeleton.label, "bending": option_bending(dug)},
        "refused": refused,
    }


def _line(line: InLine) -> Data:
    answer = line.answer
    data: Data = {
        "stub": line.stub,
        "sideways_m": line.sideways,
        "turn_deg": math.degrees(line.turn),
        "never_by_digging": line.never,
        "dig_m": None,
        "safe_to_m": None,
        "ratio_now": None,
        "ratio_then": None,
        "force_N": None,
        "because": None,
        "text": in_line_words(line),
    }
    if isinstance(answer, Refusal):
        data["because"] = short_data(answer.because[0])
    else:
        data["dig_m"], data["safe_to_m"] = answer.extra, answer.safe_to
        data["ratio_now"], data["ratio_then"] = answer.now, answer.then
        data["force_N"] = answer.flexed.force
    return data
