"""The key by which options are ranked: one fixed order, each field outweighing all after it."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.ranking import KEY, Merits, better_by, ranked
from pitwright.units.kinds import INCH

PLAIN = Merits(
    digging=0.2,
    slides=1,
    bends=2,
    parts=5,
    unsure_parts=1,
    strain=0.5,
    misfit=0.005,
    cut_off=0.01,
    length=0.4,
    name="b",
)
LEAST = {"digging": 0.06, "strain": 0.2}
"""By how much two merits must differ to count; a sixteenth for lengths, one for counts."""
SMALL, LARGE = st.integers(0, 9), st.floats(0.0, 1.0)
MERITS = st.builds(
    Merits, LARGE, SMALL, SMALL, SMALL, SMALL, LARGE, LARGE, LARGE, LARGE, st.sampled_from("abc")
)
WORST = {name: 9 if isinstance(getattr(PLAIN, name), int) else 9.0 for name in KEY}


def test_the_key_names_every_merit_but_the_name() -> None:
    assert (*KEY, "name") == tuple(f.name for f in fields(Merits))


@pytest.mark.parametrize("field", KEY)
def test_each_field_outweighs_everything_after_it(field: str) -> None:
    """A little less in one beats the best in all that follow."""
    after = KEY[KEY.index(field) + 1 :]
    count = isinstance(getattr(PLAIN, field), int)
    less = getattr(PLAIN, field) - (1 if count else LEAST.get(field, 2 * INCH / 16))
    changes: dict[str, Any] = {field: less, **{name: WORST[name] for name in after}}
    better = replace(PLAIN, **changes)
    assert ranked([PLAIN, better]) == (1, 0)
    assert better_by(better, PLAIN) == field


@given(st.lists(MERITS, max_size=8))
def test_the_order_does_not_depend_on_the_order_they_came_in(found: list[Merits]) -> None:
    best = [found[i].key for i in ranked(found)]
    shuffled = found[::-1]
    assert best == [shuffled[i].key for i in ranked(shuffled)] == sorted(m.key for m in found)


def test_less_than_a_sixteenth_an_inch_of_digging_or_a_twentieth_of_strain_is_noise() -> None:
    """Then the name decides."""
    a = Merits(0.0, 0, 2, 5, 0, 0.5, 0.0, 0.0, 0.4, "b")
    hair = INCH / 64
    b = Merits(INCH * 0.9, 0, 2, 5, 0, 0.54, hair, hair, 0.4 + 1e-4, "a")
    assert ranked([a, b]) == (1, 0)
    assert better_by(a, b) == ""
