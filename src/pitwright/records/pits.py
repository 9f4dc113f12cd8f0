"""Finding properties and pits by what people call them, and keeping plans with what made them."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Malformed, UnknownName
from pitwright.records.entry import Entry
from pitwright.records.fold import REDATE, RETRACT, Field, State, folded
from pitwright.records.store import Draft, Hand, Store
from pitwright.records.views import words_in
from pitwright.records.when import Span

__all__ = [
    "Place",
    "SavedPlan",
    "find",
    "found",
    "listed",
    "named",
    "people",
    "plans_of",
    "save_plan",
    "survey_of",
]

_MOST = 400
NAMES = {"property": "name", "pit": "label"}


@dataclass(frozen=True, slots=True)
class Place:
    """A property or a pit: where it stands in the record, and its name."""

    site: str
    subject: str
    kind: str
    name: str


@dataclass(frozen=True, slots=True)
class SavedPlan:
    """A plan or wiring as it was kept: survey and result to the byte, and what made them."""

    entry: Entry
    survey: bytes
    result: bytes | None
    program: str


def found(store: Store, kind: str, text: str, sites: frozenset[str] | None = None) -> list[Place]:
    """Properties or pits whose name holds these words, those named exactly so first."""
    if not words_in(text):
        return listed(store, kind, sites)
    words = [kind, *words_in(text)]
    numbers = store.db.with_words(words, sites, _MOST)
    wanted = set(words_in(text))
    places: dict[tuple[str, str], Place] = {}
    for entry in _by_number(store, numbers):
        head = entry.header
        if head.kind == kind and (head.site, head.subject) not in places:
            field = store.state(head.site, head.subject).field(kind)
            names = _names(field, kind)
            if any(_begin(wanted, words_in(name)) for name in names):
                place = Place(head.site, head.subject, kind, names[-1])
                places[head.site, head.subject] = place
    exact = text.strip().casefold()
    return sorted(
        places.values(), key=lambda p: (p.name.casefold() != exact, p.name.casefold(), p.subject)
    )


def _names(field: Field | None, kind: str) -> list[str]:
    """What a place is called; several names while nobody settled which, the one used last."""
    facts = field.facts if field is not None else ()
    return [str(fact.value(NAMES[kind], "(erased)")) for fact in facts]


def _begin(wanted: set[str], words: list[str]) -> bool:
    """Whether each wanted word begins one of these."""
    return all(any(word.startswith(w) for word in words) for w in wanted)


def listed(store: Store, kind: str, sites: frozenset[str] | None = None) -> list[Place]:
    """Every property, or every pit, that stands, by name."""
    mine: dict[tuple[str, str], list[Entry]] = {}
    for one in (kind, RETRACT, REDATE):
        for entry in store.of_kind(one, sites):
            mine.setdefault((entry.header.site, entry.header.subject), []).append(entry)
    places = []
    for (site, subject), entries in mine.items():
        names = _names(folded(site, subject, entries, store.kinds).field(kind), kind)
        if names:
            places.append(Place(site, subject, kind, names[-1]))
    return sorted(places, key=lambda p: (p.name.casefold(), p.subject))


def _by_number(store: Store, numbers: list[int]) -> list[Entry]:
    if not numbers:
        return []
    rows = store.db.rows(
        f"SELECT id FROM v_entries WHERE seq IN ({', '.join('?' * len(numbers))})", numbers
    )
    return store.entries([row[0] for row in rows])


def named(store: Store, kind: str, site: str, subject: str) -> Place | None:
    """A property or pit by its ids, as it is called now; None when it does not stand."""
    field = store.state(site, subject).field(kind)
    names = _names(field, kind)
    return Place(site, subject, kind, names[-1]) if names else None


def find(store: Store, kind: str, text: str, sites: frozenset[str] | None = None) -> Place:
    """The one property or pit meant by ``text``: its id, its name, or words of its name.

    A pit may be given as ``property / pit``. Raises UnknownName when there is none, Malformed when
    several fit.
    """
    by_id = store.db.rows(
        "SELECT DISTINCT site FROM v_entries WHERE subject = ? AND kind = ?", (text, kind)
    )
    for (site,) in by_id:
        place = named(store, kind, site, text) if sites is None or site in sites else None
        if place is not None:
            return place
    where, slash, name = text.rpartition("/")
    if kind == "pit" and slash and where.strip():
        site = find(store, "property", where, sites).site
        return _one(found(store, kind, name, frozenset({site})), kind, name)
    return _one(found(store, kind, text, sites), kind, text)


def _one(places: list[Place], kind: str, text: str) -> Place:
    if not places:
        raise UnknownName(kind, text.strip(), (), f"{kind} in this record")
    exact = [p for p in places if p.name.casefold() == text.strip().casefold()]
    fitting = exact or places
    if len(fitting) > 1:
        names = ", ".join(f"{p.name} ({p.subject})" for p in fitting[:4])
        raise Malformed(kind, text.strip(), f"fits several: {names}", "give its id")
    return fitting[0]


def people(store: Store) -> dict[str, str]:
    """What each author is called, as far as it is known and was not erased."""
    names = {}
    for site, subject in store.subjects("person"):
        field = store.state(site, subject).field("person")
        if field is not None and field.fact is not None and field.fact.value("name"):
            names[subject] = str(field.fact.value("name"))
    return names


def save_plan(
    store: Store, hand: Hand, place: Place, *, survey: bytes, program: str, title: str,
    result: bytes | None = None, summary: str = "", happened: Span | None = None,
    kind: str = "plan",
) -> Entry:  # fmt: skip
    """Keep a plan with the exact survey text and result, and the program that made it.

    ``program`` names it with its version; ``kind`` is "plan", or "wiring" for a harness and what
    its readings amount to. Raises BadInput when a file is too big or no text.
    """
    kept = [store.files.keep(survey, "survey")]
    body = {"title": title, "program": program, "survey": kept[0].hash, "summary": summary}
    if result is not None:
        kept.append(store.files.keep(result, "result"))
        body["result"] = kept[1].hash
    files = tuple(k.hash for k in kept)
    draft = Draft(kind, place.site, place.subject, body, happened=happened, files=files)
    return store.write(draft, hand)


def plans_of(state: State, kind: str = "plan") -> list[Entry]:
    """The plans (or the wirings) of a pit that stand, oldest first."""
    return [fact.entry for fact in state.of_kind(kind)]


def survey_of(store: Store, place: Place, plan: str = "", kind: str = "plan") -> SavedPlan:
    """The survey text to start from: that of one plan of the pit, or of the newest.

    With ``kind`` "wiring" it is the harness. Raises UnknownName when the pit has no such plan,
    Unreadable when its file is not here.
    """
    standing = plans_of(store.state(place.site, place.subject), kind)
    chosen = [e for e in standing if not plan or e.id == store.entry(plan).id]
    chosen = [e for e in chosen if "survey" in e.body]
    if not chosen:
        raise UnknownName(kind, plan or place.name, [e.id for e in standing], f"{kind} of this pit")
    body = chosen[-1].body
    result = store.files.read(body["result"]) if "result" in body else None
    return SavedPlan(chosen[-1], store.files.read(body["survey"]), result, str(body["program"]))
