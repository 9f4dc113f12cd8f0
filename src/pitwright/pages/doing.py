"""What there is to do at a stage of a zone's work, and when each thing of it was done.

Nothing is counted here but what stands in the record. [s]
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import pairwise

from pitwright.joining.assembly import Step
from pitwright.pages.standing import Going
from pitwright.records.fold import Fact, State
from pitwright.records.progress import labelled, of_way, step_label
from pitwright.renewal.going_on import INLET, OUTLET
from pitwright.resuming import Stage
from pitwright.units.inches import SIXTEENTH, both_text
from pitwright.wording.chances import held_pieces, held_rolls
from pitwright.wording.steps import LEFT_LONG, capital, step_check, step_words

__all__ = [
    "DRY_CODES",
    "Doing",
    "cut_as_planned",
    "doings",
    "done_at",
    "held_of",
    "standing_before",
    "step_fact",
    "still_long",
]

DRY_CODES = ("dry_fit", "park", "push_aside", "brace", "water_on", "dry fit")
"""What is done anew once anything of the train was changed."""


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing to do: its name in the record, its words, its joints (from 1), its waits [s].

    ``about`` is the piece, stub or joint that it is of; ``cuts`` the letter of the piece that it
    cuts, or "inlet" or "outlet", to ``length`` [m].
    """

    name: str
    words: str
    code: str
    check: str = ""
    joints: tuple[int, ...] = ()
    hold: float = 0.0
    wait: float = 0.0
    cure: float = 0.0
    stop: bool = False
    about: str = ""
    cuts: str = ""
    length: float = 0.0

    @property
    def said(self) -> str:
        """Its first sentence, for the record."""
        return self.words.partition(". ")[0].rstrip(".")[:200]

    def is_like(self, other: Doing) -> bool:
        """Whether it is the same thing at another stage of the same train."""
        return (self.code, self.joints, self.about) == (other.code, other.joints, other.about)


def held_of(stage: Stage) -> tuple[str, ...]:
    """The pieces that are trimmed last at a stage: not those whose length is known by now."""
    held = held_pieces(stage.option.doubt)
    if stage.came is None or not stage.came.same:
        return held
    known = {*stage.anew, *dict(stage.cut)}
    return tuple(letter for letter in held if letter not in known)


def still_long(going: Going, letter: str, off: float) -> bool:
    """Whether a piece that much longer than planned is one left long, to be trimmed last. [m]"""
    return letter in held_of(going.stage) and 0.0 < off <= LEFT_LONG + SIXTEENTH


def _rolls_of(stage: Stage) -> tuple[str, ...]:
    """The bends that are rolled at the dry fit of a stage: not where the same train goes on."""
    if stage.came is not None and stage.came.same:
        return ()
    return held_rolls(stage.option.doubt)


def doings(stage: Stage) -> tuple[Doing, ...]:
    """What there is to do at a stage; without an order, the pieces and then the joints."""
    zone, option = str(stage.root.id), stage.option
    if option.assembly is not None:
        held, rolls = held_of(stage), _rolls_of(stage)
        stubs = {w.stub: name for w, name in zip(option.stubs, (INLET, OUTLET), strict=True)}
        made = [
            _doing(step_label(zone, stage.number, n, s.code), s, held, rolls, stubs)
            for n, s in enumerate(option.assembly.steps, start=1)
        ]
        first = option.assembly.first  # of the shut-off: no piece and no cut of the train
        ahead = (replace(d, about="", cuts="", length=0.0) for d in made[:first])
        return (*ahead, *made[first:])
    pieces = [
        Doing(
            labelled(zone, stage.number, f"piece {p.letter}"),
            f"Cut piece {p.letter} to {both_text(p.length)}.",
            "piece",
            about=p.letter,
            cuts=p.letter,
            length=p.length,
        )
        for p in option.cuts.pieces
    ]
    joints = [
        Doing(
            labelled(zone, stage.number, f"joint {n}"),
            f"Joint {n}: {j.before} to {j.after} ({j.where.value}).",
            "joint",
            joints=(n,),
        )
        for n, j in enumerate(option.cuts.joints, start=1)
    ]
    dry = Doing(
        labelled(zone, stage.number, "dry fit"),
        "Prove it dry, every depth mark showing.",
        "dry fit",
    )
    return (*pieces, dry, *joints)


def _doing(
    name: str, step: Step, held: Sequence[str], rolls: Sequence[str], stubs: dict[str, str]
) -> Doing:
    numbers, names = dict(step.numbers), dict(step.names)
    waits = step.waits
    stub = names.get("stub", "")
    about = names.get("piece") or names.get("joint") or stubs.get(stub, stub)
    cuts = about if step.code in ("cut_piece", "cut_stub") else ""
    return Doing(
        name,
        capital(step_words(step, held, rolls)),
        step.code,
        step_check(step),
        tuple(j + 1 for j in step.joints),
        waits.hold,
        waits.set,
        waits.cure,
        step.stop,
        about,
        cuts,
        numbers.get("length", numbers.get("cut", 0.0)) if cuts else 0.0,
    )


def step_fact(state: State, going: Going, doing: Doing, at: int = -1) -> Fact | None:
    """The entry that says that a step of a stage (the newest unless ``at``) is done."""
    fact = _newest_said(state, going, doing, at)
    return fact if fact is not None and fact.value("done") != "no" else None


def _newest_said(state: State, going: Going, doing: Doing, at: int) -> Fact | None:
    """What was said of it last: that it is done, or that it is open again."""
    number = at if at >= 0 else len(going.stages) - 1
    since = going.begun[number - 1].since if number else -1
    way = going.stages[number].option.key
    for fact in reversed(state.of_kind("step")):
        mine = str(fact.value("step")) == doing.name and of_way(fact, way)
        if mine and fact.entry.header.lamport > since:
            return fact
    return None


def done_at(state: State, going: Going, doing: Doing, at: int = -1) -> datetime | None:
    """When a step was checked; None while it is open.

    What was done of the same train at the stage before stands, unless it is to be done anew.
    """
    number = at if at >= 0 else len(going.stages) - 1
    fact = _newest_said(state, going, doing, number)
    if fact is not None:
        return fact.happened.last if fact.value("done") != "no" else None
    if number and _stands(going.stages[number], doing):
        for before in doings(going.stages[number - 1]):
            if before.is_like(doing):
                return done_at(state, going, before, number - 1)
    return None


def _stands(stage: Stage, doing: Doing) -> bool:
    """Whether what was done before the work was resumed still counts."""
    came = stage.came
    if came is None or not came.same:
        return False
    if doing.joints:
        return set(doing.joints) <= set(stage.joints)
    if doing.cuts or doing.code == "check_before_cut":
        return doing.about not in stage.anew
    if doing.code in DRY_CODES:
        return not (came.recut or came.rolled or came.lost or stage.anew)
    return not (doing.code == "make_up_unit" and "valve" in came.lost)


def standing_before(state: State, going: Going) -> Iterator[tuple[Doing, datetime]]:
    """The joints of earlier trains that still stand under the newest one, and when each was made.

    Of a train that is gone on with the joints are its own steps, and are not told here.
    """
    for number, (stage, then) in enumerate(pairwise(going.stages)):
        base = then.came.base if then.came is not None else None
        held = next((b.held for b in going.stage.bases if base and b.option is base.option), (0, 0))
        count = len(stage.option.cuts.joints)
        kept = {*range(1, held[0] + 1), *range(count - held[1] + 1, count + 1)}
        for doing in doings(stage) if kept else ():
            at = done_at(state, going, doing, number) if doing.joints else None
            if at is not None and set(doing.joints) <= kept:
                yield doing, at


def cut_as_planned(state: State, going: Going) -> dict[str, str]:
    """Pieces and stubs whose cut was checked at the newest stage, with the length of the plan.

    A piece that is trimmed last is not among them: checked, it is still long. [in]
    """
    stage = going.stages[-1]
    held = held_of(stage)
    return {
        d.cuts: both_text(d.length).partition(" (")[0]
        for d in doings(stage)
        if d.cuts and d.cuts not in held and step_fact(state, going, d) is not None
    }
