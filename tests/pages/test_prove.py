"""A reading before or after the work is a number with its unit, or is asked for again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from pitwright.pages.asked import Asked, Taken
from pitwright.pages.look import take_look
from pitwright.pages.prove import take_prove
from pitwright.pages.standing import Pit
from tests.pages.standings import asked, pit_of


@pytest.mark.parametrize(("take", "form"), [(take_prove, "after"), (take_look, "first")])
@pytest.mark.parametrize(
    ("typed", "told"),
    [("forty eight", "not a number"), ("48", "no unit"), ("psi", "not a number"), ("48 psi", "")],
)
def test_a_reading_is_a_number_with_its_unit(
    take: Callable[[Pit, Asked], Taken], form: str, typed: str, told: str
) -> None:
    said = {"form": form, "quantity": "static pressure", "typed": typed}
    got = take(pit_of(""), replace(asked(), form=said))
    assert (list(got.trouble) == ["typed"]) is bool(told)
    assert told in got.trouble.get("typed", "")
    assert bool(got.wants) is not bool(told)
