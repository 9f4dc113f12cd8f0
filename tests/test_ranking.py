"""The key by which options are ranked: one fixed order, each field outweighing all after it."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.ranking import KEY, Merits, better_by, ranked
from pitwright.units.kinds import INCH

PLAIN = Merits(2, 5, 0, 0.002, 0.05, 0.01, 0.4, "b")
SMALL, LARGE = st.integers(0, 9), st.floats(0.0, 1.0)
MERITS = st.builds(
    Merits, SMALL, SMALL, SMALL, LARGE, LARGE, LARGE, LARGE, st.sampled_from(["a", "b", "c"])
)
WORST = {"bends": 9, "parts": 99, "unsure_parts": 9, "misfit": 9.0, "angle": 3.0, "cut_off": 9.0,
         "length": 99.0}  # fmt: skip


def test_the_key_names_every_merit_but_the_name() -> None:
    assert (*KEY, "name") == tuple(f.name for f in fields(Merits))


@pytest.mark.parametrize("field", KEY)
def test_each_field_outweighs_everything_after_it(field: str) -> None:
    """A little less in one beats the best in all that follow."""
    after = KEY[KEY.index(field) + 1 :]
    less = getattr(PLAIN, field) - (1 if isinstance(getattr(PLAIN, field), int) else 2 * INCH / 16)
    if field == "angle":
        less = PLAIN.angle - 0.03
    changes: dict[str, Any] = {field: less, **{name: WORST[name] for name in after}}
    better = replace(PLAIN, **changes)
    assert ranked([PLAIN, better]) == (1, 0)
    assert better_by(better, PLAIN) == field


@given(st.lists(MERITS, max_size=8))
def test_the_order_does_not_depend_on_the_order_they_came_in(found: list[Merits]) -> None:
    best = [found[i].key for i in ranked(found)]
    shuffled = found[::-1]
    assert best == [shuffled[i].key for i in ranked(shuffled)] == sorted(m.key for m in found)


def test_less_than_a_sixteenth_or_a_degree_is_noise_and_the_name_decides() -> None:
    a = replace(PLAIN, misfit=0.0, angle=0.0, cut_off=0.0, length=0.4)
    b = replace(a, misfit=INCH / 64, angle=0.005, cut_off=INCH / 64, length=0.4 + 1e-4, name="a")
    assert ranked([a, b]) == (1, 0)
    assert better_by(a, b) == ""
