"""``pitwright resume``: a plan half built and what differs in, how to go on out."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from dataclasses import replace

from pitwright import __version__
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli import record_plan
from pitwright.cli.files import write_files
from pitwright.cli.main import OK, REFUSED
from pitwright.cli.record_place import place_options
from pitwright.errors import Contradiction, Missing
from pitwright.findings import Refusal
from pitwright.pages.going import Pair, goings_of, progress_now, tables_now
from pitwright.pages.standing import Going
from pitwright.planning import ZonePlan, plan
from pitwright.records.entry import Entry
from pitwright.records.fold import State
from pitwright.resuming import Resumed, Stage, ZoneResumed, option_named, resumed, zone_resumed
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.progress import NOTHING_DONE, Progress, ZoneProgress, load_progress
from pitwright.wording.resume import resume_text
from pitwright.wording.resume_data import resume_data

HELP = "half built and something differs: what stands, what to cut now, or stop"


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument(
        "given", metavar="FILE", nargs="*", help="the pit's survey, then how far the work is"
    )
    parser.add_argument(
        "--from", metavar="PIT", dest="origin",
        help="survey, joints and pieces as recorded at PIT; FILE then adds to them",
    )  # fmt: skip
    parser.add_argument(
        "--entry", metavar="ID", default="", help="with --from: of this plan, not the newest"
    )
    parser.add_argument("--json", action="store_true", help="print JSON for machines")
    parser.add_argument("--out", metavar="DIR", help="also write resume.json and resume.txt")
    place_options(parser)


def run(args: argparse.Namespace) -> int:
    """Say how every zone goes on; 3 when some zone must stop."""
    if args.origin:
        answer = _recorded(args)
    else:
        survey, progress = _given(args.given)
        answer = resumed(plan(survey), progress)
    document = json.dumps(resume_data(answer, __version__), indent=2, ensure_ascii=False)
    text = resume_text(answer)
    if args.out:
        files = {"resume.json": f"{document}\n".encode(), "resume.txt": f"{text}\n".encode()}
        write_files(args.out, files)
    print(document if args.json else text)
    return REFUSED if answer.stopped else OK


def _given(files: list[str]) -> tuple[Survey, Progress]:
    """The survey and the progress, each in its file."""
    if len(files) != 2:
        hint = "as in: pitwright resume chapel-lawn.pit.toml chapel-lawn.progress.toml"
        raise Missing("FILE", f"name the survey, then the file that says how far it is; {hint}")
    data = record_plan.file_bytes(files[0])
    survey = read_survey(data.decode("utf-8"), files[0], load_shelf())
    return survey, load_progress(files[1], survey)


def _recorded(args: argparse.Namespace) -> Resumed:
    """From the newest plan at a pit and what was noted there since, stage by stage."""
    from pitwright.cli.record_ground import opened, pit_of
    from pitwright.records.entry import short
    from pitwright.records.pits import survey_of
    from pitwright.records.progress import progress_tables

    if len(args.given) > 1:
        raise Missing("FILE", "with --from name at most the file that says how far the work is")
    with opened(args) as store:
        place = pit_of(store, args.origin)
        saved = survey_of(store, place, args.entry)
        state = store.state(place.site, place.subject)
    name = f"survey of {short(saved.entry.id)} in the record"
    survey = read_survey(saved.survey.decode("utf-8"), name, load_shelf())
    planned = [str(z.id) for z in survey.zones if z.planned]
    for label in progress_tables(state, saved.entry, planned).unplaced:
        hint = 'label joints as "ZONE 3" and pieces as "ZONE A"'
        print(f'pitwright: "{label}" names no joint or piece of this plan; {hint}', file=sys.stderr)
    more = load_progress(args.given[0], survey) if args.given else NOTHING_DONE
    made = plan(survey)
    ways = {str(f.value("zone")): str(f.value("way")) for f in state.of_kind("choice")}
    made = replace(made, zones=tuple(_begun_first(z, more, ways) for z in made.zones))
    goings = goings_of(state, saved.entry, made, _solve, ahead=False)
    return Resumed(made, tuple(_onward(state, saved.entry, survey, g, more) for g in goings))


def _begun_first(zone: ZonePlan, more: Progress, ways: Mapping[str, str]) -> ZonePlan:
    """The zone with the option first that is being built: as the file says, or as was chosen."""
    if isinstance(zone.answer, Refusal):
        return zone
    named = more.zone(zone.zone.id).option
    chosen = ways.get(str(zone.zone.id), "")
    if named is None and any(o.key == chosen for o in zone.answer):
        named = chosen
    begun = option_named(zone.answer, named, f"zone.{zone.zone.id}.option")
    return replace(zone, answer=(begun, *(o for o in zone.answer if o is not begun)))


def _solve(stage: Stage, done: ZoneProgress, again: Pair, asked: str) -> ZoneResumed:
    return zone_resumed(stage, done, again)


def _onward(
    state: State, since: Entry, survey: Survey, going: Going, more: Progress
) -> ZoneResumed:
    """How a zone goes on from its newest stage, with what the file says more of it."""
    if going.status != "ready":
        raise Contradiction(
            f"zone.{going.zone}", going.name, "cannot be resumed as it was before", going.trouble
        )
    tables = tables_now(state, since, going, survey)
    progress = progress_now(tables, survey, going).with_more(more)
    root = going.stage.root
    done = progress.zone(root.id)
    return zone_resumed(going.stage, done, (progress.stub(root.inlet), progress.stub(root.outlet)))
