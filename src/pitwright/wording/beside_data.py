"""The ways that are no train between two stubs, for machines: parts of schema pitwright-plan-1."""

from __future__ import annotations

from typing import Any

from pitwright.findings import Refusal
from pitwright.joining.assembly import Step
from pitwright.renewal.beside import Beside
from pitwright.renewal.from_feed import FromFeed
from pitwright.renewal.from_feed_header import HeaderPiece
from pitwright.renewal.insides import RenewedInsides
from pitwright.renewal.shut_off import ShutOff
from pitwright.units.inches import both_text
from pitwright.wording.assembly_data import step_data
from pitwright.wording.option_data import finding_data, option_data, refusal_data

__all__ = ["beside_data"]

Data = dict[str, Any]


def beside_data(one: Beside) -> Data:
    """One such way: what it changes, keeps, costs and leaves. SI. Source: docs/json.md."""
    answer = one.answer
    refused = isinstance(answer, Refusal)
    return {
        "zone": one.zone,
        "way": one.way,
        "asked": one.asked,
        "keeps": list(one.keeps),
        "planned": None if isinstance(answer, Refusal) else _planned(answer),
        "refused": refusal_data(answer) if isinstance(answer, Refusal) and refused else None,
    }


def _planned(answer: RenewedInsides | ShutOff | FromFeed) -> Data:
    if isinstance(answer, RenewedInsides):
        return _insides(answer)
    return _shut_off(answer) if isinstance(answer, ShutOff) else _from_feed(answer)


def _insides(way: RenewedInsides) -> Data:
    return {
        "valve": way.valve,
        "model": way.model,
        "parts": [{"item": name, "count": count} for name, count in way.parts],
        "cuts": way.cuts,
        "cemented": way.cemented,
        "left_old": list(way.left),
        "findings": [finding_data(f) for f in way.findings],
    }


def _steps(steps: tuple[Step, ...]) -> list[Data]:
    return [step_data(n, step) for n, step in enumerate(steps, start=1)]


def _shut_off(way: ShutOff) -> Data:
    return {
        "body": way.body,
        "in_line": way.in_line,
        "joint": way.joint,
        "cut_m": way.cut,
        "cut_text": both_text(way.cut),
        "taken_out_m": way.taken_out,
        "parts": [{"item": name, "count": count} for name, count in way.parts],
        "pipe": {"pipe": way.pipe_name, "length_m": way.pipe},
        "left_behind_m": way.behind,
        "left_ahead_m": way.ahead,
        "unions": way.unions,
        "rest_goes_in": way.rest_goes_in,
        "steps": _steps(way.steps),
        "water_on_s": way.water_on,
        "findings": [finding_data(f) for f in way.findings],
    }


def _from_feed(way: FromFeed) -> Data:
    return {
        "feed": way.feed,
        "joint": way.joint,
        "cut_m": way.cut,
        "places": [{"zone": z, "from_tip_m": at} for z, at in way.places],
        "pieces": [_piece(p) for p in way.pieces],
        "spool_m": way.spool,
        "passes_mouth": way.passes,
        "parts": [{"item": name, "count": count} for name, count in way.parts],
        "pipes": [{"pipe": name, "length_m": length} for name, length in way.pipes],
        "unions": way.unions,
        "polished": way.polished,
        "proved_on_grid": way.proved,
        "searched": way.searched,
        "branches": [option_data(o) for o in way.branches],
        "steps": _steps(way.steps),
        "water_on_s": way.water_on,
        "findings": [finding_data(f) for f in way.findings],
    }


def _piece(piece: HeaderPiece) -> Data:
    return {
        "name": piece.name,
        "length_m": piece.length,
        "length_text": both_text(piece.length),
        "before": piece.before,
        "after": piece.after,
        "depth_marks_m": [piece.depth_before, piece.depth_after],
    }
