"""Renewing the insides: what readings allow it, and what each one that forbids it asks for."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.findings import Refusal
from pitwright.renewal.insides import RenewedInsides, renew_insides
from pitwright.survey.inside import INSIDES, Inside
from pitwright.survey.pit import Survey
from pitwright.wording.findings import finding_words, short_words
from tests.survey.pits import blocks, small

OLD = next(b for b in blocks() if b.startswith("[existing.old"))
LOOK = """
[existing.old-valve.inside]
shell = "sound"
model = "as printed: C-1"
diaphragm = "worn"
seat = "sound"
bolts = "sound"
coil = "sound"
in_hand = ["diaphragm"]
"""


def asked(inside: Inside) -> RenewedInsides | Refusal:
    survey = small(OLD + LOOK)
    (old,) = survey.existing
    return renew(replace(survey, existing=(replace(old, inside=inside),)))


def renew(survey: Survey) -> RenewedInsides | Refusal:
    return renew_insides(survey, survey.zones[0])


def test_a_worn_diaphragm_in_a_sound_shell_is_all_that_is_changed() -> None:
    got = renew(small(OLD + LOOK))
    assert isinstance(got, RenewedInsides)
    assert got.parts == (("diaphragm", 1),)
    assert got.left == ("seat", "bolts", "coil")
    assert (got.cuts, got.cemented) == (0, 0)
    assert [f.code for f in got.findings] == ["water_off_first", "grit_out_of_body"]


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('shell = "sound"', 'shell = "cracked"', "SHELL_CRACKED"),
        ('shell = "sound"', "", "NOT_LOOKED_AT"),
        ('model = "as printed: C-1"', "", "MODEL_UNKNOWN"),
        ('seat = "sound"', 'seat = "worn"', "NOT_IN_HAND"),
        ('bolts = "sound"', 'bolts = "stripped"', "BOLT_HOLES_STRIPPED"),
        ('diaphragm = "worn"', 'diaphragm = "sound"', "NOTHING_WORN"),
    ],
)
def test_each_reading_that_forbids_it_is_named(old: str, new: str, code: str) -> None:
    got = renew(small(OLD + LOOK.replace(old, new)))
    assert isinstance(got, Refusal)
    assert [s.code for s in got.because] == [code]
    assert code not in short_words(got.because[0])


def test_a_valve_nobody_opened_or_wrote_down_is_refused() -> None:
    for text, code in ((OLD, "NOT_OPENED"), ("", "NO_OLD_VALVE")):
        survey = small(text)
        if not text:
            survey = replace(survey, existing=())
        got = renew(survey)
        assert isinstance(got, Refusal)
        assert [s.code for s in got.because] == [code]


STATES = st.sampled_from(("sound", "worn", "not looked at"))
INSIDES_SEEN = st.builds(
    lambda shell, model, states, hand: Inside(
        shell, model, tuple(zip(INSIDES, states, strict=True)), hand
    ),
    st.sampled_from(("sound", "cracked", "not looked at")),
    st.sampled_from(("", "C-1")),
    st.tuples(STATES, STATES, STATES, STATES),
    st.sets(st.sampled_from(INSIDES)).map(lambda s: tuple(k for k in INSIDES if k in s)),
)


@given(INSIDES_SEEN)
def test_a_piece_more_in_hand_never_forbids_it(inside: Inside) -> None:
    """Law."""
    if isinstance(asked(inside), RenewedInsides):
        assert isinstance(asked(replace(inside, in_hand=INSIDES)), RenewedInsides)


@given(INSIDES_SEEN)
def test_only_what_is_worn_and_in_hand_is_changed_and_all_else_is_left(inside: Inside) -> None:
    """Law."""
    got = asked(inside)
    if isinstance(got, Refusal):
        return
    names = {name for name, _ in got.parts}
    assert names <= set(inside.in_hand)
    assert names == {k for k, state in inside.states if state == "worn"}
    assert sorted(itertools.chain(names, got.left)) == sorted(INSIDES)
    assert all(finding_words(f) for f in got.findings)
