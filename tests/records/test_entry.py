"""Headers, ids, and messages that are not what they say."""

from __future__ import annotations

import base64
import hashlib
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput
from pitwright.records.entry import (
    LARGEST,
    MOST_LINKS,
    Message,
    entry_id,
    header_of,
    opaque,
    short,
    verified,
)
from tests.records.support import entry_of


def test_an_id_is_the_hash_of_the_bytes_by_the_written_rule() -> None:
    """Worked out with other functions than ours."""
    entry = entry_of()
    digest = hashlib.sha256(b"pitwright-entry-1\x00" + entry.data).digest()

    assert entry.id == "e1_" + base64.b32encode(digest).decode().lower().strip("=")
    assert entry.header.body_hash == hashlib.sha256(
        (entry.salt or b"") + (entry.body_data or b"")
    ).hexdigest()  # fmt: skip
    assert json.loads(entry.data)["format"] == 1


def test_a_message_travels_as_json_and_comes_back() -> None:
    message = entry_of(2).message()

    assert Message.from_json(json.loads(json.dumps(message.as_json()))) == message
    assert verified(message).message() == message
    bare = Message(message.id, message.header, None, None)
    assert Message.from_json(bare.as_json()) == bare


@given(at=st.integers(0, 10_000), bit=st.integers(0, 7), part=st.sampled_from(["header", "body"]))
def test_any_changed_bit_is_noticed(at: int, bit: int, part: str) -> None:
    message = entry_of(3).message()
    body = message.body or b""
    data = bytearray(message.header if part == "header" else body)
    data[at % len(data)] ^= 1 << bit
    header = bytes(data) if part == "header" else message.header
    changed = Message(message.id, header, message.salt, body if part == "header" else bytes(data))

    with pytest.raises(BadInput):
        verified(changed)


@pytest.mark.parametrize(
    ("was", "becomes"),
    [
        ('"device":"dx"', '"device":"DX"'),
        ('"device":"dx"', '"device":""'),
        ('"field":"note/x"', '"field":"../x"'),
        ('"format":1', '"format":2'),
        ('"kind":"note"', '"kind":"Note!"'),
        ('"kind_version":1', '"kind_version":0'),
        ('"lamport":1', '"lamport":-1'),
        ('"n":1', '"n":true'),
        ('"n":1', '"n":2'),
        ('"prev":null', f'"prev":"{"e1_" + "a" * 52}"'),
        ('"files":[]', '"files":["x"]'),
        ('"about":[]', f'"about":["{"e1_" + "b" * 52}","{"e1_" + "a" * 52}"]'),
        ('"supersedes":[]', '"supersedes":{}'),
        ('"happened":["2026-05-04T12:00:00Z"', '"happened":["2026-05-04T13:00:00Z"'),
        ('"happened":["2026-05-04T12:00:00Z"', '"happened":["noon"'),
        ('"happened":["2026-05-04T12:00:00Z"', '"happened":["2026-05-04T12:00:00"'),
        ('"happened":["2026-05-04T12:00:00Z"', '"happened":["0001-05-04T12:00:00Z"'),
        ('"2026-05-04T12:00:00Z",0]', '"2026-05-04T12:00:00Z","soon"]'),
        ('"site":"s-1",', ""),
    ],
)
def test_a_header_outside_the_rules_is_named(was: str, becomes: str) -> None:
    text = entry_of().data.decode()
    assert was in text
    data = text.replace(was, becomes).encode()

    with pytest.raises(BadInput):
        header_of(data)
    with pytest.raises(BadInput):
        verified(Message(entry_id(data), data, None, None))


def test_what_is_too_big_is_refused_before_it_is_read() -> None:
    huge = b'{"format":1,"x":"' + b"y" * LARGEST + b'"}'
    with pytest.raises(BadInput, match="at most"):
        header_of(huge)
    with pytest.raises(BadInput, match="at most"):
        entry_of(supersedes=tuple(f"e1_{k:052d}".replace("0", "a") for k in range(MOST_LINKS + 1)))
    with pytest.raises(BadInput, match="at most"):
        entry_of(body={"text": "z" * (LARGEST + 1)})


@pytest.mark.parametrize("raw", [None, 3, [], {}, {"id": 1, "header": "?", "salt": 3, "body": 2}])
def test_what_is_no_message_is_refused(raw: object) -> None:
    with pytest.raises(BadInput):
        Message.from_json(raw)


def test_names_say_nothing_and_are_short_for_people() -> None:
    assert opaque("s", b"\x00" * 10) == "s" + "a" * 16
    assert short("e1_abcdefghijkl") == "abcdefgh"
