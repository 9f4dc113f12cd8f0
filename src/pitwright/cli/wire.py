"""``pitwright wire``: readings of buried valve wiring in; places, odds and the next test out."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from pitwright.cli import record_plan
from pitwright.cli.files import write_files
from pitwright.cli.main import OK, REFUSED
from pitwright.errors import BadInput, Malformed, Missing
from pitwright.survey.harness import Harness
from pitwright.survey.harness_file import HarnessFile, read_harness
from pitwright.survey.harness_text import with_readings
from pitwright.wiring.along import METHODS, Along, along
from pitwright.wiring.answer import Answer, Desk, answer, desk
from pitwright.wiring.measuring import MeterTest, Reading, Site
from pitwright.wiring.readings import parse_line, parse_shown
from pitwright.wiring.rewiring import Rewiring, rewiring
from pitwright.wording.along import along_lines, battery_used
from pitwright.wording.wiring import (
    answer_text,
    rewiring_summary,
    rewiring_text,
    summary_words,
    test_words,
)
from pitwright.wording.wiring_data import answer_data, rewiring_data

HELP = "which wire, which splice: places, odds and the next best test from meter readings"
KIND = "wiring"
"""The record's kind of entry for a harness and its answer."""
PROMPT = "reading> "
WELCOME = """\
One reading at a time. Type what the meter shows for the test proposed, or "what: shown" for any
other test. Words: back (take the last one away), list, tests, skip, done."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    origin = parser.add_mutually_exclusive_group(required=True)
    origin.add_argument(
        "harness", metavar="FILE", nargs="?", help="the wiring as found, a *.harness.toml"
    )
    origin.add_argument("--from", metavar="PIT", dest="origin", help="the harness of PIT, recorded")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")
    parser.add_argument("--ask", action="store_true", help="ask for one reading at a time")
    parser.add_argument(
        "--read", action="append", default=[], metavar="READING", help='one more: "S2 to C1: OL"'
    )
    parser.add_argument(
        "--distance", action="append", nargs="+", default=[], metavar=("METHOD", "KEY=VALUE"),
        help=f"how far along: {', '.join(METHODS)}; wire=S2 with=P1 and its readings",
    )  # fmt: skip
    parser.add_argument("--box", metavar="BOX", help="print the rewiring plan of an opened box")
    parser.add_argument("--out", metavar="DIR", help="also write answer, drawing and test card")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="size of paper")
    record_plan.configure(parser, KIND)


def run(args: argparse.Namespace) -> int:
    """Work it out and print it; 3 when this kind of control, or a distance, is refused."""
    name, data = record_plan.survey_text(args, args.harness, KIND)
    file = read_harness(data.decode("utf-8-sig"), name)
    if args.box:
        return _rewire(args, file, data)
    if args.save:
        record_plan.place(args)
    ready = desk(file.harness)
    readings = tuple(readings_in(file, args.read))
    given = [_asked(words) for words in args.distance]
    far = tuple(distances_in(file, given))
    got = answer(ready, readings, site_of(file.harness, readings))
    if args.ask:
        got = Asking(ready, readings).loop(sys.stdin, print)
    far = far if got.refusal is None else ()
    document = json.dumps(answer_data(file.harness, got, far), indent=2, ensure_ascii=False)
    lines = along_lines(file.harness, far)
    text = answer_text(file.harness, got, bool(ready.plain), lines, battery_used(far))
    kept = _kept(data, [r.text for r in got.readings], given) if args.save else data
    if args.out:
        write_files(args.out, wire_files(file.harness, got, text, document, args.paper, far))
    if args.save:
        summary = summary_words(file.harness, got)
        _save(args, kept, document, file.harness.name, summary)
    if not args.ask:
        print(document if args.json else text)
    elif lines:
        print("\n".join(lines))
    refused = got.refusal is not None or any(one.refusal is not None for one in far)
    return REFUSED if refused else OK


def wire_files(
    harness: Harness, got: Answer, text: str, document: str, paper: str, far: Sequence[Along] = ()
) -> dict[str, bytes]:
    """Every file of an answer by name. Drawings are imported only when they are wanted."""
    from pitwright.paper.harness_sheet import harness_pdf, harness_svg, test_card_pdf

    return {
        "wiring.json": f"{document}\n".encode(),
        "wiring.txt": f"{text}\n".encode(),
        "harness.svg": harness_svg(harness, got, far),
        "harness.pdf": harness_pdf(harness, got, paper, far),
        "test-card.pdf": test_card_pdf(harness, got, paper),
    }


def _rewire(args: argparse.Namespace, file: HarnessFile, data: bytes) -> int:
    for option, given in (
        ("--read", args.read),
        ("--distance", args.distance),
        ("--ask", args.ask),
    ):
        if given:
            raise Malformed(option, args.box, "does not go with --box", "ask for one of the two")
    seen = next((o for o in file.opened if o.box == args.box), None)
    plan: Rewiring = rewiring(file.harness, args.box, seen)
    document = json.dumps(rewiring_data(file.harness, plan), indent=2, ensure_ascii=False)
    if args.save:
        summary = rewiring_summary(plan)
        _save(args, data, document, file.harness.name, summary)
    print(document if args.json else rewiring_text(file.harness, plan))
    return OK


def _save(args: argparse.Namespace, data: bytes, document: str, name: str, summary: str) -> None:
    """Keep the harness and the answer in the record; the line that says so goes to stderr."""
    told = record_plan.save(args, data, document, title=name, summary=summary, kind=KIND)
    print(told, file=sys.stderr)


def _kept(data: bytes, readings: Sequence[str], given: Sequence[Mapping[str, str]]) -> bytes:
    """The harness's bytes with the readings of this run; the same bytes when it brought none."""
    text = data.decode("utf-8")
    now = with_readings(text, readings, given)
    return data if now == text else now.encode()


def _asked(words: Sequence[str]) -> dict[str, str]:
    """``--distance murray wire=S2 ...`` as the keys of a ``[[distance]]``."""
    found = {"method": words[0]}
    for word in words[1:]:
        key, equals, said = word.partition("=")
        if not equals or not key.strip():
            raise Malformed("--distance", word, "must be KEY=VALUE", "like wire=S2 with=P1")
        if key.strip() in found:
            raise Malformed("--distance", word, "is given twice", "give each key once")
        found[key.strip()] = _text("--distance", said)
    return found


def distances_in(file: HarnessFile, given: Iterable[Mapping[str, str]]) -> Iterable[Along]:
    """What the file asks how far along, then what was ``given``. Raises BadInput. [m]"""
    for number, (asked, line) in enumerate(file.distances):
        try:
            yield along(file.harness, asked, f"distance.{number}")
        except BadInput as mistake:
            raise mistake.at(file.file, line) from None
    for asked in given:
        yield along(file.harness, asked, "--distance")


def readings_in(file: HarnessFile, extra: Iterable[str]) -> Iterable[Reading]:
    """The readings of the file, then the ``extra`` lines. Raises BadInput."""
    for number, (said, line) in enumerate(file.readings):
        try:
            yield parse_line(said, file.harness, f"readings.{number}")
        except BadInput as mistake:
            raise mistake.at(file.file, line) from None
    for said in extra:
        yield parse_line(_text("--read", said), file.harness, "--read")


def _text(option: str, said: str) -> str:
    """What was typed, if it is text: bytes a terminal could not read would spoil every file."""
    try:
        said.encode("utf-8")
    except UnicodeEncodeError:
        raise Malformed(option, said, "must be UTF-8 text", "type it again") from None
    return said


def site_of(harness: Harness, readings: Iterable[Reading]) -> Site:
    """What is open already: the boxes the file names, and what the readings took to make."""
    site = Site(frozenset(harness.opened))
    for reading in readings:
        if reading.test.kind != "moves":
            site = site.after(harness, reading.test)
    return site


@dataclass(slots=True)
class Asking:
    """The loop that asks: readings so far, and tests the person would rather not make."""

    ready: Desk
    readings: tuple[Reading, ...]
    skipped: frozenset[MeterTest] = frozenset()

    def answer(self) -> Answer:
        """The answer to the readings so far, the skipped tests left out."""
        site = site_of(self.ready.harness, self.readings)
        got = answer(self.ready, self.readings, site)
        return replace(got, tests=tuple(t for t in got.tests if t.test not in self.skipped))

    def loop(self, lines: Iterable[str], say: object) -> Answer:
        """Ask until done, the input ends, or there is nothing left to ask. Raises nothing."""
        tell = say if callable(say) else print
        harness = self.ready.harness
        tell(WELCOME)
        got = self.answer()
        tell("\n" + answer_text(harness, got, bool(self.ready.plain)))
        source = iter(lines)
        while got.refusal is None:
            offered = got.tests[0].test if got.tests else None
            if offered is not None:
                tell(f"\nNext: {test_words(harness, offered)}")
            print(PROMPT, end="", flush=True)
            line = next(source, None)
            if line is None or line.strip().lower() in ("done", "quit", "exit", "q"):
                tell("")
                break
            before = (self.readings, self.skipped)
            try:
                self._take(line.strip(), offered, got, tell)
                got = self.answer()
            except BadInput as mistake:
                self.readings, self.skipped = before
                tell(f"! {mistake}")
                continue
            if (self.readings, self.skipped) != before:
                tell("\n" + answer_text(harness, got, bool(self.ready.plain)))
        return got

    def _take(self, line: str, offered: MeterTest | None, got: Answer, tell: object) -> None:
        """One line: a word of command, a whole reading, or what the offered test showed."""
        harness = self.ready.harness
        word = line.lower()
        say = tell if callable(tell) else print
        if not word:
            return
        if word in ("back", "undo"):
            if not self.readings:
                raise Missing("reading", "there is none to take away")
            self.readings = self.readings[:-1]
        elif word == "list":
            for number, reading in enumerate(self.readings, 1):
                say(f"  {number}. {reading.text}")
        elif word == "tests":
            for worth in got.tests:
                say(f"  {test_words(harness, worth.test)}")
        elif word == "skip":
            if offered is None:
                raise Missing("test", "there is none to skip")
            self.skipped |= {offered}
        elif ":" in line:
            self.readings = (*self.readings, parse_line(line, harness))
        elif offered is None:
            raise Missing("test", 'none is proposed now; write the test first: "S2 to C1: OL"')
        else:
            reading = parse_shown(line, offered, harness)
            named = _as_line(line, reading, harness)
            self.readings = (*self.readings, replace(reading, text=named))


def _as_line(line: str, reading: Reading, harness: Harness) -> str:
    """A reading of an offered test as a line that says the same when it is read again."""
    what = test_words(harness, reading.test).partition(":")[0]
    fuller = {"moves": f"runs {line}", "amps": f"{line} A", "volts-wires": f"{line}, no load"}
    for said in (line, fuller.get(reading.test.kind, line)):
        with suppress(BadInput):
            again = parse_line(f"{what}: {said}", harness)
            if (again.test, again.value) == (reading.test, reading.value):
                return again.text
    return f"{what}: {line}"
