"""One text for one value."""

from __future__ import annotations

import json
import unicodedata
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed
from pitwright.records.canonical import DEEPEST, MOST_EXACT, decode, encode, tidy

texts = st.text().map(lambda t: unicodedata.normalize("NFC", t))
values = st.recursive(
    st.none() | st.booleans() | st.integers(-MOST_EXACT, MOST_EXACT) | texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4),
    max_leaves=12,
)


@given(values)
def test_what_is_encoded_decodes_to_itself_and_to_the_same_bytes(value: Any) -> None:
    data = encode(value)

    assert decode(data) == value == json.loads(data)
    assert encode(decode(data)) == data


@given(st.dictionaries(texts, st.integers(0, 9), min_size=2))
def test_the_order_in_which_keys_came_does_not_matter(value: dict[str, int]) -> None:
    assert encode(value) == encode(dict(reversed(value.items())))


def test_keys_stand_in_the_order_of_their_utf_16_units() -> None:
    """As in the example of the standard, from memory: an emoji sorts before U+FF5E."""
    keys = ["\u20ac", "\r", "\uff5e", "1", "\U0001f600", "\u0080", "ö"]
    found = list(json.loads(encode(dict.fromkeys(keys, 0))))

    assert found == ["\r", "1", "\u0080", "ö", "\u20ac", "\U0001f600", "\uff5e"]


def test_text_is_written_as_the_standard_says() -> None:
    said = encode('\u20ac$\x0f\nA\'B"\\\\"/\x7f')

    assert said.decode() == '"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/\x7f"'


@pytest.mark.parametrize(
    "value", [1.5, float("nan"), MOST_EXACT + 1, b"x", {1: 2}, "e\u0301", "\ud800", {"a": {1, 2}}]
)
def test_what_has_no_canonical_form_is_refused(value: Any) -> None:
    with pytest.raises(Malformed):
        encode(value)


@pytest.mark.parametrize(
    "data",
    [
        b'{"b":1,"a":2}', b'{"a": 1}', b'{"a":1,"a":1}', b"1.0", b"1e3", b"NaN", b'"\\u0041"',
        b'"e\xcc\x81"', b"[1,]", b"", b"\xff", b'{"a":1}\n', b"-0", b"01", b"[" * 50_000,
    ],
)  # fmt: skip
def test_bytes_that_are_not_canonical_are_refused(data: bytes) -> None:
    with pytest.raises(Malformed):
        decode(data)


@given(st.binary(max_size=60))
def test_any_bytes_are_a_value_or_one_clear_mistake(data: bytes) -> None:
    try:
        value = decode(data)
    except Malformed:
        return
    assert encode(value) == data


def test_nesting_ends_somewhere() -> None:
    value: Any = 0
    for _ in range(DEEPEST):
        value = [value]
    assert decode(encode(value)) == value
    with pytest.raises(Malformed, match="nested too deep"):
        encode([value])


def test_tidying_makes_accents_one_and_notices_two_keys_that_become_one() -> None:
    assert tidy({"e\u0301": ("e\u0301", 1)}) == {"é": ["é", 1]}
    with pytest.raises(Malformed, match="twice"):
        tidy({"e\u0301": 1, "é": 2})
