"""The carry file on a phone: offline, read with a thumb, noted on, exported, imported."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pitwright.carry.page import carry_page
from pitwright.catalogue.shelf import load_shelf
from pitwright.paper.pit_sheet import plan_scene
from pitwright.paper.view import VIEWS
from pitwright.planning import plan
from pitwright.records.notes import KINDS_NOTED
from pitwright.records.progress import step_label
from pitwright.survey.pit import read_survey
from pitwright.units.inches import SIXTEENTH, both_text, inches_text
from tests.browser.carrying import (
    EXAMPLES,
    cut,
    exported,
    notes_in,
    picture,
    unfolded,
)
from tests.browser.phone import Phone, phone, small_targets, violations
from tests.carry.stepped import stepped

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.mark.parametrize(
    ("name", "scheme"), [("lawn", "light"), ("lawn", "dark"), ("school", "dark")]
)
def test_the_page_passes_axe_and_a_thumb_in_light_and_dark(
    browser: Browser, folder: Path, name: str, scheme: str
) -> None:
    with phone(browser, color_scheme=scheme) as one:
        page = unfolded(one.open(folder / f"{name}.html"))
        for name_of in ("bent", "clear"):
            for toggle in page.locator(f"[data-turn={name_of}]").all():
                toggle.tap()
        picture(page, f"carry-{name}-{scheme}")
        assert violations(page) == []
        assert small_targets(page) == []
        assert (one.wrong, one.outside()) == ([], [])


@pytest.mark.parametrize("name", ["lawn", "school"])
def test_no_sideways_scroll(hand: Phone, folder: Path, name: str) -> None:
    page = unfolded(hand.open(folder / f"{name}.html"))
    for width in (1280, 390, 360, 320):
        page.set_viewport_size({"width": width, "height": 800})
        if width in (360, 1280):
            picture(page, f"carry-{name}-{width}")
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_without_a_script_the_drawings_and_the_cut_list_are_there(
    browser: Browser, folder: Path
) -> None:
    with phone(browser, java_script_enabled=False) as one:
        page = one.open(folder / "lawn.html")
        picture(page, "carry-lawn-still")
        assert page.locator(".turning-still svg").count() == 2
        assert page.locator(".turning-still svg").first.is_visible()
        assert page.get_by_text("note on paper").is_visible()
        assert not page.locator("#form").is_visible()
        assert page.locator("main table td").first.is_visible()


def scene_of(page: Page) -> dict[str, Any]:
    """What the drawing was given."""
    data = json.loads(page.locator(".turning script").text_content() or "")
    assert isinstance(data, dict)
    return data


def shown(page: Page) -> list[tuple[float, float]]:
    """Where the joints are drawn, in the scene's order. [px]"""
    scene = scene_of(page)
    dots = page.locator(".turning-stage circle.mark").evaluate_all(
        "e => e.map(c => [+c.getAttribute('cx'), +c.getAttribute('cy')])"
    )
    squares = page.locator(".turning-stage rect.open").evaluate_all(
        "e => e.map(c => [+c.getAttribute('x') + 3.5, +c.getAttribute('y') + 3.5])"
    )
    found = []
    for joint in scene["joints"]:
        found.append(tuple((dots if joint["where"] == "pit" else squares).pop(0)))
    return found


def apart(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Each point from the first."""
    (x0, y0) = points[0]
    return [(x - x0, y - y0) for x, y in points[1:]]


def test_the_screen_draws_what_the_paper_draws(hand: Phone, folder: Path) -> None:
    """Every joint lies where the paper's camera puts it, but for one scale and one shift."""
    text = (EXAMPLES / "chapel-lawn.pit.toml").read_text("utf-8")
    scene = plan_scene(plan(read_survey(text, "chapel-lawn", load_shelf())))
    page = hand.open(folder / "lawn.html")
    for name, looked in VIEWS.items():
        page.locator(f"[data-turn={name}]").tap()
        far = apart([looked(scene).flat(j.at) for j in scene.joints])
        near = apart(shown(page))
        assert len(far) == len(near) > 4
        scale = sum(abs(v) for p in near for v in p) / sum(abs(v) for p in far for v in p)
        for (a, b), (c, d) in zip(far, near, strict=True):
            assert (a * scale, b * scale) == pytest.approx((c, d), abs=0.6)


def test_a_finger_turns_it_and_so_do_keys_and_buttons(hand: Phone, folder: Path) -> None:
    page = hand.open(folder / "lawn.html")
    stage = page.locator(".turning-stage")
    seen = [shown(page)]

    def turned() -> None:
        seen.append(shown(page))
        assert seen[-1] != seen[-2]

    box = stage.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = hand.context.new_cdp_session(page)
    for kind, dx in (("touchStart", 0), ("touchMove", 30), ("touchMove", 60), ("touchEnd", 60)):
        points = [] if kind == "touchEnd" else [{"x": x + dx, "y": y}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    turned()
    assert page.locator(".turning-said").inner_text() == "Turned by hand."
    stage.focus()
    for key in ("ArrowLeft", "ArrowUp"):
        page.keyboard.press(key)
        turned()
    for name in ("right", "down", "close", "plan", "elevation", "isometric"):
        page.locator(f"[data-turn={name}]").tap()
        turned()
    assert page.locator(".turning-said").inner_text() == "From a corner."


def test_without_reduced_motion_it_glides_to_the_same_view(browser: Browser, folder: Path) -> None:
    places = []
    for motion in ("reduce", "no-preference"):
        with phone(browser, reduced_motion=motion) as one:
            page = one.open(folder / "lawn.html")
            page.locator("[data-turn=plan]").tap()
            page.wait_for_timeout(600)
            places.append(shown(page))
    assert places[0] == places[1]


def test_a_tap_on_a_part_says_which(hand: Phone, folder: Path) -> None:
    page = hand.open(folder / "lawn.html")
    page.evaluate("addEventListener('turning:pick', e => { window.picked = e.detail; })")
    page.locator("[data-turn=plan]").tap()
    page.locator(".turning-stage").scroll_into_view_if_needed()
    part = page.locator(".turning-stage [data-letter=A] path.fill").first.bounding_box()
    assert part is not None
    page.touchscreen.tap(part["x"] + part["width"] / 2, part["y"] + part["height"] / 2)
    assert page.evaluate("window.picked && window.picked.letter") == "A"


def test_bent_pipe_and_clearances_are_said_in_words(hand: Phone, folder: Path) -> None:
    """On the page whose plan bends old pipe."""
    page = hand.open(folder / "lawn.html")
    if not scene_of(page)["bent"]:
        page = hand.open(folder / "school.html")
    page.locator("[data-turn=bent]").tap()
    page.locator("[data-turn=clear]").tap()
    said = page.locator(".turning-said").inner_text()
    data = scene_of(page)
    assert data["bent_words"] in said and "as far as it" in said
    assert data["clear"][0]["words"] in said
    assert page.locator(".turning-stage path.bent").count() == len(data["bent"]) > 0


def test_one_zone_can_be_looked_at_alone(hand: Phone, folder: Path) -> None:
    page = hand.open(folder / "school.html")
    every = page.locator(".turning-stage text.letter").count()
    page.get_by_role("button", name="beds", exact=True).tap()
    zone = next(id for id, name in scene_of(page)["zones"] if name == "beds")
    mine = [p["letter"] for p in scene_of(page)["pipes"] if p["zone"] == zone and p["letter"]]
    assert page.locator(".turning-stage text.letter").all_text_contents() == mine
    assert every > len(mine)


def planned(page: Page, letter: str) -> int:
    """What a piece is to be cut to. [1/16 in]"""
    metres = page.locator(f"[data-form=piece][data-label='lawn {letter}']").get_attribute(
        "data-metres"
    )
    return round(float(metres or "nan") / SIXTEENTH)


def tape(sixteenths: int) -> str:
    return inches_text(sixteenths * SIXTEENTH)


def test_a_length_is_read_back_or_asked_for_again(hand: Phone, folder: Path) -> None:
    page = hand.open(folder / "lawn.html")
    box = page.get_by_label("As cut, lawn A", exact=True)
    n = planned(page, "A")
    feet, over = divmod(n, 12 * 16)
    typed_and_said = (
        (tape(n + 1), f"read as {both_text((n + 1) * SIXTEENTH)}; 1/16 in (2 mm) longer"),
        (tape(n - 2).removesuffix(" in"), "1/8 in (3 mm) shorter than planned"),
        (tape(n).replace(" ", "-", 1), "as planned"),
        (f"{feet} ft {over // 16} {over % 16}/16" if over % 16 else tape(n), "as planned"),
        (f"{n * SIXTEENTH * 1000:.1f}mm", "as planned"),
        (f"{n * SIXTEENTH * 100:.2f} cm", "as planned"),
        (f"{n / 16:.4f}", "as planned"),
        ("deep", '"deep" must be a length'),
        *((bad, "must be a length") for bad in ("", "3 9/8", "18 7/0", "-3", "3 furlongs")),
    )
    noted = 0
    for typed, said in typed_and_said:
        cut(page, "A", typed)
        told = page.locator("[data-form=piece] .told").first.inner_text()
        refused = "must be" in said
        noted += not refused
        assert said in told, typed
        assert page.locator("#noted li").count() == noted
        assert box.input_value() == (typed if refused else "")


def test_notes_and_half_typed_fields_outlive_the_page(hand: Phone, folder: Path) -> None:
    page = hand.open(folder / "lawn.html")
    cut(page, "A", "18 7/8")
    page.get_by_label("As cut, lawn B", exact=True).fill("2 11/")
    page.close()
    again = hand.open(folder / "lawn.html")
    assert "piece lawn A: 18 7/8 in" in again.locator("#noted").inner_text()
    assert again.get_by_label("As cut, lawn B", exact=True).input_value() == "2 11/"
    assert again.get_by_label("As cut, lawn A", exact=True).input_value() == ""


def test_two_tabs_lose_nothing_of_each_other(hand: Phone, folder: Path) -> None:
    one, two = hand.open(folder / "lawn.html"), hand.open(folder / "lawn.html")
    cut(one, "A", "18 7/8")
    cut(two, "B", "2 3/4")
    one.locator("#noted li").nth(1).wait_for()
    assert two.locator("#noted li").count() == 2


def test_where_nothing_can_be_kept_it_is_said_and_notes_still_go_out(
    browser: Browser, folder: Path
) -> None:
    with phone(browser) as one:
        denied = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no'); }})"
        one.context.add_init_script(denied)
        page = one.open(folder / "lawn.html")
        assert "keeps nothing" in page.locator("#kept").inner_text()
        cut(page, "A", "18 7/8")
        page.locator("#copy").tap()
        out = json.loads(page.locator("#as-text").input_value())
        assert [n["body"]["cut"] for n in out["notes"]] == ["18 7/8 in"]
        assert one.wrong == []


def test_what_was_noted_comes_home_once(
    hand: Phone, folder: Path, tmp_path: Path, record: Callable[..., str]
) -> None:
    """Noted on the phone, saved as a file, imported twice, taken back, gone on from."""
    page = hand.open(folder / "lawn.html")
    short = tape(planned(page, "A") - 1)
    cut(page, "A", short)
    page.locator(
        "[data-form=joint] button, [data-form=step]:not([data-label='']) button"
    ).first.tap()
    page.get_by_label("What was read", exact=True).fill("Static pressure")
    page.get_by_label("As read", exact=True).fill("62 psi <b>")
    page.get_by_role("button", name="Note this reading").tap()
    page.get_by_label("Anything else").fill('roots; "thin" wall, 3/4 × 2')
    page.get_by_role("button", name="Note these words").tap()
    picture(unfolded(page), "carry-lawn-noted")
    first = exported(page, tmp_path)
    assert first.name == "lawn.notes.json"
    kinds = [n["kind"] for n in notes_in(first)]
    assert {"piece", "joint", "reading", "note"} <= set(kinds) <= {*KINDS_NOTED}

    count = len(kinds)
    said = record("record", "import", str(first))
    assert said.startswith(f"{count} notes taken in, 0 known already")
    said = record("record", "import", str(first))
    assert said.startswith(f"0 notes taken in, {count} known already")
    assert "thin" in record("record", "search", "roots")
    assert "62 psi <b>" in record("record", "search", "pressure")
    assert short.removesuffix(" in") in record("resume", "--from", "lawn")

    page.get_by_role("button", name="Take back: roots").tap()
    shorter = tape(planned(page, "A") - 2)
    cut(page, "A", shorter)
    page.locator("#copy").tap()
    text = tmp_path / "message.txt"
    text.write_text("From the pit:\n" + page.locator("#as-text").input_value() + "\nbye", "utf-8")
    said = record("record", "import", str(text))
    told = f"1 note taken in, {count - 1} known already\n1 taken back on the phone"
    assert said.startswith(told)
    assert "beside" not in said and "planned again" not in said
    assert "roots" not in record("record", "show", "lawn")
    assert shorter in record("record", "show", "lawn")


def test_a_stale_page_is_said_and_what_changed_stands_beside(
    hand: Phone, folder: Path, tmp_path: Path, record: Callable[..., str]
) -> None:
    page = hand.open(folder / "lawn.html")
    cut(page, "A", "18 3/4")
    notes = exported(page, tmp_path)
    record("record", "add", "piece", "lawn A", "cut=18 in", "--pit", "lawn")
    record("plan", str(EXAMPLES / "chapel-lawn.pit.toml"), "--save", "lawn")
    said = record("record", "import", str(notes))
    assert "planned again since this carry file was made" in said
    assert "stands beside another: settle which holds" in said
    assert record("record", "show", "lawn").count("one of several") == 2


def test_a_ticked_step_is_kept_and_its_joints_are_noted(hand: Phone, tmp_path: Path) -> None:
    """Ticked, closed, opened again; the tick taken off takes the joints back."""
    carries, assembly = stepped()
    path = tmp_path / "stepped.html"
    path.write_text(carry_page(carries), "utf-8")
    page = hand.open(path)
    number, step = next((n, s) for n, s in enumerate(assembly.steps, 1) if s.joints)
    place = f"[data-step='{step_label('lawn', 0, number, step.code)}'] button"
    button = page.locator(place)
    assert button.get_attribute("aria-pressed") == "false"
    button.tap()
    assert button.get_attribute("aria-pressed") == "true"
    page.close()
    again = hand.open(path)
    button = again.locator(place)
    assert button.get_attribute("aria-pressed") == "true"
    first = exported(again, tmp_path)
    made = [n["body"]["label"] for n in notes_in(first) if n["kind"] == "joint"]
    assert made == [f"lawn {joint + 1}" for joint in step.joints]
    picture(unfolded(again), "carry-stepped")
    assert violations(again) == []
    assert small_targets(again) == []
    button.tap()
    assert notes_in(exported(again, tmp_path)) == []
