"""Clues: what was seen, as stated multipliers on what may be wrong, and where.

The multipliers are judgement and stand in ``data/clues.csv``; the answer is always given with and
without them, and the total on any one fault is capped.

Source: judgement.
"""

from __future__ import annotations

from pitwright.errors import Missing, UnknownName
from pitwright.survey.harness import Clue, Harness
from pitwright.wiring.faults import Fault, single_faults, weight_kind
from pitwright.wiring.tables import clue_kinds

__all__ = ["CAP", "clue_factors", "clues_of"]

CAP = 50.0
"""The most that all clues together may multiply one fault by. [-] Judgement."""


def clues_of(harness: Harness) -> tuple[Clue, ...]:
    """The clues written down and those that the splices' kinds amount to."""
    found = list(harness.clues)
    for station in harness.stations:
        for kind in (station.hot_splice, station.return_splice):
            if kind != "unknown":
                found.append(Clue(f"{kind}-splice", station.id))
    return tuple(found)


def clue_factors(harness: Harness) -> dict[Fault, float]:
    """Factor on each single fault; 1 where no clue speaks. [-] Judgement.

    Raises UnknownName for a clue or a spot nobody knows, Missing where a clue needs a spot.
    """
    kinds = clue_kinds()
    faults = [f for f, _ in single_faults(harness)]
    found: dict[Fault, float] = {}
    buried = {t.conductor: t for t in harness.throughs}
    for clue in clues_of(harness):
        if clue.kind not in kinds:
            raise UnknownName("clue.kind", clue.kind, kinds, "clue")
        factor, touched, scope, _ = kinds[clue.kind]
        if scope != "all" and not clue.at:
            raise Missing(f"clue.{clue.kind}.at", "say at which box, segment or station")
        _check_spot(harness, clue)
        for fault in faults:
            if _touches(harness, clue, scope, touched, fault):
                found[fault] = found.get(fault, 1.0) * factor
    for fault in faults:
        # a conductor known to be joined on its way is likelier to fail there
        through = buried.get(fault.on)
        parts = fault.kind in ("open", "series") and fault.part == "wire"
        if through is not None and parts and fault.segment == through.box:
            found[fault] = found.get(fault, 1.0) * (2.0 if through.kind == "sealed" else 6.0)
    return {f: min(max(x, 1.0 / CAP), CAP) for f, x in found.items()}


def _check_spot(harness: Harness, clue: Clue) -> None:
    known = {b.id for b in harness.boxes} | {s.id for s in harness.stations}
    if clue.at and clue.at not in known:
        raise UnknownName(f"clue.{clue.kind}.at", clue.at, known, "box or station")


def _touches(
    harness: Harness, clue: Clue, scope: str, touched: tuple[str, ...], fault: Fault
) -> bool:
    if "common" in touched:
        commons = {c.id for c in harness.commons}
        return fault.on in commons and fault.part == "wire" and clue.at in ("", fault.segment)
    if weight_kind(fault) not in touched:
        return False
    if scope == "all":
        return True
    stations = {s.id: s.box for s in harness.stations}
    if fault.part == "wire":
        # a wet or badly spliced box leaks at the wire ends next to it
        if clue.at in stations:
            return fault.on == clue.at and fault.segment == stations[clue.at]
        return fault.segment == clue.at
    return clue.at in (fault.on, stations.get(fault.on, ""))
