"""The record in open formats: CSV for a spreadsheet, GeoJSON for a map.

Cells that a spreadsheet would take for a formula are disarmed by an apostrophe. Places are given
out only to whoever may have them. Erased bodies are empty here too.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from typing import Any

from pitwright.records.history import Event, timeline
from pitwright.records.pits import NAMES
from pitwright.records.store import Store

__all__ = ["COLUMNS", "csv_text", "disarmed", "geojson"]

COLUMNS = (
    "id", "property", "pit", "kind", "field", "standing", "happened_from", "happened_to", "author",
    "typed", "value", "unit", "words",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%")


def disarmed(cell: str) -> str:
    """The cell, with an apostrophe before what a spreadsheet could run."""
    return (
        f"'{cell}" if cell.lstrip(" ").startswith(_FORMULA) or cell.startswith(_FORMULA) else cell
    )


def _subjects(store: Store, sites: frozenset[str] | None) -> list[tuple[str, str]]:
    rows = store.db.rows("SELECT DISTINCT site, subject FROM v_entries ORDER BY site, subject")
    return [(site, subject) for site, subject in rows if sites is None or site in sites]


def csv_text(store: Store, sites: frozenset[str] | None = None) -> str:
    """Every entry of these sites (None: of all) as CSV, one line each, superseded ones too."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    names: dict[str, str] = {}
    for site, subject in _subjects(store, sites):
        events = timeline(site, subject, store.of_subject(site, subject), store.kinds)
        if site not in names:
            names[site] = _name(store, "property", site, site)
        pit = _name(store, "pit", site, subject)
        for event in events:
            writer.writerow([disarmed(cell) for cell in _row(event, names[site], pit)])
    return out.getvalue()


def _name(store: Store, kind: str, site: str, subject: str) -> str:
    field = store.state(site, subject).field(kind)
    fact = field.fact if field is not None else None
    return str(fact.value(NAMES[kind])) if fact is not None else ""


def _row(event: Event, name: str, pit: str) -> list[str]:
    body = event.body
    words = "; ".join(f"{k}: {_flat(v)}" for k, v in body.items())
    return [
        event.id, name, pit, event.kind, event.field, event.standing.value, event.happened.start,
        event.happened.end, event.author, str(body.get("typed", "")), str(body.get("value", "")),
        str(body.get("unit", "")), words,
    ]  # fmt: skip


def _flat(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("typed", json.dumps(dict(value), ensure_ascii=False)))
    if isinstance(value, list):
        return ", ".join(str(v) for v in value)
    return str(value)


def geojson(
    store: Store, sites: frozenset[str] | None = None, kinds: Iterable[str] = ("property", "pit")
) -> dict[str, Any]:
    """Every property and pit with a known place, as GeoJSON [RFC 7946, from memory].

    Only the name, never an owner, goes along. Whoever calls this decides who may have it.
    """
    features = []
    for kind in kinds:
        for site, subject in store.subjects(kind, sites):
            field = store.state(site, subject).field(kind)
            fact = field.fact if field is not None else None
            if fact is None or not fact.value("latitude") or not fact.value("longitude"):
                continue
            place = [float(fact.value("longitude")), float(fact.value("latitude"))]
            features.append(
                {
                    "type": "Feature",
                    "id": subject,
                    "geometry": {"type": "Point", "coordinates": place},
                    "properties": {"kind": kind, "name": fact.value(NAMES[kind]), "site": site},
                }
            )
    return {"type": "FeatureCollection", "features": features}
