"""The owner's page and the box card tell what was built, not the plan begun with."""

from __future__ import annotations

import pytest

from pitwright.pages.asked import Want
from pitwright.pages.build import take_build
from pitwright.pages.close import close_page, leaving
from pitwright.pages.doing import doings
from pitwright.pages.scenes import found_scene
from pitwright.pages.stage_scene import plan_now
from pitwright.paper.owner import Leaving, box_card_pdf, owner_pdf
from pitwright.paper.pit_sheet import pit_sheet_pdf
from pitwright.server.papers import carry_file
from pitwright.units.inches import Rounding, both_text
from pitwright.units.kinds import INCH
from tests.pages.standings import NOW, asked
from tests.pages.test_resumed import FLAT, SQUARE, Work, formed, glued, the
from tests.paper.test_owner import text_of


def left(work: Work) -> Leaving:
    return leaving(work.pit, NOW)


def every_joint(work: Work) -> None:
    going = the(work.pit)
    for number in range(1, len(going.stage.option.cuts.joints) + 1):
        work.joint(number)


def as_cut(work: Work, name: str, typed: str) -> None:
    label = next(d for d in doings(the(work.pit).stage) if d.cuts == name)
    letter = f"lawn resumed {the(work.pit).number} {label.cuts}"
    letter = letter if the(work.pit).number else f"lawn {label.cuts}"
    field = f"cut-{letter.lower().replace(' ', '-')}"
    taken = take_build(work.pit, formed({"letter": letter, field: typed}))
    assert taken.trouble == {}
    work.wants += taken.wants


def test_lengths_are_told_as_they_were_cut_beside_the_plan_s() -> None:
    work = Work(FLAT)
    as_cut(work, "A", "17 5/8")
    every_joint(work)
    told = "\n".join(left(work).done)
    assert "(done)" in told
    assert "A 17 5/8 in (448 mm), planned 17 3/4 in (451 mm)" in told
    assert "B 5 in (127 mm) as planned" in told
    assert left(work).built == (
        "lawn: 45-45 bends, valve on the first leg: A 17 5/8 in (448 mm), B 5 in (127 mm)",
    )


def test_the_drawing_has_the_pieces_as_they_were_cut() -> None:
    work = Work(FLAT)
    as_cut(work, "B", "4")
    every_joint(work)
    scene = left(work).scene
    assert scene is not None
    lengths = {p.letter: sum((a - b) ** 2 for a, b in zip(*p.path, strict=True)) ** 0.5
               for p in scene.pipes if p.letter}  # fmt: skip
    assert lengths["B"] == pytest.approx(4 * INCH)
    assert lengths["A"] == pytest.approx(17.75 * INCH)


def test_before_the_last_joint_the_pit_is_drawn_as_it_was_found() -> None:
    work = Work(FLAT)
    work.joint(2)
    assert left(work).scene == found_scene(work.pit)
    assert "steps done" in left(work).done[0]
    assert left(work).built == ()
    every_joint(work)
    assert left(work).scene != found_scene(work.pit)


def test_what_is_not_done_is_told_and_the_drawing_does_not_claim_it() -> None:
    work = Work(FLAT)
    work.joint(2)
    still = left(work)
    assert any("not finished" in line and "Cut piece A LONG" in line for line in still.left)
    told = text_of(owner_pdf(still, "letter"))
    assert "as it was found" in told and "as it was left" not in told
    every_joint(work)
    assert "as it was left" in text_of(owner_pdf(left(work), "letter"))


def test_a_paper_opens_beside_the_page_so_that_there_is_a_way_back() -> None:
    page = str(close_page(Work(FLAT).pit, asked()).body)
    links = [link for part in page.split("<a ") if ".pdf" in (link := part.partition(">")[0])]
    assert links and all('target="_blank"' in link for link in links)


def test_where_somebody_says_that_it_closed_it_counts_as_built() -> None:
    work = Work(FLAT)
    work.wants.append(Want("outcome", {"closed": "yes"}))
    assert left(work).built
    assert "(done)" in left(work).done[0]


def test_another_train_is_told_with_what_stands_of_the_first() -> None:
    work = glued(SQUARE)
    work.go_on()
    every_joint(work)
    lying = left(work)
    told = "\n".join(lying.done)
    option = the(work.pit).stage.option
    assert "something differed from the plan" in told
    assert "of the train begun before there stand: valve, piece A" in told
    assert "piece B" not in told
    scene = lying.scene
    assert scene is not None
    assert len([p for p in scene.pipes if p.letter]) == len(option.cuts.pieces)
    assert len([p for p in scene.pipes if p.name == "piece A"]) == 2  # the first train's too
    valves = [f for f in scene.fittings if f.name == "valve"]
    assert len(valves) == 3  # one valve with its two adapters
    stubs = [p for p in scene.pipes if p.name.startswith("stub ")]
    assert sorted(p.name for p in stubs) == ["stub feed", "stub lawn"]


def test_what_is_left_of_old_pipe_is_what_was_really_left() -> None:
    work = Work(FLAT)
    as_cut(work, "outlet", "3 5/8")  # an inch more than planned
    every_joint(work)
    said = {line.partition(":")[0]: line for line in left(work).left}
    planned = the(Work(FLAT).pit).stage.option.stubs[1]
    assert planned.left is not None
    assert both_text(planned.left - INCH, Rounding.NOT_LONGER) in said["lawn"]


@pytest.mark.parametrize("make", [owner_pdf, box_card_pdf])
def test_the_papers_of_a_resumed_job_are_drawn(make: object) -> None:
    work = glued(SQUARE)
    work.go_on()
    every_joint(work)
    assert callable(make)
    assert make(left(work), "letter").startswith(b"%PDF-")
    assert "something differed" in close_page(work.pit, asked()).body


def test_the_pit_sheet_and_the_carry_file_are_of_the_resumed_plan() -> None:
    work = glued(SQUARE)
    work.go_on()
    plan = plan_now(work.pit)
    assert plan is not None
    stage = the(work.pit).stage
    assert plan.zones[0].best == stage.option
    assert plan.survey.stub(stage.zone.inlet) == stage.survey.stub(stage.zone.inlet)
    assert pit_sheet_pdf(plan, "letter").startswith(b"%PDF-")
    page = carry_file(work.pit, {}, NOW)
    every = doings(stage)
    assert all(f'data-step="{d.name}"' in page for d in every)
    assert 'data-label="lawn resumed 1 A"' in page
    assert "lawn resumed 1 1" in page
    before = carry_file(glued(SQUARE).pit, {}, NOW)
    assert "lawn resumed" not in before
