"""What was really cut: a piece, what came off a stub, a length marked in place at the dry fit."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Taken, Want
from pitwright.pages.doing import Doing, doings, still_long
from pitwright.pages.frame import notice
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.readings import Typed
from pitwright.pages.standing import Going, Pit
from pitwright.records.fold import Fact
from pitwright.records.kinds import slug
from pitwright.records.progress import labelled, of_way
from pitwright.renewal.going_on import INLET, OUTLET
from pitwright.trains.cut_list import Piece
from pitwright.units.inches import both_text
from pitwright.units.kinds import INCH
from pitwright.units.measure import measure

__all__ = [
    "as_cut",
    "as_cut_known",
    "differing",
    "differs",
    "dry_fit_form",
    "planned_text",
    "take_as_cut",
    "take_dry_fit",
]

_SAME = 2e-4
"""What differs less is as planned. [m]"""
_MATTERS = INCH / 16
"""What differs more is worth asking how the rest goes on. The tape's own mark, common practice, no
source. [m]"""
_SLOTS = {"piece": "cut", "mark": "marked"}


@dataclass(frozen=True, slots=True)
class _Length:
    """One length that may be said: as cut (kind piece) or marked; as planned, and as typed so far.

    ``planned`` in metres.
    """

    kind: str
    name: str
    label: str
    planned: float
    known: Fact | None

    @property
    def typed(self) -> str:
        """As it was typed; empty before."""
        value = self.known.value(_SLOTS[self.kind], {}) if self.known else {}
        return str((value or {}).get("typed", ""))

    @property
    def field(self) -> str:
        """The name of its field."""
        return f"{'cut' if self.kind == 'piece' else 'mark'}-{slug(self.label)}"

    @property
    def asks(self) -> str:
        """What its field asks for."""
        if self.name in (INLET, OUTLET):
            return f"Really cut off the {self.name} stub"
        how = "as cut" if self.kind == "piece" else "marked in place"
        return f"Piece {self.name} {how}"

    @property
    def off(self) -> float:
        """How much longer it is than planned; 0 while nothing was typed. [m]"""
        return measure(self.typed, default="in").si - self.planned if self.typed else 0.0


def _length(pit: Pit, going: Going, kind: str, name: str, planned: float) -> _Length:
    label = labelled(going.zone, going.number, name)
    since = going.begun[-1].since if going.begun else -1
    known = pit.fact(kind, letter=label)
    way = going.stage.option.key
    if (
        known is None
        or known.entry.header.lamport <= since
        or not of_way(known, way)
        or known.value("made") == "no"
    ):
        known = None
    return _Length(kind, name, label, planned, known)


def _lengths(pit: Pit, going: Going) -> Iterator[_Length]:
    """Every length of a stage that may be said."""
    cuts = going.stage.option.cuts
    for piece in cuts.pieces:
        yield _length(pit, going, "mark", piece.letter, piece.length)
        yield _length(pit, going, "piece", piece.letter, piece.length)
    for name, off in ((INLET, cuts.inlet_cut), (OUTLET, cuts.outlet_cut)):
        yield _length(pit, going, "piece", name, off)


def as_cut(pit: Pit, asked: Asked, going: Going, doing: Doing) -> Html:
    """The form for how a piece or a stub was really cut."""
    one = _length(pit, going, "piece", doing.cuts, doing.length)
    inner = asked.own(one.field)
    typed = one.typed
    form = h(
        "details",
        h("summary", f"As really cut{': ' + typed if typed else ''}"),
        _compared(one),
        fields.form(
            inner,
            f"{pit.home}/build",
            fields.hidden("letter", one.label),
            fields.length(inner, one.field, one.asks, typed),
            name=one.field,
            seen=pit.count,
            button="Save its length",
        ),
        _away(pit, asked, one),
        open=bool(inner.trouble) or None,
    )
    return h("div", _told_at_once(pit, going, one), form)


def _told_at_once(pit: Pit, going: Going, one: _Length) -> Child:
    """Beside its field: that a length is off the plan, and what can be done about it."""
    if abs(one.off) <= _MATTERS:
        return ""
    if still_long(going, one.name, one.off):
        said = f"Piece {one.name} is {both_text(one.off)} longer than planned, to be trimmed last"
        return h("p", f"{said}: say its length again after the dry fit.", class_="echo")
    stub, long = one.name in (INLET, OUTLET), one.off > 0
    much = both_text(abs(one.off))
    if stub:
        said = f"{much} too {'much' if long else 'little'} came off the {one.name} stub."
    else:
        said = f"Piece {one.name} is {much} too {'long' if long else 'short'}."
    least = stub != long  # it can be put right with the saw
    way = "Cut the rest off" if stub and least else "Trim it" if least else "Cut another one"
    lost = stub and not least
    more = "" if lost else f" {way} and say its length again; or see what fits it as it is."
    return notice(
        h("p", h("b", said), " Do not glue it yet.", more),
        h("p", h("a", "Go on from here", href=f"{pit.home}/resume", class_="main")),
        kind="stop",
    )


def _compared(one: _Length, *, named: bool = False) -> Child:
    if not one.typed:
        return ""
    way = "long" if one.off > 0 else "short"
    said = "as planned" if abs(one.off) < _SAME else f"{both_text(abs(one.off))} too {way}"
    if one.kind == "mark":
        more = "longer" if one.off > 0 else "shorter"
        same = abs(one.off) < _SAME
        said = "as planned" if same else f"{both_text(abs(one.off))} {more} than planned"
        return h("p", f"Piece {one.name} marked at {one.typed}: {said}.", class_="echo")
    word = "Cut off" if one.name in (INLET, OUTLET) else "Cut to"
    if named:
        of = f"the {one.name} stub" if one.name in (INLET, OUTLET) else f"piece {one.name}"
        word = f"{of[0].upper()}{of[1:]} {word.lower()}"
    return h("p", f"{word} {one.typed}: {said}.", class_="echo")


def _away(pit: Pit, asked: Asked, one: _Length) -> Child:
    """Take a length back that was not so."""
    if one.known is None:
        return ""
    return h(
        "form",
        fields.hidden("token", asked.token),
        fields.hidden("ids", one.known.id),
        fields.hidden("back", f"{pit.home}/build"),
        h("button", "Take it back", type="submit", class_="quiet",
          aria_label=f"Take back: {one.asks} {one.typed}"),
        method="post",
        action="/undo",
    )  # fmt: skip


def dry_fit_form(pit: Pit, asked: Asked, going: Going, every: tuple[Doing, ...]) -> Html:
    """The lengths marked in place, and cuts at the stubs that no step asks for."""
    asked_for = {d.cuts for d in every if d.cuts}
    inner = asked.own(f"dry-{slug(going.zone)}")
    lengths = [
        one
        for one in _lengths(pit, going)
        if one.kind == "mark" or (one.name in (INLET, OUTLET) and one.name not in asked_for)
    ]
    known = [one for one in lengths if one.typed]
    return h(
        "details",
        h("summary", "Marked in place, or cut at a stub" + (f" ({len(known)})" if known else "")),
        h(
            "p",
            "With everything dry and every joint bottomed, a piece left long is marked where it "
            "must end. A mark says where the stub really is, and wins over the readings.",
        ),
        *(h("div", _compared(one), _away(pit, asked, one)) for one in known),
        fields.form(
            inner,
            f"{pit.home}/build",
            fields.hidden("dry", going.zone),
            *(fields.length(inner, one.field, one.asks, one.typed) for one in lengths),
            name=f"dry-{slug(going.zone)}",
            seen=pit.count,
            button="Save these lengths",
        ),
        open=bool(inner.trouble) or None,
    )


def _off(pit: Pit, going: Going) -> list[_Length]:
    return [
        one
        for one in _lengths(pit, going)
        if abs(one.off) > _MATTERS
        and not (one.kind == "piece" and still_long(going, one.name, one.off))
    ]


def as_cut_known(pit: Pit, going: Going, piece: Piece) -> float:
    """How long a piece is, as it was really cut, or else as planned. [m]"""
    one = _length(pit, going, "piece", piece.letter, piece.length)
    return one.planned + one.off


def differs(pit: Pit, going: Going) -> bool:
    """Whether a length differs from the plan by so much that the rest is worth working out."""
    return bool(_off(pit, going))


def differing(pit: Pit, going: Going) -> Child:
    """That lengths differ from the plan by so much that the rest should be worked out again."""
    off = _off(pit, going)
    if not off:
        return ""
    told = [_compared(one, named=True) for one in off]
    return notice(
        h("p", "This differs from the plan: ask how the rest goes on before anything is glued."),
        *told,
        h("p", h("a", "Go on from here", href=f"{pit.home}/resume", class_="main")),
        kind="check",
    )


def take_as_cut(pit: Pit, asked: Asked) -> Taken:
    """A length as it was really cut, or what is wrong with it at its field."""
    label = asked.said("letter")
    for going in pit.goings:
        for doing in doings(going.stage) if going.status == "ready" else ():
            if doing.cuts and labelled(going.zone, going.number, doing.cuts) == label:
                one = _length(pit, going, "piece", doing.cuts, doing.length)
                there = f"{pit.home}/build#step-{slug(doing.name)}"
                return replace(_taken(pit, asked, going, [one]), go=there)
    return Taken(trouble={"": "That piece is no longer there: look at the steps again."})


def take_dry_fit(pit: Pit, asked: Asked) -> Taken:
    """The lengths of the dry fit, those alone that are new; or each mistake at its field."""
    going = pit.going(asked.said("dry"))
    if going is None or going.status != "ready":
        return Taken(trouble={"": "That zone is no longer there: look at the steps again."})
    lengths = [one for one in _lengths(pit, going) if one.field in asked.form]
    return _taken(pit, asked, going, lengths)


def _taken(pit: Pit, asked: Asked, going: Going, lengths: list[_Length]) -> Taken:
    wants: list[Want] = []
    wrong: dict[str, str] = {}
    said = {one.field: asked.said(one.field).strip() for one in lengths}
    for one in lengths:
        if said[one.field] == one.typed and len(lengths) > 1:
            continue
        if not said[one.field] and one.typed:
            wrong[one.field] = "Take it back above, if it was not so; or say the right length."
            continue
        try:
            typed = _with_unit(pit, said[one.field])
        except BadInput as mistake:
            wrong[one.field] = trouble_of(mistake)
            continue
        planned = planned_text(one.planned)
        body = {"letter": one.label, _SLOTS[one.kind]: typed, "planned": planned}
        body["way"] = going.stage.option.key
        wants.append(Want(one.kind, body, f"{one.kind}/{slug(one.label)}"))
    if not wants and not wrong:
        wrong[""] = "Say at least one length."
    return Taken(tuple(wants), f"{pit.home}/build#zone-{going.zone}", wrong)


def planned_text(metres: float) -> str:
    """A length of the plan as an entry keeps it. [in]"""
    return both_text(metres).partition(" (")[0]


def _with_unit(pit: Pit, said: str) -> str:
    """A length as typed, with the pit's unit where it has none of its own and inches are not it.

    Raises BadInput for no length, or one that no piece has.
    """
    unit = pit.readings.get(("pit", "unit"), Typed("in")).text
    size = measure(said, default=unit, where="length", low=0.0, high=20.0)
    bare = unit != "in" and measure(said, default="in").si != size.si
    return f"{said} {unit}" if bare else said
