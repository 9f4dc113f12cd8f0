"""Between the record and the pages: reads what a page needs, writes what a form wants.

One connection, one thread at a time. Nothing here knows of HTTP.
"""

from __future__ import annotations

import hashlib
import json
import threading
import time
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import Any

from pitwright import __version__
from pitwright.catalogue.shelf import Shelf, load_shelf
from pitwright.errors import BadInput, Contradiction, UnknownName
from pitwright.pages.asked import Want
from pitwright.pages.going import Pair, goings_of
from pitwright.pages.properties import MOST
from pitwright.pages.readings import is_survey, path_of_text, said_reading
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Land, Pit, Planned, Shop
from pitwright.records.entry import Entry, opaque
from pitwright.records.files import Kept
from pitwright.records.fold import RETRACT, folded
from pitwright.records.history import timeline
from pitwright.records.notes import heads
from pitwright.records.pits import Place, found, listed, named, people, plans_of, save_plan
from pitwright.records.store import Draft, Hand, Right, Store
from pitwright.resuming import Stage, ZoneResumed
from pitwright.server.planner import PATIENCE, Planner, resumed_key
from pitwright.server.wiring import Wirings
from pitwright.survey.pit import Survey
from pitwright.survey.progress import ZoneProgress
from pitwright.wording.plan_data import plan_data
from pitwright.wording.record import KIND, entry_text, plan_summary

__all__ = ["Desk", "Stale"]

PROGRAM = f"pitwright {__version__}"
_KEPT = 24
"""Pits that are kept folded. [-]"""
_TOLD = 4
"""Entries that the notice after saving names. [-]"""
_PLACES = ("property", "pit", "retract", "redate")


class Stale(Exception):
    """Something a form changes was changed since its page was made: what, as it stands now.

    ``fields`` are the form's fields it is about, where they are readings of the survey.
    """

    def __init__(self, said: Sequence[str], count: int, fields: Sequence[str] = ()) -> None:
        super().__init__(*said)
        self.said, self.count, self.fields = tuple(said), count, tuple(fields)


class Desk:
    """The record of one firm and what was worked out from it."""

    def __init__(
        self,
        store: Store,
        clock: Callable[[], datetime],
        chance: Callable[[int], bytes],
        planner: Planner,
    ) -> None:
        self.store, self.clock, self.chance, self.planner = store, clock, chance, planner
        self.shelf: Shelf = load_shelf()
        self.lock = threading.RLock()
        self.wirings = Wirings()
        self._lands: tuple[int, list[Place]] = (-1, [])
        self._pits: OrderedDict[str, tuple[tuple[int, int], Pit]] = OrderedDict()

    # reading

    def shop(self, text: str, start: int) -> Shop:
        """A page of properties, or what holds the words of ``text``."""
        with self.lock:
            if text.strip():
                lands = found(self.store, "property", text)
                return Shop(tuple(lands[:MOST]), len(lands), text, 0, self._hits(text))
            lands = self._all_lands()
        return Shop(tuple(lands[start : start + MOST]), len(lands), "", start)

    def _hits(self, text: str) -> tuple[tuple[str, str, str], ...]:
        told = []
        for hit in self.store.search(text, most=30):
            head = hit.entry.header
            place = named(self.store, "pit", head.site, head.subject)
            if place is not None and hit.current and head.kind != "person":
                told.append((f"/pit/{place.subject}", place.name, _said(hit.entry)[:160]))
        return tuple(told)

    def _all_lands(self) -> list[Place]:
        rows = self.store.db.rows(
            "SELECT max(seq) FROM v_entries WHERE kind IN (?, ?, ?, ?)", _PLACES
        )
        newest = int(rows[0][0] or 0)
        if self._lands[0] != newest:
            self._lands = (newest, listed(self.store, "property"))
        return self._lands[1]

    def land(self, site: str) -> Land | None:
        """A property by its id; None when it does not stand."""
        with self.lock:
            place = named(self.store, "property", site, site)
            if place is None:
                return None
            field = self.store.state(site, site).field("property")
            facts: Mapping[str, Any] = (field.fact.body or {}) if field and field.fact else {}
            pits = tuple(listed(self.store, "pit", frozenset({site})))
            return Land(place, facts, pits, self.store.clock(site))

    def pit(
        self,
        subject: str,
        *,
        planned: bool = False,
        wired: bool = False,
        going: bool = False,
        ahead: bool = False,
        patience: float = PATIENCE,
    ) -> Pit | None:
        """A pit by its id; with its plan, its wiring, where a page needs them; ``going``: how the
        work on each zone stands, ``ahead``: how it goes on from there.

        What is not ready within ``patience`` [s] is being worked out.
        """
        until = time.monotonic() + patience
        with self.lock:
            rows = self.store.db.rows(
                "SELECT DISTINCT site FROM v_entries WHERE subject = ? AND kind = 'pit'", (subject,)
            )
            pit = self._standing(rows[0][0], subject) if rows else None
            if pit is None:
                return None
            harness = self.wirings.harness_of(self.store, pit) if wired else None
        pit = self._worked_out(pit, planned, harness, patience)
        return self._going(pit, ahead, until) if going else pit

    def _standing(self, site: str, subject: str) -> Pit | None:
        """The pit as the record has it now, kept until something is entered or erased there."""
        rows = self.store.db.rows(
            "SELECT max(seq), (SELECT count(*) FROM erased) FROM v_entries "
            "WHERE subject = ? AND site = ?",
            (subject, site),
        )
        mark = (int(rows[0][0]), int(rows[0][1]))
        known = self._pits.get(subject)
        if known is None or known[0] != mark:
            pit = self._folded(site, subject)
            if pit is None:
                return None
            self._pits[subject] = known = (mark, pit)
            while len(self._pits) > _KEPT:
                self._pits.popitem(last=False)
        self._pits.move_to_end(subject)
        land = named(self.store, "property", site, site)
        return replace(
            known[1],
            land=land or Place(site, site, "property", "(no name)"),
            people=people(self.store),
            count=self.store.clock(site),
        )

    def _folded(self, site: str, subject: str) -> Pit | None:
        place = named(self.store, "pit", site, subject)
        if place is None:
            return None
        entries, kinds = self.store.of_subject(site, subject), self.store.kinds
        state = folded(site, subject, entries, kinds)
        line = timeline(site, subject, entries, kinds)
        return Pit(place, place, state, line, {}, 0, self.shelf)

    def _worked_out(self, pit: Pit, planned: bool, harness: bytes | None, patience: float) -> Pit:
        """Plan and wiring, which may take long, outside the lock."""
        survey = pit.partly.survey if planned else None
        plan: Planned | None = (
            self.planner.planned(survey, patience) if survey is not None else None
        )
        wired = self.wirings.answered(harness) if harness is not None else None
        return replace(pit, planned=plan, wired=wired)

    def _going(self, pit: Pit, ahead: bool, until: float) -> Pit:
        """How the work on each zone stands, once the plan is ready."""
        plan, saved = plan_as_chosen(pit), plans_of(pit.state)
        if plan is None:
            return pit

        def solve(
            stage: Stage, noted: ZoneProgress, again: Pair, asked: str
        ) -> ZoneResumed | str | None:
            key = resumed_key(plan.survey, stage.root, asked)
            left = max(0.0, until - time.monotonic())
            return self.planner.resumed(key, stage, noted, again, left)

        since = saved[-1] if saved else None
        return replace(pit, goings=goings_of(pit.state, since, plan, solve, ahead=ahead))

    def heads(self, pit: Pit) -> dict[str, list[str]]:
        """The latest entries of what a carry file's notes may fill."""
        with self.lock:
            return heads(self.store, pit.place)

    def photo(self, hash: str) -> tuple[str, bytes]:
        """A kept picture: media type and bytes. Raises UnknownName, Unreadable or Malformed."""
        data = self.store.files.read(hash)
        for sign, media in ((b"\xff\xd8\xff", "image/jpeg"), (b"\x89PNG", "image/png")):
            if data.startswith(sign):
                return media, data
        raise UnknownName("photo", hash, (), "picture")

    def said(self, ids: Sequence[str]) -> str:
        """What these entries say, for the notice after saving; an id may be its first letters."""
        told = []
        with self.lock:
            for id in ids[:_TOLD]:
                with suppress(BadInput):
                    told.append(_said(self.store.entry(id)))
        more = f" and {len(ids) - _TOLD} more" if told and len(ids) > _TOLD else ""
        return f"{'; '.join(told)}{more}"

    # writing

    def new_id(self, prefix: str) -> str:
        """A name that says nothing, for a new property (s) or pit (b)."""
        return opaque(prefix, self.chance(10))

    def hand(self) -> Hand:
        """Whoever sits here, by this machine's clock."""
        author = self.store.fact("author")
        if not author:
            author = opaque("u", self.chance(10))
            with self.store.db.writing():
                self.store.remember("author", author)
        return Hand(Right(author), self.clock(), self.chance)

    def keep(self, data: bytes, name: str) -> Kept:
        """Keep a picture that came with a form.

        Raises Contradiction when it was erased on request, BadInput, NotWritable.
        """
        with self.lock:
            kept = self.store.files.keep(data, name[-80:])
            if self.store.db.rows("SELECT 1 FROM erased WHERE id = ?", (kept.hash,)):
                raise Contradiction("photo", name, "was erased on request", "it stays away")
        return kept

    def write(self, wants: Sequence[Want], place: Place, token: str, seen: int | None) -> list[str]:
        """Write all that a form wants or nothing, each once for its token; the ids of it.

        ``seen`` is the record's count when the form's page was made. Raises Stale, before
        anything is written, when what the form changes was changed since; BadInput for what
        cannot be kept; NotWritable.
        """
        with self.lock:
            hand = self.hand()
            drafts = [self._draft(w, place, token) for w in wants]
            if seen is not None:
                self._check_seen(drafts, seen)
            return [entry.id for entry in self.store.write_all(drafts, hand)]

    def _draft(self, want: Want, place: Place, token: str) -> Draft:
        said = json.dumps(
            [want.kind, want.field, want.body, want.files], sort_keys=True, default=str
        )
        mark = hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:20]
        if want.kind == "wiring":
            kept = self.store.files.keep(str(want.body["text"]).encode(), "harness")
            body = {
                "title": place.name,
                "program": PROGRAM,
                "survey": kept.hash,
                "summary": want.body.get("summary", ""),
            }
            want = replace(want, body=body, files=(kept.hash,))
        return Draft(
            want.kind,
            want.site or place.site,
            want.subject or place.subject,
            want.body,
            field=want.field,
            files=want.files,
            token=f"{token}/{mark}" if token else "",
        )

    def _check_seen(self, drafts: Sequence[Draft], seen: int) -> None:
        told, about = [], []
        for draft in drafts:
            if self._done(draft.token) or not draft.field:
                continue
            field = self.store.state(draft.site, draft.subject).field(draft.field)
            latest = [f for f in field.latest if f.entry.header.lamport > seen] if field else []
            for fact in latest:
                if any(fact.value(k) != v for k, v in draft.body.items()):
                    told.append(_said(fact.entry) if fact.body else "taken back")
                    if is_survey(draft.body):
                        about.append(path_of_text(str(draft.body["reading"]))[-1])
        if told:
            raise Stale(told, self.store.clock(drafts[0].site), about)

    def _done(self, token: str) -> bool:
        return bool(token) and bool(
            self.store.db.rows("SELECT 1 FROM tokens WHERE token = ?", (token,))
        )

    def undo(self, ids: Sequence[str]) -> list[str]:
        """Take entries back, the last first; one that is taken back already stays so.

        Raises UnknownName for an entry that is not here, Contradiction for one that something
        newer stands on.
        """
        with self.lock:
            hand = self.hand()
            done: list[str] = []
            for id in reversed(ids):
                entry = self.store.entry(id)
                already = self._retracted(entry)
                done.append(already or self.store.take_back(entry.id, hand).id)
            return done[::-1]

    def _retracted(self, entry: Entry) -> str:
        rows = self.store.db.rows(
            "SELECT o.id FROM v_links l JOIN v_entries o ON o.seq = l.seq "
            "WHERE l.target = ? AND l.what = 's' AND o.kind = ?",
            (entry.id, RETRACT),
        )
        return str(rows[0][0]) if rows else ""

    def stop(self, pit: Pit) -> None:
        """Give up what is being worked out of a pit."""
        survey = pit.partly.survey
        if survey is not None:
            self.planner.stop(survey)
            self.planner.give_up(_keys(pit, survey))

    def again(self, pit: Pit) -> None:
        """Work out again what was stopped, or broke off."""
        survey = pit.partly.survey
        if survey is not None:
            self.planner.again(survey)
            self.planner.ask_again(_keys(pit, survey))

    def save_plan(self, pit: Pit) -> None:
        """Keep the survey and the plan that was chosen from, once for each survey."""
        whole = pit.planned.whole if pit.planned else None
        if whole is None:
            return
        text = pit.text.encode()
        known = [f.value("survey") for f in pit.state.of_kind("plan")]
        if known and known[-1] == hashlib.sha256(text).hexdigest():
            return
        document = json.dumps(plan_data(whole, __version__), indent=2, ensure_ascii=False)
        refused = len(whole.refused)
        with self.lock:
            save_plan(
                self.store,
                self.hand(),
                pit.place,
                survey=text,
                program=PROGRAM,
                title=pit.place.name,
                result=f"{document}\n".encode(),
                summary=plan_summary(len(whole.zones) - refused, refused),
            )

    def close(self) -> None:
        """Let go of the record and the worker."""
        self.planner.close()
        with self.lock:
            self.store.close()


def _keys(pit: Pit, survey: Survey) -> list[str]:
    """The questions about resumed work that are not answered yet."""
    roots = [(g.stage.root, g.waits) for g in pit.goings if g.waits]
    return [resumed_key(survey, root, asked) for root, asked in roots]


def _said(entry: Entry) -> str:
    """One entry as the notice has it."""
    kind, body = entry.header.kind, entry.body
    if kind == "reading" and (said := said_reading(body)):
        return said
    return f"{KIND.get(kind, kind)} {entry_text(kind, body)}".strip()
