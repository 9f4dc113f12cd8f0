"""A new piece, bend, valve or joint broke or seeps: what is made again, and what is cut back.

What is not glued yet is made again: its steps are open once more. What is glued goes with what it
is glued to, as far as sound pipe: of a piece cut through is asked what is left, a stub is measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.again import again_want, stages_by_stub
from pitwright.pages.as_cut import as_cut_known, planned_text
from pitwright.pages.asked import Asked, Taken, Want
from pitwright.pages.doing import DRY_CODES, doings, done_at
from pitwright.pages.frame import trouble_box
from pitwright.pages.html import Child, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.readings import Typed
from pitwright.pages.standing import Going, Pit
from pitwright.records.kinds import slug
from pitwright.records.progress import labelled
from pitwright.renewal.cut_out import CutOut, cut_out
from pitwright.renewal.standing import standing
from pitwright.trains.cut_list import CutList, Piece
from pitwright.units.kinds import INCH
from pitwright.units.measure import measure
from pitwright.wording.cut_out import cut_out_words, item_names, shows_hint
from pitwright.wording.steps import capital

__all__ = ["PART", "part_form", "part_taken"]

PART = "part-broke"
_EARLIER = (
    "It was glued before the work was resumed, apart from both stubs: take the resumed plan back "
    "first, and say it there."
)


@dataclass(frozen=True, slots=True)
class Broke:
    """What was chosen: its zone's work, its words, what goes with it."""

    going: Going
    name: str
    out: CutOut

    @property
    def cuts(self) -> CutList:
        """The train it is of."""
        return self.going.stage.option.cuts

    def left(self, letter: str) -> str:
        """The field that asks what is left of a piece."""
        return f"left-{slug(self.going.zone)}-{letter.lower()}"


def _made(pit: Pit, going: Going) -> frozenset[int]:
    """The joints of the newest train that are made, from 1."""
    done = (d for d in doings(going.stage) if d.joints and done_at(pit.state, going, d))
    return frozenset({*going.stage.joints, *(n for d in done for n in d.joints)})


def _choices(pit: Pit) -> Iterator[tuple[str, str]]:
    ready = [g for g in pit.goings if g.status == "ready"]
    for going in ready:
        of = f"{going.name}: " if len(ready) > 1 else ""
        cuts, made = going.stage.option.cuts, _made(pit, going)
        for n, name in enumerate(item_names(cuts)):
            yield f"{going.zone}/item/{n}", capital(f"{of}{name}")
        for n, joint in enumerate(cuts.joints, 1):
            if n in made:
                yield f"{going.zone}/joint/{n}", f"{of}Joint {n}, {joint.before} to {joint.after}"
        for side in (0, 1):
            if any(base.held[side] for base in going.stage.bases):
                yield f"{going.zone}/base/{side}", f"{of}{_before(going, side)}"


def _before(going: Going, side: int) -> str:
    return f"What stands on {_stubs(going)[side]} from before"


def _stubs(going: Going) -> tuple[str, str]:
    return str(going.stage.root.inlet), str(going.stage.root.outlet)


def _broke(pit: Pit, said: str) -> Broke | None:
    if said not in [value for value, _ in _choices(pit)]:
        return None
    zone, kind, text = said.rsplit("/", 2)
    going, number = pit.going(zone), int(text)
    assert going is not None  # it is among the choices
    cuts, made = going.stage.option.cuts, _made(pit, going)
    if kind == "base":
        return Broke(going, _before(going, number), CutOut((), stubs=(number,)))
    if kind == "joint":
        out = cut_out(cuts, made, joint=number)
        joint = cuts.joints[number - 1]
        return Broke(going, f"joint {number} ({joint.before} to {joint.after})", out)
    return Broke(going, list(item_names(cuts))[number], cut_out(cuts, made, item=number))


def part_form(pit: Pit, asked: Asked) -> Child:
    """The pieces, bends, valve and joints of what is built, and what happened to one of them."""
    asked = asked.own(PART)
    choices = list(_choices(pit))
    if not choices:
        return ""
    broke = _broke(pit, asked.said("part"))
    asks = broke.out.back if broke is not None and asked.trouble else ()
    return h(
        "details",
        h("summary", "A new piece, bend, valve or joint broke or seeps"),
        h(
            "p",
            "Not glued yet: it is made again, and its steps are open once more. Glued: cement does "
            "not let go. It is cut out with what is glued to it, back to the piece on either side, "
            "or to the stub; what is left there is asked for.",
        ),
        fields.form(
            asked,
            f"{pit.home}/resume",
            trouble_box(asked),
            fields.choice(asked, "part", "What broke or seeps", [("", "—"), *choices]),
            fields.text(asked, "happened", "How it broke", hint="cracked; seeps; went in askew"),
            h("p", capital(_means(broke))) if broke is not None and asked.trouble else "",
            *(_left(asked, broke, letter, depth) for letter, depth in asks if broke),
            name=PART,
            seen=pit.count,
            button="Save, and go on from here" if not asks else "Save what is left",
        ),
        open=bool(asked.trouble) or None,
        id="part",
    )


def _left(asked: Asked, broke: Broke, letter: str, depth: float) -> Child:
    return fields.length(
        asked,
        broke.left(letter),
        f"What shows of piece {letter} now",
        hint=shows_hint(depth),
    )


def _means(broke: Broke) -> str:
    return cut_out_words(broke.cuts, broke.out, _stubs(broke.going))


def part_taken(pit: Pit, asked: Asked) -> Taken:
    """Steps open again, joints cut out, what is left of a piece, the stub that is cut back."""
    broke, happened = _broke(pit, asked.said("part")), asked.said("happened").strip()
    if broke is None:
        return Taken(trouble={"part": "Choose what broke or seeps."})
    told = happened or "broke"
    broke = _as_it_stands(pit, broke)
    if broke is None:
        return Taken(trouble={"part": _EARLIER})
    wrong: dict[str, str] = {}
    text = f"{capital(broke.name)}: {told}. {_means(broke)}"
    wants = [Want("note", {"text": text}), *_kept(pit, asked, broke, wrong)]
    wants += _open_again(pit, broke)
    stages = stages_by_stub(pit)
    for side in broke.out.stubs:
        path = ("stub", _stubs(broke.going)[side], "broken")
        wants.append(again_want(stages, path, f"{broke.name}: {told}"))
    go = f"{pit.home}/build#zone-{broke.going.zone}"
    if broke.out.joints or broke.out.stubs:
        go = f"{pit.home}/resume{'#again' if broke.out.stubs else ''}"
    return Taken(tuple(wants), go, wrong)


def _as_it_stands(pit: Pit, broke: Broke) -> Broke | None:
    """What was glued before the work was resumed is cut off whole, at its stub; None: at neither.

    The joints made before are part of the plan gone on with, which has no train without them.
    """
    if not set(broke.out.joints) & set(broke.going.stage.joints):
        return broke
    stands = standing(broke.cuts, sorted(_made(pit, broke.going)))
    last = stands.count - stands.outlet
    numbers = [n - 1 for n in broke.out.joints]
    sides = [s for s, hit in enumerate((min(numbers) < stands.inlet, max(numbers) >= last)) if hit]
    return replace(broke, out=CutOut((), stubs=tuple(sides))) if sides else None


def _kept(pit: Pit, asked: Asked, broke: Broke, wrong: dict[str, str]) -> Iterator[Want]:
    """What is left of each piece cut through, as its length from end to end."""
    going = broke.going
    unit = pit.readings.get(("pit", "unit"), Typed("in")).text
    for letter, depth in broke.out.back:
        name, said = broke.left(letter), asked.said(broke.left(letter)).strip()
        piece = next(p for p in broke.cuts.pieces if p.letter == letter)
        label = labelled(going.zone, going.number, letter)
        most = max(piece.length, as_cut_known(pit, going, piece)) - depth
        try:
            shows = measure(said, default=unit, where=name, low=0.0, high=most).si
        except BadInput as mistake:
            wrong[name] = trouble_of(mistake) if said else "Measure what is left of it."
            continue
        body = {
            "letter": label,
            "cut": f"{(shows + depth) / INCH:.4f} in",
            "planned": planned_text(piece.length),
            "way": going.stage.option.key,
            "note": f"cut through: {said} shows",
        }
        yield Want("piece", body, f"piece/{slug(label)}")


def _open_again(pit: Pit, broke: Broke) -> Iterator[Want]:
    """The steps, cuts and joints of what is made again, and what is proved dry anew."""
    going, cuts = broke.going, broke.cuts
    way = going.stage.option.key
    lost = [cuts.items[n] for n in broke.out.again]
    letters = {i.letter for i in lost if isinstance(i, Piece)}
    valve = any(not isinstance(i, Piece) and i.name == "valve" for i in lost)
    for doing in doings(going.stage) if lost else ():
        mine = set(doing.joints) & set(broke.out.joints) or doing.cuts in letters
        anew = doing.code in DRY_CODES or (valve and doing.code == "make_up_unit")
        if (mine or anew) and done_at(pit.state, going, doing) is not None:
            body = {"step": doing.name, "done": "no", "zone": going.zone, "way": way}
            body["what"] = doing.said
            yield Want("step", body, f"step/{slug(doing.name)}")
    for number in broke.out.joints:
        label = labelled(going.zone, going.number, number)
        yield Want("joint", {"label": label, "made": "no", "way": way})
    for letter in sorted(letters):
        label = labelled(going.zone, going.number, letter)
        known = pit.fact("piece", letter=label)
        if known is not None and known.value("made") != "no":
            body = {"letter": label, "cut": known.value("cut"), "made": "no", "way": way}
            yield Want("piece", body, f"piece/{slug(label)}")
