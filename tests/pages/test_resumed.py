"""A resumed plan is gone on with as an entry: its steps, what stands, what is taken back."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from pitwright.findings import Refusal
from pitwright.pages.again import take_again
from pitwright.pages.asked import Asked, Want
from pitwright.pages.build import build_page, take_build
from pitwright.pages.close import close_page
from pitwright.pages.doing import doings, done_at, standing_before
from pitwright.pages.going import goings_of
from pitwright.pages.resume import resume_page, take_resume
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Going, Pit
from pitwright.planning import Plan, plan
from pitwright.records.pits import plans_of
from pitwright.resuming import Verdict
from pitwright.survey.pit import read_survey
from tests.pages.standings import NOW, asked, example, pit_of, shelf

KEPT = Want("plan", {"title": "lawn", "program": "p", "survey": "0" * 64, "result": "0" * 64})
FLAT = "cut in: 45-45, direct-direct, valve on leg 1"
SQUARE = "cut in: 90-90, direct-direct, valve on leg 1"
FAR = {"tip.0": "3 1/4", "tip.1": "26 5/8", "tip.2": "-2"}


@cache
def planned() -> Plan:
    return plan(read_survey(example("chapel-lawn"), "lawn", shelf()))


def pit(*more: Want, way: str = FLAT) -> Pit:
    chosen = Want("choice", {"zone": "lawn", "way": way})
    return pit_of(example("chapel-lawn"), (KEPT, chosen, *more), planned())


def formed(form: dict[str, str]) -> Asked:
    return replace(asked(), form=form)


def the(one: Pit) -> Going:
    return one.goings[0]


class Work:
    """What one person enters, one thing after the other."""

    def __init__(self, way: str = FLAT) -> None:
        self.wants: list[Want] = []
        self.way = way

    @property
    def pit(self) -> Pit:
        return pit(*self.wants, way=self.way)

    def step(self, code: str, count: int = 1) -> None:
        """The next open steps of a code."""
        for _ in range(count):
            now = self.pit
            every = doings(the(now).stage)
            still = [d for d in every if d.code == code and not done_at(now.state, the(now), d)]
            self.wants += take_build(now, asked(step=still[0].name)).wants

    def joint(self, number: int) -> None:
        now = self.pit
        every = doings(the(now).stage)
        mine = next(d for d in every if number in d.joints)
        self.wants += take_build(now, asked(step=mine.name)).wants

    def measured(self, stub: str, **more: str) -> None:
        taken = take_again(self.pit, formed({"form": "broke", "stub": stub, **more}))
        assert taken.trouble == {}
        self.wants += taken.wants

    def form(self, number: int = 0) -> dict[str, str]:
        going = the(self.pit)
        assert going.ahead is not None and not isinstance(going.ahead.answer, Refusal)
        return {
            "form": f"go-lawn-{number + 1}", "zone": "lawn", "way": going.ahead.answer[number].key,
            "stage": str(going.number + 1), "basis": going.basis,
        }  # fmt: skip

    def go_on(self) -> None:
        taken = take_resume(self.pit, formed(self.form()))
        assert taken.trouble == {}
        assert [w.kind for w in taken.wants] == ["stage"]
        self.wants += taken.wants


def glued(way: str = SQUARE) -> Work:
    """Joints 1 and 2 made, and the lawn found farther off: another train from there."""
    work = Work(way)
    work.joint(2)
    work.joint(1)
    work.measured("lawn", **FAR)
    return work


def test_what_is_gone_on_with_is_an_entry_and_has_steps_of_its_own() -> None:
    work = glued()
    assert "do not go on by them yet" in build_page(work.pit, asked()).body
    ahead = the(work.pit).ahead
    assert ahead is not None
    work.go_on()
    now = the(work.pit)
    assert (now.number, now.status) == (1, "ready")
    assert now.stage.came == ahead
    page = build_page(work.pit, asked()).body
    assert "Resumed once" in page and "do not go on by them yet" not in page
    assert all(d.name.startswith("lawn resumed 1 ") for d in doings(now.stage))


def test_of_the_same_train_what_was_made_stands_and_what_changes_is_open() -> None:
    work = Work()
    work.step("cut_piece", 2)
    work.step("check_before_cut")
    work.step("cut_stub")
    work.step("dry_fit")
    work.joint(2)
    work.measured("lawn", **{**FAR, "tip.1": "26 1/8"})
    before = the(work.pit)
    assert before.ahead is not None and before.ahead.verdict is Verdict.RECUT
    work.go_on()
    now, going = work.pit, the(work.pit)
    done = {d.about or d.code for d in doings(going.stage) if done_at(now.state, going, d)}
    made = [d for d in doings(going.stage) if 2 in d.joints]
    assert done_at(now.state, going, made[0]) is not None
    assert "dry_fit" not in done
    changed = {name for name, _ in before.ahead.recut}
    assert changed and not changed & done
    assert "Undo: " not in build_page(now, asked()).body.split("On the bench glue valve")[1][:400]


def test_another_train_begins_open_and_tells_the_clocks_of_what_stands() -> None:
    work = glued()
    ahead = the(work.pit).ahead
    assert ahead is not None and ahead.verdict is Verdict.ANEW
    work.go_on()
    now, going = work.pit, the(work.pit)
    assert [d for d in doings(going.stage) if done_at(now.state, going, d)] == []
    assert {d.joints for d, _ in standing_before(now.state, going)} == {(1,), (2,)}
    assert "What stands of the train before (2)" in build_page(now, asked()).body


def test_a_second_break_is_resumed_on_top_and_taken_back_alone() -> None:
    work = glued()
    work.go_on()
    work.joint(1)
    first = list(work.wants)
    tip = {**FAR, "tip.1": "27 5/8"}
    work.measured("lawn", broken="split", cut_back="2", bare="8", **tip)
    assert "split" in resume_page(work.pit, asked()).body
    work.go_on()
    assert the(work.pit).number == 2
    assert "Resumed twice" in build_page(work.pit, asked()).body
    back = pit(*first, way=work.way)
    every = doings(the(back).stage)
    assert [d.joints for d in every if done_at(back.state, the(back), d)] == [(1,)]


def test_marks_of_a_stage_taken_back_and_begun_anew_do_not_come_back() -> None:
    """The steps of the first attempt bear the same names; they are not those of the second."""
    work = glued()
    work.go_on()
    entry = work.wants[-1]
    work.joint(1)
    work.wants.append(entry)  # begun anew: the same entry, later
    now, going = work.pit, the(work.pit)
    assert [d for d in doings(going.stage) if done_at(now.state, going, d)] == []


def test_a_second_tap_begins_no_second_stage_and_an_old_page_is_told() -> None:
    work = glued()
    form = work.form()
    work.go_on()
    again = take_resume(work.pit, formed(form))
    assert (again.wants, dict(again.trouble)) == ((), {})
    other = glued()
    old = other.form()
    other.joint(3)  # another joint of the same page
    assert "look again" in take_resume(other.pit, formed(old)).trouble[""]


def test_a_survey_that_changed_below_a_stage_is_worked_out_anew_or_told() -> None:
    work = glued()
    work.go_on()
    before = the(work.pit).stage
    text = example("chapel-lawn").replace('air = "61 F"', 'air = "75 F"')
    assert text != example("chapel-lawn")
    made = plan(read_survey(text, "lawn", shelf()))
    chosen = Want("choice", {"zone": "lawn", "way": work.way})
    warm = the(pit_of(text, (KEPT, chosen, *work.wants), made))
    assert warm.status in ("ready", "broken")
    if warm.status == "ready":
        assert warm.stage.option.key == before.option.key
    else:
        assert "no longer among those that close" in warm.trouble


def test_nothing_new_is_offered_while_all_is_as_planned() -> None:
    work = Work()
    work.joint(2)
    assert "Go on this way" not in resume_page(work.pit, asked(NOW)).body


def test_what_was_marked_of_one_way_is_not_of_another_and_comes_back_with_it() -> None:
    work = Work(SQUARE)
    work.step("cut_piece")
    work.joint(2)
    other = pit(*work.wants, way=FLAT)
    assert [d for d in doings(the(other).stage) if done_at(other.state, the(other), d)] == []
    assert the(other).basis == "{}"
    again = pit(*work.wants, Want("choice", {"zone": "lawn", "way": FLAT}),
                Want("choice", {"zone": "lawn", "way": SQUARE}), way=SQUARE)  # fmt: skip
    assert len([d for d in doings(the(again).stage) if done_at(again.state, the(again), d)]) == 2


def test_another_way_chosen_under_a_resumed_plan_is_told_and_nothing_of_it_is_guessed() -> None:
    work = glued(SQUARE)
    work.go_on()
    other = the(pit(*work.wants, way=FLAT))
    assert other.status == "broken"
    assert SQUARE in other.trouble
    assert "Take the resumed plan back" in build_page(pit(*work.wants, way=FLAT), asked()).body


def later(work: Work, answer: str | None, *, ahead: bool = True) -> Pit:
    """The pit while what is asked of the worker has this answer."""
    one = work.pit
    plan = plan_as_chosen(one)
    assert plan is not None
    since = plans_of(one.state)[-1]
    return replace(one, goings=goings_of(one.state, since, plan, lambda *_: answer, ahead=ahead))


def test_what_is_being_worked_out_says_so_asks_again_by_itself_and_can_be_stopped() -> None:
    work = glued()
    page = resume_page(later(work, None), asked()).body
    assert "Working out how lawn goes on" in page and 'hx-trigger="every' in page
    assert ">Stop<" in page and "Go on this way" not in page
    work.go_on()
    build = build_page(later(work, None, ahead=False), asked()).body
    assert "Working out how lawn goes on" in build and "steps-list" not in build
    assert "Working out how lawn goes on" in close_page(later(work, None), asked()).body


def test_what_was_stopped_or_broke_off_says_why_and_is_asked_for_again_or_taken_back() -> None:
    work = glued()
    assert "not worked out: stopped" in resume_page(later(work, ""), asked()).body
    assert "Work it out" in resume_page(later(work, ""), asked()).body
    work.go_on()
    page = build_page(later(work, "it broke off", ahead=False), asked()).body
    assert "it broke off" in page and "Take the resumed plan back" in page
    assert take_build(later(work, None), asked(step="lawn step 1 prove_flow")).trouble


def test_every_view_of_what_is_built_on_what_stands_is_drawn() -> None:
    work = glued(SQUARE)
    work.go_on()
    for query in ({"show": "clear"}, {"view": "plan"}, {"view": "elevation", "show": "clear"}):
        page = build_page(work.pit, replace(asked(), query=query)).body
        assert "<svg" in page
        assert "Bent pipe" not in page
    assert "glued work" in build_page(work.pit, replace(asked(), query={"show": "clear"})).body
