"""A resumed plan for machines: ``pitwright resume --json``, schema pitwright-resume-1."""

from __future__ import annotations

import math
from typing import Any

from pitwright.findings import Refusal
from pitwright.resuming import Resumed, ZoneResumed
from pitwright.units.inches import both_text
from pitwright.wording.cautions import cautions
from pitwright.wording.plan_data import finding_data, option_data, refusal_data, short_data
from pitwright.wording.resume import verdict_words

__all__ = ["SCHEMA", "resume_data"]

SCHEMA = "pitwright-resume-1"
Data = dict[str, Any]


def resume_data(resumed: Resumed, version: str) -> Data:
    """The document, ready for ``json.dumps``: metres and degrees.

    Source: docs/json.md describes it.
    """
    survey = resumed.plan.survey
    return {
        "schema": SCHEMA,
        "version": version,
        "pit": survey.name,
        "survey": survey.file,
        "zones": [_zone(z) for z in resumed.zones],
        "cautions": [{"code": c.code, "text": c.words, "source": c.source} for c in cautions()],
    }


def _zone(zone: ZoneResumed) -> Data:
    answer = zone.answer
    return {
        "zone": zone.zone.id,
        "name": zone.zone.name,
        "inlet": zone.zone.inlet,
        "outlet": zone.zone.outlet,
        "verdict": zone.verdict.value,
        "text": verdict_words(zone),
        "begun": zone.begun.train.skeleton.label,
        "joints_made": list(zone.done),
        "recut": [
            {"cut": name, "length_m": length, "length_text": both_text(length)}
            for name, length in zone.recut
        ],
        "rolled": [
            {"bend": name, "clock_deg": round(math.degrees(clock), 1)}
            for name, clock in zone.rolled
        ],
        "lost": list(zone.lost),
        "options": [] if isinstance(answer, Refusal) else [option_data(o) for o in answer],
        "refused": refusal_data(answer) if isinstance(answer, Refusal) else None,
        "stopped_by": [short_data(s) for s in zone.stopped],
        "findings": [finding_data(f) for f in zone.findings],
    }
