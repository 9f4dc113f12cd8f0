"""``pitwright resume``: a plan half built and what differs in, how to go on out."""

from __future__ import annotations

import argparse
import json
import sys

from pitwright import __version__
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli import record_plan
from pitwright.cli.files import write_files
from pitwright.cli.main import OK, REFUSED
from pitwright.cli.record_place import place_options
from pitwright.errors import Missing
from pitwright.planning import plan
from pitwright.resuming import resumed
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.progress import Progress, load_progress
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
    survey, progress = _recorded(args) if args.origin else _given(args.given)
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


def _recorded(args: argparse.Namespace) -> tuple[Survey, Progress]:
    """The survey of the newest plan at a pit, and what was noted there since."""
    from pitwright.cli.record_ground import opened, pit_of
    from pitwright.pages.again import going_on
    from pitwright.records.entry import short
    from pitwright.records.pits import survey_of

    if len(args.given) > 1:
        raise Missing("FILE", "with --from name at most the file that says how far the work is")
    with opened(args) as store:
        place = pit_of(store, args.origin)
        saved = survey_of(store, place, args.entry)
        state = store.state(place.site, place.subject)
    name = f"survey of {short(saved.entry.id)} in the record"
    survey = read_survey(saved.survey.decode("utf-8"), name, load_shelf())
    progress, noted = going_on(state, saved.entry, survey)
    for label in noted.unplaced:
        hint = 'label joints as "ZONE 3" and pieces as "ZONE A"'
        print(f'pitwright: "{label}" names no joint or piece of this plan; {hint}', file=sys.stderr)
    if args.given:
        progress = progress.with_more(load_progress(args.given[0], survey))
    return survey, progress
