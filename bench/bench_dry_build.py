"""Pits drawn true, measured, planned and built with error: how often does the work close?

``python -m bench dry_build`` tries a few; ``python -m bench.bench_dry_build 1000 [FILE]`` so many
pits in each world and keeps one JSON line a pit and method.
"""

from __future__ import annotations

import json
import math
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from functools import cache, partial
from itertools import pairwise, product
from pathlib import Path

from bench.truth.building import Bend, Body, Item, Piece, Recipe, build
from bench.truth.closing import bearing, worst_ratio
from bench.truth.errors import MATCHED, MISMATCHED, PERFECT, World
from bench.truth.knowing import Around, Stub, coupler_length, lay, parts_of, squared
from bench.truth.measuring import Notes, measure
from bench.truth.pits import INCH, TruePit, draw_pit
from pitwright.catalogue.shelf import Shelf, load_shelf
from pitwright.errors import BadInput
from pitwright.findings import Refusal
from pitwright.planning import plan
from pitwright.renewal.option import Option
from pitwright.survey.pit import Survey, read_survey
from pitwright.tolerance.doubt import Held
from pitwright.trains.cut_list import Bend as PlannedBend
from pitwright.trains.cut_list import Piece as PlannedPiece

EIGHTH = INCH / 8
FEW = 20
SPRUNG = 8.0
"""By hand half an inch aside is thought to spring: sixteenths. Judgement."""
TRIM_LAST, A_HAIR, TO_MARK = "as the sheet says", "fitted once only", "once, no hair short"
SUREST, ALL_DRY = "the surest option, as its sheet says", "all pieces and rolls left, fitted once"
AT_ONCE, BY_HAND, KNOWING = "all at once", "by hand", "knowing"
METHODS = (TRIM_LAST, A_HAIR, TO_MARK, ALL_DRY, SUREST, AT_ONCE, BY_HAND)
HAIR = INCH / 64
"""So far the sheet has every joint drawn out at the dry fit: half of what one may be left standing
out, so that it can give both ways."""
AGAIN = 2
"""So often the sheet has what stands off put together dry and marked again."""


@dataclass(frozen=True)
class Record:
    """One pit by one method. ``miss`` [m] and ``turn`` [rad] of the last joint before bending, the
    least worst ``ratio`` [-]; None where it was refused, ``why`` names the nearest limit."""

    seed: int
    family: str
    world: str
    method: str
    why: str = ""
    label: str = ""
    miss: float | None = None
    turn: float | None = None
    ratio: float | None = None
    along: float | None = None
    sure: float | None = None

    @property
    def refused(self) -> bool:
        return self.ratio is None

    @property
    def eighth(self) -> bool:
        return self.miss is not None and self.miss <= EIGHTH

    @property
    def closes(self) -> bool:
        return self.ratio is not None and self.ratio <= 1.0


@cache
def shelf() -> Shelf:
    return load_shelf()


def recipe_of(option: Option, survey: Survey, held: Held | None) -> Recipe:
    """The option's cut list in the bench's own words."""
    items: list[Item] = []
    for it in option.cuts.items:
        if isinstance(it, PlannedPiece):
            late = held is not None and it.letter in held.pieces
            items.append(Piece(it.length, it.depth_before + it.depth_after, late))
        elif isinstance(it, PlannedBend):
            items.append(Bend(it.angle, it.clock, it.before, it.after, _within(it.parts)))
        else:
            give = (-it.give - it.pulled, it.give - it.pulled) if it.give > 0.0 else (0.0, 0.0)
            items.append(Body(it.length, it.scatter, give, it.name == "valve"))
    dug = option.bending.dug
    more = dict(dug.stubs) if dug is not None and not option.bending.closes else {}
    bared = [more.get(w.stub, 0.0) for w in option.stubs]  # type: ignore[call-overload]
    return Recipe(
        (option.cuts.inlet_cut, option.cuts.outlet_cut),
        tuple(items),
        bool(held and held.rolls),
        (bared[0], bared[1]),
    )


@cache
def _within(parts: tuple[str, ...]) -> float:
    part = next(f for f in shelf().fittings if f.id == parts[0])
    take = part.ports[0].takeout
    return (take.high - take.low) / 2


def all_dry(recipe: Recipe) -> Recipe:
    """The same with every piece left long and every bend left dry, whatever the plan advises."""
    late = (replace(i, late=True) if isinstance(i, Piece) else i for i in recipe.items)
    return replace(recipe, items=tuple(late), rolls=True)


def advised(option: Option) -> tuple[Held, float]:
    """What to leave long or dry, and the chance of closing within flex as the plan tells it."""
    assert option.doubt is not None
    return option.doubt.advised, option.doubt.advised.flex


def on_the_stubs(option: Option, survey: Survey) -> bool:
    """Whether it joins the stubs as they were measured, which is all the bench can build."""
    zone = survey.zones[0]
    found = survey.stub(zone.inlet), survey.stub(zone.outlet)
    pairs = zip(option.stubs_of(survey), found, strict=True)
    return option.doubt is not None and all(
        (a.tip.mean, a.outward) == (b.tip.mean, b.outward) for a, b in pairs
    )


def judged(pit: TruePit, world: World, method: str, recipe: Recipe, label: str) -> Record:
    """Built once and closed as far as it will."""
    built = build(pit, recipe, world)
    ratio = worst_ratio(pit, built, bearing(pit, world), recipe.dug)
    return Record(
        pit.seed,
        pit.family,
        world.name,
        method,
        label=label,
        miss=built.miss,
        turn=math.hypot(*built.turn),
        ratio=ratio,
        along=abs(sum(a * b for a, b in zip(built.shift, built.axis, strict=True))),
    )


def planned(pit: TruePit, world: World, notes: Notes) -> list[Record]:
    """By Pitwright: its first option as the sheet says and otherwise, and its surest one."""
    both = METHODS[:-1]
    no = partial(Record, pit.seed, pit.family, world.name)
    try:
        survey = read_survey(notes.text, f"pit {pit.seed}", shelf())
    except BadInput as wrong:
        return [no(method, why=f"READING {wrong}") for method in both]
    zone = plan(survey).zones[0]
    if isinstance(zone.answer, Refusal):
        return [no(method, why=zone.answer.because[0].code) for method in both]
    told = [(o, *advised(o)) for o in zone.answer if on_the_stubs(o, survey)]
    if not told:
        return [no(method, why="OTHER_WAY") for method in both]
    option, held, sure = told[0]
    name = _label(option, held)
    recipe = told_on_paper(option, survey, held)
    once = replace(recipe, again=0)
    made = {
        TRIM_LAST: recipe,
        A_HAIR: once,
        TO_MARK: replace(once, short=0.0),
        ALL_DRY: all_dry(once),
        AT_ONCE: recipe_of(option, survey, None),
    }
    rows = [judged(pit, world, method, how, name) for method, how in made.items()]
    option, held, most = max(told, key=lambda t: t[2])
    best = told_on_paper(option, survey, held)
    surest = judged(pit, world, SUREST, best, _label(option, held))
    return [replace(rows[0], sure=sure), *rows[1:], replace(surest, sure=most)]


def told_on_paper(option: Option, survey: Survey, held: Held) -> Recipe:
    """What the option's sheet tells a technician to do."""
    return replace(recipe_of(option, survey, held), short=HAIR, again=AGAIN)


def _label(option: Option, held: Held) -> str:
    return f"{option.key}; held {','.join(held.pieces)}{' rolls' if held.rolls else ''}"


def _stubs(pit: TruePit, seen: Sequence[tuple[tuple[float, ...], tuple[float, ...]]]) -> list[Stub]:
    out = []
    for true, (tip, out_way) in zip(pit.stubs, seen, strict=True):
        depth = parts_of(shelf(), pit.valve).depth
        cut = min(true.cut_back, true.bare[0][1] - depth)
        fits = true.pipe.startswith("1 in")
        out.append(
            Stub(
                (tip[0], tip[1], tip[2]),
                (out_way[0], out_way[1], out_way[2]),
                cut,
                coupler_length(shelf(), true.pipe),
                fits and cut >= 0.0,
                true.bare[0][1],
            )
        )
    return out


def by_hand(pit: TruePit, world: World, notes: Notes) -> Record:
    """Centre to centre less take-outs on stubs taken as square, all cut at once."""
    one, two = (squared(s) for s in _stubs(pit, [(m.tip, m.outward) for m in notes.stubs]))
    parts = parts_of(shelf(), notes.valve)
    if min(one.cut, two.cut) < 0.0:
        return Record(pit.seed, pit.family, world.name, BY_HAND, why="nothing to join")
    for recipe in lay((one, two), parts, None, SPRUNG, 2):
        return judged(pit, world, BY_HAND, recipe, _bends(recipe))
    return Record(pit.seed, pit.family, world.name, BY_HAND, why="no train")


def _bends(recipe: Recipe) -> str:
    bends = [f"{math.degrees(i.angle):.0f}" for i in recipe.items if isinstance(i, Bend)]
    return "-".join(bends) or "straight"


def knowing(pit: TruePit, world: World) -> Record:
    """The best of a planner that knew the truth, built without error."""
    perfect = _borne(world)
    one, two = _stubs(pit, [(s.tip, s.outward) for s in pit.stubs])
    if min(one.cut, two.cut) < 0.0:
        return Record(pit.seed, pit.family, world.name, KNOWING, why="nothing to join")
    best: Record | None = None
    for recipe in lay((one, two), parts_of(shelf(), pit.valve), Around(pit.room, pit.root), 10.0):
        got = judged(pit, perfect, KNOWING, recipe, _bends(recipe))
        got = replace(got, world=world.name)
        if best is None or (got.ratio or 0.0) < (best.ratio or 0.0):
            best = got
        if got.closes:
            return got
    return best or Record(pit.seed, pit.family, world.name, KNOWING, why="no train")


def _borne(world: World) -> World:
    """Nothing errs, but pipe and sockets bear what they do in this world."""
    return replace(PERFECT, play=world.play, strain=world.strain, name=world.name)


def trial(seed: int, world: World, most_bends: int = 4) -> list[Record]:
    """One pit by every method."""
    pit = draw_pit(seed, shelf())
    notes = measure(pit, world, most_bends)
    return [*planned(pit, world, notes), by_hand(pit, world, notes), knowing(pit, world)]


def trials(seeds: Iterable[int], world: World, most_bends: int = 4) -> list[Record]:
    """Many pits."""
    return [record for seed in seeds for record in trial(seed, world, most_bends)]


def interval(hits: int, of: int) -> tuple[float, float]:
    """Wilson's interval at 95 %."""
    if of == 0:
        return 0.0, 1.0
    z, p = 1.959964, hits / of
    middle = (p + z * z / (2 * of)) / (1 + z * z / of)
    half = z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of)) / (1 + z * z / of)
    return max(0.0, middle - half), min(1.0, middle + half)


def closable(records: Sequence[Record]) -> set[int]:
    """Pits that a planner who knew could close: the knowing one did, or any method did."""
    return {r.seed for r in records if r.closes}


def _share(hits: int, of: int) -> str:
    low, high = interval(hits, of)
    return f"{100 * hits / max(1, of):.1f} ({100 * low:.1f} to {100 * high:.1f})"


HEAD = (
    "| errors | method | could be closed | closed within flex, % | within 1/8 in, % | "
    "refused, % |\n|---|---|---|---|---|---|"
)


def table(records: Sequence[Record]) -> str:
    """Of the pits that could be closed: closed, within an eighth, refused."""
    lines = [HEAD]
    for world in dict.fromkeys(r.world for r in records):
        mine = [r for r in records if r.world == world]
        could = closable(mine)
        for method in METHODS:
            rows = [r for r in mine if r.method == method and r.seed in could]
            cells = [
                _share(sum(map(test, rows)), len(rows)) for test in (_closes, _eighth, _refused)
            ]
            lines.append(f"| {world} | {method} | {len(rows)} | {' | '.join(cells)} |")
    return "\n".join(lines)


def _closes(r: Record) -> bool:
    return r.closes


def _eighth(r: Record) -> bool:
    return r.eighth


def _refused(r: Record) -> bool:
    return r.refused


def by_family(records: Sequence[Record]) -> str:
    """Where it misses: by family, as the sheet says."""
    lines = ["| errors | family | pits | could | closed | refused | built, not closed |",
             "|---|---|---|---|---|---|---|"]  # fmt: skip
    for world in dict.fromkeys(r.world for r in records):
        mine = [r for r in records if r.world == world]
        could = closable(mine)
        for family in sorted({r.family for r in mine}):
            all_rows = [r for r in mine if r.method == TRIM_LAST and r.family == family]
            rows = [r for r in all_rows if r.seed in could]
            built = [r for r in rows if not r.refused and not r.closes]
            lines.append(
                f"| {world} | {family} | {len(all_rows)} | {len(rows)} | "
                f"{sum(r.closes for r in rows)} | {sum(r.refused for r in rows)} | {len(built)} |"
            )
    return "\n".join(lines)


def why_refused(records: Sequence[Record]) -> str:
    """The limits that refusals of closable pits name first."""
    could = {(w, s) for w in {r.world for r in records}
             for s in closable([r for r in records if r.world == w])}  # fmt: skip
    said = Counter(
        (r.world, r.family, r.why.split(" ")[0])
        for r in records
        if r.method == TRIM_LAST and r.refused and (r.world, r.seed) in could
    )
    return "\n".join(f"{n}: {world}, {family}, {why}" for (world, family, why), n in
                     said.most_common())  # fmt: skip


BANDS = (0.0, 0.5, 0.8, 0.9, 0.95, 1.0001)


def calibration(records: Sequence[Record]) -> str:
    """What the plan says its chance within flex is, against how often it closed."""
    lines = ["| errors | method | chance told | built | mean told, % | closed, % |",
             "|---|---|---|---|---|---|"]  # fmt: skip
    for world, method in product(dict.fromkeys(r.world for r in records), (TRIM_LAST, SUREST)):
        mine = [r for r in records if (r.world, r.method) == (world, method)]
        told = [(r.sure, r.closes) for r in mine if r.sure is not None]
        for low, high in pairwise(BANDS):
            here = [(sure, closes) for sure, closes in told if low <= sure < high]
            if here:
                mean = 100 * sum(sure for sure, _ in here) / len(here)
                lines.append(
                    f"| {world} | {method} | {low:g} to {min(high, 1.0):g} | {len(here)} | "
                    f"{mean:.0f} | {_share(sum(c for _, c in here), len(here))} |"
                )
    return "\n".join(lines)


def run(
    count: int,
    first: int = 0,
    file: str | None = None,
    worlds: Sequence[World] = (MATCHED, MISMATCHED),
) -> list[Record]:
    """So many pits in each world; each record kept as it comes."""
    records: list[Record] = []
    for world in worlds:
        for seed in range(first, first + count):
            got = trial(seed, world)
            records += got
            if file:
                with Path(file).open("a", encoding="utf-8") as out:
                    out.writelines(json.dumps(asdict(r)) + "\n" for r in got)
    return records


def show(records: Sequence[Record]) -> None:
    """Print all tables."""
    print(table(records))
    print()
    print(by_family(records))
    print()
    print(calibration(records))
    print()
    print(why_refused(records))


def main() -> None:
    """A few pits."""
    show(run(FEW))


if __name__ == "__main__":
    show(run(int(sys.argv[1]), 0, sys.argv[2] if len(sys.argv) > 2 else None))
