"""``pitwright wire``: readings of buried valve wiring in; places, odds and the next test out."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable
from dataclasses import dataclass, replace

from pitwright.cli.files import write_files
from pitwright.cli.main import OK, REFUSED
from pitwright.errors import BadInput, Missing
from pitwright.survey.harness import Harness
from pitwright.survey.harness_file import HarnessFile, load_harness
from pitwright.wiring.answer import Answer, Desk, answer, desk
from pitwright.wiring.measuring import MeterTest, Reading, Site
from pitwright.wiring.readings import parse_line, parse_shown
from pitwright.wiring.rewiring import Rewiring, rewiring
from pitwright.wording.wiring import answer_text, rewiring_text, test_words
from pitwright.wording.wiring_data import answer_data, rewiring_data

HELP = "which wire, which splice: places, odds and the next best test from meter readings"
PROMPT = "reading> "
WELCOME = """\
One reading at a time. Type what the meter shows for the test proposed, or "what: shown" for any
other test. Words: back (take the last one away), list, tests, skip, done."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument("harness", metavar="FILE", help="the wiring as found, a *.harness.toml")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")
    parser.add_argument("--ask", action="store_true", help="ask for one reading at a time")
    parser.add_argument(
        "--read", action="append", default=[], metavar="READING", help='one more: "S2 to C1: OL"'
    )
    parser.add_argument("--box", metavar="BOX", help="print the rewiring plan of an opened box")
    parser.add_argument("--out", metavar="DIR", help="also write answer, drawing and test card")
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="size of paper")


def run(args: argparse.Namespace) -> int:
    """Work it out and print it; 3 when this kind of control is refused."""
    file = load_harness(args.harness)
    if args.box:
        return _rewire(args, file)
    ready = desk(file.harness)
    readings = tuple(_read(file, args.read))
    got = answer(ready, readings, site_of(file.harness, readings))
    if args.ask:
        got = Asking(ready, readings).loop(sys.stdin, print)
    document = json.dumps(answer_data(file.harness, got), indent=2, ensure_ascii=False)
    text = answer_text(file.harness, got, bool(ready.plain))
    if args.out:
        write_files(args.out, wire_files(file.harness, got, text, document, args.paper))
    if not args.ask:
        print(document if args.json else text)
    return REFUSED if got.refusal is not None else OK


def wire_files(
    harness: Harness, got: Answer, text: str, document: str, paper: str
) -> dict[str, bytes]:
    """Every file of an answer by name. Drawings are imported only when they are wanted."""
    from pitwright.paper.harness_sheet import harness_pdf, harness_svg, test_card_pdf

    return {
        "wiring.json": f"{document}\n".encode(),
        "wiring.txt": f"{text}\n".encode(),
        "harness.svg": harness_svg(harness, got),
        "harness.pdf": harness_pdf(harness, got, paper),
        "test-card.pdf": test_card_pdf(harness, got, paper),
    }


def _rewire(args: argparse.Namespace, file: HarnessFile) -> int:
    seen = next((o for o in file.opened if o.box == args.box), None)
    plan: Rewiring = rewiring(file.harness, args.box, seen)
    if args.json:
        print(json.dumps(rewiring_data(file.harness, plan), indent=2, ensure_ascii=False))
    else:
        print(rewiring_text(file.harness, plan))
    return OK


def _read(file: HarnessFile, extra: Iterable[str]) -> Iterable[Reading]:
    for number, (said, line) in enumerate(file.readings):
        try:
            yield parse_line(said, file.harness, f"readings.{number}")
        except BadInput as mistake:
            raise mistake.at(file.file, line) from None
    for said in extra:
        yield parse_line(said, file.harness, "--read")


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
            named = f"{test_words(harness, reading.test).partition(':')[0]}: {line}"
            self.readings = (*self.readings, replace(reading, text=named))
