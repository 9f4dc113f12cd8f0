"""What bodies hold."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.records.kinds import KINDS, Form, Slot, checked, inch_text, slug, upcast


def test_lengths_are_kept_as_typed_and_as_a_fraction() -> None:
    tie = {"thing": "riser", "mark_a": "post", "a": "7 ft 3 3/8", "mark_b": "wall", "b": "350 mm"}
    body = checked("tie", tie)

    assert body["a"] == {"typed": "7 ft 3 3/8", "inch": "699/8"}
    assert body["b"]["typed"] == "350 mm"
    assert abs(Fraction(body["b"]["inch"]) * Fraction(254, 10) - 350) < Fraction(1, 4)


@given(st.integers(0, 64 * 1200))
def test_every_sixty_fourth_keeps_its_fraction(k: int) -> None:
    assert Fraction(inch_text(k / 64 * 0.0254)) == Fraction(k, 64)


@pytest.mark.parametrize(
    ("kind", "body", "error"),
    [
        ("gossip", {}, UnknownName),
        ("note", {}, Missing),
        ("note", {"text": "  "}, None),
        ("note", {"text": "x", "colour": "red"}, UnknownName),
        ("note", {"text": ["x"]}, Malformed),
        ("note", {"text": True}, Malformed),
        ("note", {"text": "x" * 20_001}, Malformed),
        ("pit", {"label": "x", "latitude": "91"}, OutOfRange),
        ("pit", {"label": "x", "latitude": "north"}, Malformed),
        ("pit", {"label": "x", "latitude": "NaN"}, Malformed),
        ("pit", {"label": "x", "latitude": "1e400"}, Malformed),
        ("finding", {"what": "x", "sure": "absolutely"}, UnknownName),
        ("finding", {"what": "x", "depth": "deep"}, BadInput),
        ("plan", {"title": "x", "program": "p", "survey": "nohash"}, Malformed),
        ("outcome", {"plan": "e1_x"}, Malformed),
    ],
)
def test_a_body_outside_its_kind_is_named(
    kind: str, body: dict[str, object], error: type[BadInput] | None
) -> None:
    if error is None:
        assert checked(kind, body) == body
        return
    with pytest.raises(error):
        checked(kind, body)


def test_every_kind_of_the_trade_is_there_and_can_be_written() -> None:
    for name, kind in KINDS.items():
        body: dict[str, object] = {}
        for field, how in kind.fields.items():
            body[field] = {
                Form.LENGTH: "4 3/8", Form.DECIMAL: "1.5", Form.HASH: "0" * 64, Form.LIST: "a, b",
                Form.ENTRY: "e1_" + "a" * 52,
            }.get(how.form, how.choices[0] if how.choices else "x")  # fmt: skip
        assert checked(name, body).keys() == kind.fields.keys()
        assert (kind.slot is Slot.NAMED) == bool(kind.named_by)


def test_slugs_name_slots_plainly() -> None:
    assert slug("Riser 2 (North) – café") == "riser-2-north-cafe"
    assert len(slug("x" * 500)) == 60
    with pytest.raises(Malformed):
        slug("???")


def test_what_only_a_newer_program_knows_is_not_read() -> None:
    assert upcast("note", 1, {"text": "x"}) == {"text": "x"}
    assert upcast("note", 2, {"text": "x"}) is None
    assert upcast("hologram", 1, {}) is None
