"""How each zone's work stands: its stages one after the other, and how it goes on from the last.

Working a stage out may take seconds, so it is asked of a ``Solve``, which may answer later.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import replace

from pitwright.errors import BadInput
from pitwright.pages.doing import cut_as_planned, still_long
from pitwright.pages.keys import literal, trouble_of
from pitwright.pages.readings import path_of_text
from pitwright.pages.standing import Going
from pitwright.planning import Plan, ZonePlan
from pitwright.records.entry import Entry
from pitwright.records.fold import State
from pitwright.records.progress import progress_tables, stage_of_path, stages_of
from pitwright.resuming import Stage, ZoneResumed, begun_at
from pitwright.stages import after, way_of
from pitwright.survey.pit import Survey
from pitwright.survey.progress import Again, Progress, ZoneProgress, progress_of
from pitwright.trains.cut_list import Piece
from pitwright.units.inches import SIXTEENTH
from pitwright.units.measure import measure

__all__ = ["Pair", "Solve", "again_value", "basis_of", "goings_of", "progress_now", "tables_now"]

Pair = tuple[Again | None, Again | None]
Solve = Callable[[Stage, ZoneProgress, Pair, str], ZoneResumed | str | None]
"""From a stage, what was done in it and its two stubs as measured again; and what tells this
question from every other. None: it is being worked out; a text: stopped (empty), or broken off."""
_OTHER = (
    'another way was chosen since. Choose "{way}" again under Choose, or take the resumed plan back'
)
_GONE = (
    "the way gone on with is no longer among those that close: a reading changed. Take the "
    "resumed plan back, and resume again"
)


def goings_of(
    state: State, since: Entry | None, plan: Plan, solve: Solve, *, ahead: bool
) -> tuple[Going, ...]:
    """Every zone with an option, as its work stands since the plan ``since`` was kept.

    ``plan`` has what was chosen first in each zone; ``ahead``: also how it goes on from there.
    """
    begun = stages_of(state, since) if since is not None else {}
    found = []
    for zone in plan.zones:
        if zone.best is None or not isinstance(zone.answer, tuple):
            continue
        first = begun_at(plan.survey, zone.zone, zone.answer, zone.best)
        going = Going(str(zone.zone.id), zone.zone.name, (first,), begun.get(str(zone.zone.id), ()))
        going = _worked_out(going, plan.survey, zone, solve)
        if ahead and going.status == "ready" and since is not None:
            going = _ahead(going, state, since, plan.survey, zone, solve)
        found.append(going)
    return tuple(found)


def _worked_out(going: Going, survey: Survey, zone: ZonePlan, solve: Solve) -> Going:
    """Stage after stage, as far as they are ready."""
    asked = _begins(zone)
    for number, begun in enumerate(going.begun):
        if begun.before not in ("", going.stage.option.key):
            told = _OTHER.format(way=begun.before)
            return replace(going, status="broken", trouble=told)
        earlier = [b.tables for b in going.begun[:number]]
        asked = f"{asked}\n{basis_of(begun.tables)}"
        try:
            progress = progress_of(dict(begun.tables), survey, earlier)
            done, again = progress.zone(zone.zone.id), _stubs(progress, going)
            got = solve(going.stage, done, again, asked)
        except BadInput as mistake:
            return replace(
                going, status="broken", trouble=f"{mistake.where}: {trouble_of(mistake)}"
            )
        if not isinstance(got, ZoneResumed):
            status = "working" if got is None else "broken" if got else "stopped"
            return replace(going, status=status, trouble=got or "", waits=asked)
        option = way_of(got, begun.way)
        if option is None:
            return replace(going, status="broken", trouble=_GONE)
        asked = f"{asked}\n{begun.way}"
        going = replace(going, stages=(*going.stages, after(going.stage, got, option, done)))
    return going


def _ahead(
    going: Going, state: State, since: Entry, survey: Survey, zone: ZonePlan, solve: Solve
) -> Going:
    """How it goes on from what was noted at the newest stage."""
    tables = tables_now(state, since, going, survey)
    basis = basis_of(tables)
    asked = "\n".join([_begins(zone), *(f"{basis_of(b.tables)}\n{b.way}" for b in going.begun)])
    try:
        progress = progress_now(tables, survey, going)
        done, again = progress.zone(zone.zone.id), _stubs(progress, going)
        got = solve(going.stage, done, again, f"{asked}\n{basis}")
    except BadInput as mistake:
        told = f"{mistake.where}: {trouble_of(mistake)}"
        return replace(going, ahead_status="broken", trouble=told)
    if isinstance(got, ZoneResumed):
        return replace(going, ahead=got, ahead_status="ready", basis=basis)
    status = "working" if got is None else "broken" if got else "stopped"
    return replace(going, ahead_status=status, trouble=got or "", waits=f"{asked}\n{basis}")


def progress_now(tables: dict[str, object], survey: Survey, going: Going) -> Progress:
    """The progress in the tables of the newest stage. Raises BadInput for what cannot be. [m]"""
    return progress_of(tables, survey, [b.tables for b in going.begun])


def _begins(zone: ZonePlan) -> str:
    assert zone.best is not None  # the caller looked
    return zone.best.key


def _stubs(progress: Progress, going: Going) -> Pair:
    root = going.stage.root
    return progress.stub(root.inlet), progress.stub(root.outlet)


def basis_of(tables: dict[str, object]) -> str:
    """The tables in one line, the same for the same progress."""
    return json.dumps(tables, sort_keys=True, ensure_ascii=False)


def tables_now(state: State, since: Entry, going: Going, survey: Survey) -> dict[str, object]:
    """What was noted of one zone at its newest stage, as a progress file has it.

    A cut that was only checked counts as made to the length of the plan. Source: docs/resume.md.
    """
    planned = [str(z.id) for z in survey.zones if z.planned]
    noted = progress_tables(state, since, planned, {going.zone: going.stage.option.key})
    zones = noted.tables["zone"]
    mine = dict(zones.get(going.zone, {})) if isinstance(zones, dict) else {}
    cut = {**cut_as_planned(state, going), **mine.pop("cut", {})}
    cut = {k: said for k, said in cut.items() if not _left_long(going, k, said, mine)}
    if cut:
        mine["cut"] = cut
    root = going.stage.root
    stubs = again_tables(noted.again, len(going.begun), (str(root.inlet), str(root.outlet)))
    told: dict[str, object] = {"zone": {going.zone: mine}} if mine else {}
    return {**told, "stub": stubs} if stubs else told


def _left_long(going: Going, letter: str, said: str, noted: dict[str, object]) -> bool:
    """Whether a piece is only cut long so far: not trimmed, no joint of it made."""
    cuts = going.stage.option.cuts
    made = noted.get("joints", [])
    for n, item in enumerate(cuts.items, 1):
        if isinstance(item, Piece) and item.letter == letter:
            joined = isinstance(made, list) and (n in made or n + 1 in made)
            off = measure(said, default="in").si - item.length
            return not joined and off > SIXTEENTH and still_long(going, letter, off)
    return False


def again_tables(
    again: Sequence[tuple[str, str]], stage: int, names: Sequence[str]
) -> dict[str, dict[str, object]]:
    """The stubs measured again at a stage, in a progress file's own tables."""
    stubs: dict[str, dict[str, object]] = {}
    for text, typed in again:
        number, path = stage_of_path(path_of_text(text))
        if number == stage and len(path) == 3 and path[1] in names:
            stubs.setdefault(path[1], {})[path[2]] = again_value(path[2], typed)
    return stubs


def again_value(key: str, typed: str) -> object:
    """A reading of a stub as TOML has it. Raises Malformed for brackets that hold no value."""
    if key == "broken":
        return typed
    return tomllib.loads(f"x = {literal('stub', key, typed)}")["x"]
