"""Something broke: what is measured then resumes the plan, is an entry, and can be taken back."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from pitwright.pages.again import measured_again, take_again
from pitwright.pages.asked import Asked, Want
from pitwright.pages.build import build_page
from pitwright.pages.resume import resume_page
from pitwright.pages.standing import Pit
from pitwright.planning import Plan, plan
from pitwright.resuming import resumed
from pitwright.survey.pit import read_survey
from pitwright.survey.progress import read_progress
from pitwright.units.measure import measure
from tests.pages.standings import asked, example, pit_of, shelf

KEPT = Want("plan", {"title": "orchard", "program": "p", "survey": "0" * 64, "result": "0" * 64})
BROKEN = """
[stub.pears]
broken = "elbow behind it cracked"
tip = {tip}
cut_back = "1"
bare = ["9"]
"""


@cache
def planned() -> Plan:
    return plan(read_survey(example("orchard-gate"), "orchard", shelf()))


def pit(*more: Want) -> Pit:
    return pit_of(example("orchard-gate"), (KEPT, *more), planned())


def formed(form: dict[str, str]) -> Asked:
    return replace(asked(), form=form)


def outlet() -> str:
    return str(planned().zones[0].zone.outlet)


def typed() -> dict[str, str]:
    """The outlet cut back by an inch along its own pipe, as a person would type it."""
    stub = planned().survey.stub(planned().zones[0].zone.outlet)
    inch = [(p - 0.0254 * w) / 0.0254 for p, w in zip(stub.tip.mean, stub.outward, strict=True)]
    said = {f"tip.{n}": f"{v:.2f}" for n, v in enumerate(inch)}
    return {**said, "form": "broke", "stub": outlet(), "broken": "elbow behind it cracked",
            "cut_back": "1", "bare": "9"}  # fmt: skip


def test_a_break_entered_on_the_page_is_resumed_as_from_a_file() -> None:
    taken = take_again(pit(), formed(typed()))
    assert taken.trouble == {}
    after = pit(*taken.wants)
    form = typed()
    tip = str([form[f"tip.{n}"] for n in range(3)])
    text = BROKEN.format(tip=tip).replace("stub.pears", f"stub.{outlet()}")
    filed = read_progress(text, "file", planned().survey)
    ours, theirs = after.goings[0].ahead, resumed(planned(), filed).zones[0]
    assert ours is not None
    assert (ours.verdict, ours.answer, ours.lost) == (theirs.verdict, theirs.answer, theirs.lost)
    assert any(f.code == "stub_broke" for f in ours.findings)


def test_the_page_says_what_broke_and_the_steps_say_to_wait() -> None:
    after = pit(*take_again(pit(), formed(typed())).wants)
    assert "elbow behind it cracked" in resume_page(after, asked()).body
    assert "do not go on by them yet" in build_page(after, asked()).body
    assert "do not go on by them yet" not in build_page(pit(), asked()).body


def test_a_break_without_its_new_end_is_asked_for_it_at_the_field() -> None:
    form = {k: v for k, v in typed().items() if k not in ("tip.0", "tip.1", "tip.2", "cut_back")}
    taken = take_again(pit(), formed(form))
    assert set(taken.trouble) == {"tip", "cut_back"}


def test_a_length_that_is_none_is_told_at_its_own_field() -> None:
    taken = take_again(pit(), formed({**typed(), "tip.1": "4 3/x"}))
    assert list(taken.trouble) == ["tip.1"]


def test_what_was_measured_again_is_taken_back_whole() -> None:
    wants = take_again(pit(), formed(typed())).wants
    after = pit(*wants)
    assert set(measured_again(after)) == {outlet()}
    away = take_again(after, formed({"form": f"away-{outlet()}", "stub": outlet()}))
    assert measured_again(pit(*wants, *away.wants)) == {}


def test_planned_anew_the_survey_is_what_was_measured_and_nothing_stands_beside_it() -> None:
    wants = take_again(pit(), formed(typed())).wants
    before = pit(*wants)
    anew = take_again(before, formed({"form": f"anew-{outlet()}", "stub": outlet()}))
    after = pit(*wants, *anew.wants)
    assert measured_again(after) == {}
    survey = after.partly.survey
    assert survey is not None
    tip = [v / 0.0254 for v in survey.stub(planned().zones[0].zone.outlet).tip.mean]
    assert [f"{v:.2f}" for v in tip] == [typed()[f"tip.{n}"] for n in range(3)]


def old_bare() -> str:
    found = pit().readings.get(("stub", outlet(), "bare"))
    assert found is not None  # the example gives one
    return found.text


def without_bare(**more: str) -> dict[str, str]:
    return {**{k: v for k, v in typed().items() if k != "bare"}, **more}


def test_bare_pipe_left_empty_is_the_old_one_less_what_came_off_and_says_so() -> None:
    wants = take_again(pit(), formed(without_bare())).wants
    bare = measured_again(pit(*wants))[outlet()]["bare"]
    first = old_bare().partition(";")[0]
    off = measure(first, default="in").si - measure(bare.partition(";")[0], default="in").si
    assert -1e-6 <= off - 0.0254 < 0.0254 / 16 + 1e-4
    assert f"bare behind it: {bare}" in resume_page(pit(*wants), asked()).body
    anew = take_again(pit(*wants), formed({"form": f"anew-{outlet()}", "stub": outlet()}))
    after = pit(*wants, *anew.wants)
    assert after.readings["stub", outlet(), "bare"].text == bare


def test_a_new_end_beyond_the_old_straight_is_asked_what_is_bare_behind_it() -> None:
    stub = planned().survey.stub(planned().zones[0].zone.outlet)
    far = stub.bare[0].length + 0.1
    tip = [(p - far * w) / 0.0254 for p, w in zip(stub.tip.mean, stub.outward, strict=True)]
    form = without_bare(**{f"tip.{n}": f"{v:.2f}" for n, v in enumerate(tip)})
    assert set(take_again(pit(), formed(form)).trouble) == {"bare"}
    assert take_again(pit(), formed({**form, "bare": "2", "cut_back": "1"})).trouble == {}


def test_once_a_joint_is_made_there_the_plan_is_only_resumed() -> None:
    wants = take_again(pit(), formed(typed())).wants
    zone = planned().zones[0].zone.id
    made = (*wants, Want("joint", {"label": f"{zone} 1", "what": "x"}))
    anew = take_again(pit(*made), formed({"form": f"anew-{outlet()}", "stub": outlet()}))
    assert anew.wants == () and anew.trouble
