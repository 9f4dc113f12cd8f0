"""Made the golden record of version 1, once: ``python -m tests.records.golden.make FOLDER``.

It is never made again: what was written then must be read, relayed and given back unchanged by
every later program. It stays here to show how.
"""

from __future__ import annotations

import hashlib
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from pitwright.records.accepting import accept, erase
from pitwright.records.archive import pack
from pitwright.records.entry import Message
from pitwright.records.kinds import KINDS, Form
from pitwright.records.pits import Place, save_plan
from pitwright.records.store import SHOP, Draft, Hand, Right, Store, open_store
from pitwright.records.when import Span, spoken

NOW = datetime(2026, 5, 4, 12, tzinfo=UTC)
_numbers = count()
HAND = Hand(
    Right("u-golden"),
    NOW,
    lambda n: hashlib.sha256(f"golden {next(_numbers)}".encode()).digest()[:n],
)
SAMPLES: dict[Form, Any] = {
    Form.LENGTH: "4 3/8",
    Form.DECIMAL: "24.5",
    Form.HASH: "",
    Form.LIST: "3, 4",
    Form.ENTRY: "",
}


def one_of_each(store: Store) -> None:
    """An entry of every kind that can simply be written, every field filled."""
    for name, kind in KINDS.items():
        if name in ("retract", "redate", "erase", "plan"):
            continue
        body = {
            field: SAMPLES.get(how.form, how.choices[-1] if how.choices else f"{name} {field} Öl")
            for field, how in kind.fields.items()
        }
        subject = {"property": "s-golden", "person": "u-golden"}.get(name, "b-golden")
        site = SHOP if name == "person" else "s-golden"
        store.write(Draft(name, site, subject, body, spoken("2019-06 ", NOW)), HAND)


def main(folder: Path) -> None:
    store = open_store(str(folder / "store"), "golden")
    one_of_each(store)
    pit = Place("s-golden", "b-golden", "pit", "")
    survey = b'name = "north gate"\n# 4 3/8 in, as typed\n'
    save_plan(store, HAND, pit, survey=survey, program="pitwright 0.1.0", title="two trains")
    old = store.write(Draft("note", "s-golden", "b-golden", {"text": "to be erased"}), HAND)
    wrong = store.write(Draft("note", "s-golden", "b-golden", {"text": "wrong"}), HAND)
    store.take_back(store.take_back(wrong.id, HAND, "not this pit").id, HAND)
    late = Span.at(NOW - timedelta(days=900))
    redate = Draft("redate", "s-golden", "b-golden", {"reason": "clock"}, late, about=[wrong.id])
    store.write(redate, replace(HAND, offset=-7))
    erase(store, [old.id], HAND, reason="asked for")
    strange = b'{"format":2,"site":"s-golden","what":"of a later day"}'
    message = Message(f"e2_{hashlib.sha256(strange).hexdigest()}", strange, b"s" * 16, b"{}")
    accept(store, [message], HAND.right, NOW)
    pack(store, folder / "archive-v1.zip", NOW)
    store.db.run("PRAGMA wal_checkpoint(TRUNCATE)")
    store.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
