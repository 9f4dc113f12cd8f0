"""The wiring of a pit: its harness from the record, and what its readings amount to."""

from __future__ import annotations

import threading
from collections import OrderedDict

from pitwright.errors import BadInput, UnknownName
from pitwright.pages.standing import Pit, Wired
from pitwright.records.pits import survey_of
from pitwright.records.store import Store
from pitwright.survey.harness_file import read_harness
from pitwright.wiring.answer import answer, desk
from pitwright.wiring.measuring import Site
from pitwright.wiring.readings import parse_line

__all__ = ["Wirings"]

_KEPT = 32


class Wirings:
    """Answers by the bytes of the harness they were worked out from."""

    def __init__(self) -> None:
        self._known: OrderedDict[bytes, Wired] = OrderedDict()
        self._lock = threading.Lock()

    def harness_of(self, store: Store, pit: Pit) -> bytes | None:
        """The newest harness of a pit, to the byte; None when it has none."""
        try:
            return survey_of(store, pit.place, kind="wiring").survey
        except UnknownName:
            return None

    def answered(self, data: bytes) -> Wired | None:
        """What the harness's readings amount to; None for bytes that are no harness."""
        with self._lock:
            known = self._known.get(data)
            if known is None:
                known = _worked_out(data)
                if known is not None:
                    self._known[data] = known
                while len(self._known) > _KEPT:
                    self._known.popitem(last=False)
            return known


def _worked_out(data: bytes) -> Wired | None:
    try:
        file = read_harness(data.decode("utf-8-sig"), "wiring")
        typed = tuple(said for said, _ in file.readings)
        readings = tuple(parse_line(said, file.harness) for said in typed)
    except (BadInput, UnicodeDecodeError):
        return None
    site = Site(frozenset(file.harness.opened))
    for reading in readings:
        if reading.test.kind != "moves":
            site = site.after(file.harness, reading.test)
    try:
        return Wired(
            file.harness,
            typed,
            data.decode("utf-8-sig"),
            answer(desk(file.harness), readings, site),
        )
    except BadInput as mistake:
        return Wired(file.harness, typed, data.decode("utf-8-sig"), None, str(mistake))
