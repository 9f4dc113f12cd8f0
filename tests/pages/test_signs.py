"""Lengths as they are typed in a hole."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pitwright.pages.measure import echo, measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.pages.signs import MOST_BARE, as_kept, as_typed, too_far
from tests.pages.standings import asked, example, pit_of

HEAD = '[pit]\nunit = "in"\n'


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("4", "-4"),
        ("-4", "-4"),
        ("–4", "-4"),
        ("+4", "4"),
        ("0", "0"),
        ("", ""),
        ("3-4", "-4 to -3"),
    ],
)
def test_a_wall_behind_the_datum_needs_no_sign(typed: str, kept: str) -> None:
    for name in ("left", "upstream", "floor"):
        assert as_kept(name, typed) == kept
        assert as_kept(name, as_typed(name, kept)) == kept
    assert as_kept("right", typed) == typed


def test_the_box_is_the_same_whichever_way_its_walls_are_typed() -> None:
    def box(sign: str) -> tuple[tuple[float, float], tuple[float, float], float]:
        walls = {"left": f"{sign}4", "right": "12", "upstream": f"{sign}3 1/2", "downstream": "14"}
        form = {"form": "box-", "part": "box", "grade": "9", "floor": f"{sign}8"}
        form |= {f"mouth.{way}": size for way, size in walls.items()}
        taken = take_measure(pit_of(HEAD), replace(asked(), form=form))
        assert taken.trouble == {}
        found = pit_of(HEAD, taken.wants).partly.box
        assert found is not None
        return found.mouth.least, found.mouth.most, found.floor.value

    assert box("") == box("-") == box("–")
    assert box("")[0][0] < 0.0 < box("")[1][0]


def test_saving_a_box_untouched_writes_nothing_though_it_lies_beside_the_datum() -> None:
    """A left wall on the datum's right stays there: it is shown with its plus."""
    mouth = "mouth = { left = '2', right = '12', upstream = '-3', downstream = '14' }\n"
    pit = pit_of(f"{HEAD}[box]\n{mouth}grade = '9'\nfloor = '-8'\n")
    page = measure_page(pit, replace(asked(), query={"part": "box", "name": ""})).body
    found = dict(
        re.findall(r'name="((?:mouth|grade|floor)[.a-z]*)" id="[^"]*" value="([^"]*)"', page)
    )
    assert (found["mouth.left"], found["mouth.upstream"], found["floor"]) == ("+2", "3", "8")
    taken = take_measure(pit, replace(asked(), form={"form": "b", "part": "box", **found}))
    assert (taken.wants, dict(taken.trouble)) == ((), {})


def test_a_trench_on_one_side_leaves_the_box_where_it_is() -> None:
    form = {"form": "box-", "part": "box", "soil.downstream": "50"}
    wants = take_measure(pit_of(example("walled-garden")), replace(asked(), form=form)).wants
    box = pit_of(example("walled-garden"), wants).partly.box
    assert box is not None
    assert box.soil.most[1] == pytest.approx(50 * 0.0254)
    assert (box.soil.least, box.soil.most[0]) == (box.bottom.least, box.bottom.most[0])


def test_the_three_rings_of_walls_are_told_apart_by_their_labels() -> None:
    page = measure_page(pit_of(HEAD), replace(asked(), query={"part": "box", "name": ""})).body
    labels = re.findall(r"<label[^>]*>([^<]*)</label>", page.partition('id="form"')[2])
    assert len(labels) == len(set(labels))


@pytest.mark.parametrize(
    ("typed", "name", "words"),
    [
        ("4", "mouth.left", "= 4 in (102 mm) left"),
        ("+4", "mouth.left", "= 4 in (102 mm) right"),
        ("8", "floor", "= 8 in (203 mm) below"),
        ("-2 1/4", "tip.2", "= 2 1/4 in (57 mm) down"),
        ("3", "tip.0", "= 3 in (76 mm) right"),
        ("0", "tip.1", "= 0 in (0 mm)"),
        ("4-5", "floor", "= 4 1/2 in (114 mm) below, between 4 in (102 mm) and 5 in (127 mm)"),
    ],
)
def test_a_length_is_said_back_with_the_way_it_goes(typed: str, name: str, words: str) -> None:
    assert words in echo(typed, name)


def test_a_bare_number_no_pit_is_wide_enough_for_is_asked_about_at_entry_and_at_saving() -> None:
    assert "write 300 mm if that is meant" in echo("300", "tip.1")
    assert "= 11 13/16 in" in echo("300 mm", "tip.1")
    form = {"form": "s", "part": "stub", "name": "a", "tip.0": "0", "tip.1": "300", "tip.2": "0"}
    trouble = take_measure(pit_of(HEAD), replace(asked(), form=form)).trouble
    assert "300 mm" in trouble["tip.1"]
    assert (
        take_measure(pit_of(HEAD), replace(asked(), form={**form, "tip.1": "300 mm"})).trouble == {}
    )
    assert (too_far(f"{MOST_BARE:g}", "in"), too_far("300", "mm")) == ("", "")


def test_the_echo_counts_in_the_pits_own_unit() -> None:
    assert "(300 mm)" in echo("300", "tip.1", "mm")
    page = measure_page(
        pit_of('[pit]\nunit = "mm"\n'), replace(asked(), query={"part": "box", "name": ""})
    ).body
    assert "/echo?unit=mm" in page
