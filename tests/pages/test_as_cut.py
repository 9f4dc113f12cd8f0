"""What really happened, said in the app: the same as a progress file can say."""

from __future__ import annotations

from dataclasses import replace

from pitwright.pages.again import KEYS, again_form, take_again
from pitwright.pages.as_cut import take_dry_fit
from pitwright.pages.build import build_page, take_build
from pitwright.pages.going import tables_now
from pitwright.pages.standing import Pit
from pitwright.records.pits import plans_of
from pitwright.resuming import resumed
from pitwright.survey.keys import PROGRESS_KEYS
from pitwright.survey.progress import read_progress
from tests.pages.standings import asked, example, pit_of
from tests.pages.test_resumed import KEPT, Work, formed, planned, the

FILE = """
[zone.lawn]
option = "45-45, direct-direct, valve on leg 1"
joints = [1, 2]
cut = { A = "17 5/8", inlet = "1/8" }
marked = { B = "5 1/8" }
[stub.lawn]
tip = ["3 1/4", "26 1/8", "-2"]
condition = "sound"
"""


def said() -> Work:
    """The same as the file, entered on the pages."""
    work = Work()
    work.joint(2)
    work.joint(1)
    cut = {"letter": "lawn A", "cut-lawn-a": "17 5/8"}
    work.wants += take_build(work.pit, formed(cut)).wants
    dry = {"dry": "lawn", "mark-lawn-b": "5 1/8", "mark-lawn-a": "", "cut-lawn-inlet": "1/8"}
    work.wants += take_build(work.pit, formed(dry)).wants
    tip = {"tip.0": "3 1/4", "tip.1": "26 1/8", "tip.2": "-2"}
    work.measured("lawn", condition="sound", **tip)
    return work


def test_what_a_progress_file_says_is_said_in_the_app_and_answered_alike() -> None:
    ours = the(said().pit).ahead
    theirs = resumed(planned(), read_progress(FILE, "file", planned().survey)).zones[0]
    assert ours is not None
    for name in ("verdict", "recut", "rolled", "lost", "done", "findings"):
        assert getattr(ours, name) == getattr(theirs, name), name
    assert isinstance(ours.answer, tuple) and isinstance(theirs.answer, tuple)
    assert ours.answer[0].cuts == theirs.answer[0].cuts


def test_every_key_of_a_stub_that_a_file_may_read_again_has_its_field() -> None:
    fields = {"broken", *(key.name for key in KEYS)}
    assert fields == set(PROGRESS_KEYS["stub.*"])
    page = again_form(said().pit, asked())
    assert all(f'name="{key.name}' in page for key in KEYS)


def test_each_mistake_of_the_dry_fit_is_told_at_its_field_and_all_that_was_typed_stays() -> None:
    work = Work()
    typed = {"form": "dry-lawn", "dry": "lawn", "mark-lawn-a": "17 x", "mark-lawn-b": "5 1/8",
             "cut-lawn-inlet": "2 psi"}  # fmt: skip
    taken = take_dry_fit(work.pit, formed(typed))
    assert set(taken.trouble) == {"mark-lawn-a", "cut-lawn-inlet"}
    again = replace(formed(typed), trouble=taken.trouble)
    page = build_page(work.pit, again).body
    assert all(f'value="{v}"' in page for v in ("17 x", "5 1/8", "2 psi"))
    assert take_dry_fit(work.pit, formed({"dry": "lawn"})).trouble[""]


def test_a_length_far_off_the_plan_asks_how_the_rest_goes_on() -> None:
    work = Work()
    near = {"letter": "lawn A", "cut-lawn-a": "17 3/4"}
    work.wants += take_build(work.pit, formed(near)).wants
    assert "differs from the plan" not in build_page(work.pit, asked()).body
    far = {"letter": "lawn A", "cut-lawn-a": "17 1/2"}
    work.wants += take_build(work.pit, formed(far)).wants
    assert "differs from the plan" in build_page(work.pit, asked()).body


def at_its_step(work: Work, length: str) -> str:
    taken = take_build(work.pit, formed({"letter": "lawn A", "cut-lawn-a": length}))
    assert taken.trouble == {}
    work.wants += taken.wants
    place = taken.go.partition("#")[2]
    return build_page(work.pit, asked()).body.partition(f'id="{place}"')[2].partition("</li>")[0]


def test_a_piece_cut_too_short_or_too_long_is_told_beside_its_field_with_the_way_on() -> None:
    short = at_its_step(Work(), "17 1/4")
    assert "Piece A is 1/2 in (13 mm) too short." in short and "/resume" in short
    long = at_its_step(Work(), "19 3/4")
    assert "Piece A is 2 in (51 mm) too long." in long and "Trim it" in long
    assert "Do not glue" not in at_its_step(Work(), "17 3/4")


def test_a_piece_left_long_to_be_trimmed_last_is_no_mistake_and_not_yet_its_length() -> None:
    work = Work()
    told = at_its_step(work, "18 1/4")
    assert "trimmed last" in told and "Do not glue" not in told
    assert "differs from the plan" not in build_page(work.pit, asked()).body
    tables = tables_now(
        work.pit.state, plans_of(work.pit.state)[-1], the(work.pit), planned().survey
    )
    assert tables == {}
    work.joint(2)
    ahead = the(work.pit).ahead
    assert ahead is not None and "A" in dict(ahead.fixed)


def test_a_cut_that_was_checked_counts_as_made_to_the_plan_but_one_left_long_does_not() -> None:
    work = Work()
    work.step("cut_piece", 2)  # both are trimmed last
    work.step("cut_stub")
    now = work.pit
    tables = tables_now(now.state, plans_of(now.state)[-1], the(now), planned().survey)
    assert tables == {"zone": {"lawn": {"cut": {"outlet": "2 5/8 in"}}}}


def test_where_the_pit_is_measured_in_millimetres_a_bare_length_is_kept_with_its_unit() -> None:
    work = Work()
    before = work.pit
    metric = _in_mm(before)
    taken = take_build(metric, formed({"letter": "lawn A", "cut-lawn-a": "448"}))
    assert [w.body["cut"] for w in taken.wants] == ["448 mm"]
    given = take_build(metric, formed({"letter": "lawn A", "cut-lawn-a": "17 5/8 in"}))
    assert [w.body["cut"] for w in given.wants] == ["17 5/8 in"]


def _in_mm(one: Pit) -> Pit:
    text = example("chapel-lawn").replace("[pit]", '[pit]\nunit = "mm"', 1)
    if 'unit = "in"' in text:
        text = text.replace('unit = "in"\n', "", 1)
    return replace(pit_of(text, (KEPT,)), goings=one.goings)


def test_a_break_with_what_cannot_be_is_told_at_its_field() -> None:
    form = {"form": "broke", "stub": "lawn", "condition": "soggy", "tip.0": "1", "tip.1": "2",
            "tip.2": "3"}  # fmt: skip
    taken = take_again(said().pit, formed(form))
    assert list(taken.trouble) == ["condition"]
