"""How an option is put in and how sure it is, for machines: parts of schema pitwright-plan-1."""

from __future__ import annotations

from typing import Any

from pitwright.joining.assembly import Assembly, Step
from pitwright.tolerance.doubt import Doubt, Held
from pitwright.units.inches import Rounding, both_text

__all__ = ["assembly_data", "doubt_data", "step_data"]

Data = dict[str, Any]


def assembly_data(assembly: Assembly) -> Data:
    """Steps in order with their clock in seconds; SI. Source: docs/json.md describes it."""
    return {
        "steps": [step_data(n, step) for n, step in enumerate(assembly.steps, start=1)],
        "order": [list(joints) for joints in assembly.order],
        "closing": list(assembly.closing),
        "opening_m": assembly.opening,
        "giver": assembly.giver,
        "spread": None
        if assembly.spread is None
        else {"lower": assembly.spread.lower, "upper": assembly.spread.upper},
        "water_on_s": assembly.water_on,
        "tools": list(assembly.tools),
    }


def step_data(number: int, step: Step) -> Data:
    """One step with its clock in seconds; SI. Source: docs/json.md describes it."""
    return {
        "number": number,
        "code": step.code,
        "where": step.where.value,
        "joints": list(step.joints),
        "starts_s": step.starts,
        "free_s": step.free,
        "ends_s": step.ends,
        "stop": step.stop,
        "numbers": dict(step.numbers),
        "names": dict(step.names),
        "source": step.source,
    }


def doubt_data(doubt: Doubt) -> Data:
    """Chances from 0 to 1, with what is held for each. Source: docs/json.md describes it."""
    return {
        "all_cut_at_once": _held(doubt.plain),
        "advised": _held(doubt.advised),
        "trim_last": list(doubt.advised.pieces),
        "leave_dry_to_roll": list(doubt.advised.rolls),
        "holdings": [_held(way) for way in doubt.ways],
        "causes": [{"cause": s.name, "share": s.share} for s in doubt.shares],
        "help": None
        if doubt.help is None
        else {"code": doubt.help.code, "of": doubt.help.of, "within_eighth": doubt.help.eighth},
        "cut_within_m": doubt.cut_within,
        "cut_within_text": both_text(doubt.cut_within, Rounding.NOT_LONGER),
    }


def _held(held: Held) -> Data:
    return {
        "trim_last": list(held.pieces),
        "leave_dry_to_roll": list(held.rolls),
        "within_eighth": held.eighth,
        "within_flex": held.flex,
    }
