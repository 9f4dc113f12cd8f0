"""A plan for machines: the document behind ``pitwright plan --json``, schema pitwright-plan-1."""

from __future__ import annotations

from typing import Any

from pitwright.findings import Refusal
from pitwright.planning import Load, Plan, ZonePlan, beside_load
from pitwright.renewal.beside import Beside
from pitwright.survey.weights import Weights
from pitwright.wording.beside_data import beside_data
from pitwright.wording.cautions import cautions
from pitwright.wording.option_data import (
    finding_data,
    option_bending,
    option_data,
    refusal_data,
    short_data,
)
from pitwright.wording.ranking import rank_data

__all__ = [
    "SCHEMA",
    "finding_data",
    "option_bending",
    "option_data",
    "plan_data",
    "refusal_data",
    "short_data",
]

SCHEMA = "pitwright-plan-1"
Data = dict[str, Any]


def plan_data(plan: Plan, version: str) -> Data:
    """The document, ready for ``json.dumps``: metres and degrees, keys in a fixed order.

    Source: docs/json.md describes it.
    """
    survey = plan.survey
    return {
        "schema": SCHEMA,
        "version": version,
        "pit": survey.name,
        "survey": survey.file,
        "zones": [_zone(z, survey.preferences.weights) for z in plan.zones],
        "beside": [{**beside_data(b), "load": _beside_load(plan, b)} for b in plan.beside],
        "load": _load(plan.load),
        "findings": [finding_data(f) for f in (*plan.findings, *survey.findings)],
        "cautions": [{"code": c.code, "text": c.words, "source": c.source} for c in cautions()],
    }


def _load(load: Load) -> Data:
    return {
        "parts": [
            {"item": x.item, "need": x.need, "spare": x.spare, "on_truck": x.on_truck}
            for x in load.lines
        ],
        "pipes": [{"pipe": name, "length_m": size} for name, size in load.pipes],
    }


def _beside_load(plan: Plan, one: Beside) -> Data | None:
    if isinstance(one.answer, Refusal):
        return None
    return _load(beside_load(plan.survey, one.answer))


def _zone(zone: ZonePlan, weights: Weights) -> Data:
    answer = zone.answer
    refused = isinstance(answer, Refusal)
    return {
        "zone": zone.zone.id,
        "name": zone.zone.name,
        "inlet": zone.zone.inlet,
        "outlet": zone.zone.outlet,
        "options": [] if isinstance(answer, Refusal) else [option_data(o) for o in answer],
        "refused": refusal_data(answer) if isinstance(answer, Refusal) and refused else None,
        "ranking": []
        if isinstance(answer, Refusal)
        else [rank_data(option, weights) for option in answer],
        "passed_over": [short_data(s) for s in zone.passed_over],
        "ways": [
            {
                "way": w.way,
                "keeps": list(w.keeps),
                "options": len(w.options),
                "refused": refusal_data(w.answer) if isinstance(w.answer, Refusal) else None,
            }
            for w in zone.ways
        ],
    }
