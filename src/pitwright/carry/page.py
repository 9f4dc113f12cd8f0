"""The whole page: one file that asks nobody for anything.

Its policy names the hash of each script and style in it, so nothing that was typed into a survey
or a record can ever run.
"""

from __future__ import annotations

import hashlib
import json
from importlib.resources import files
from typing import Any

from pitwright.carry.card_part import card_part
from pitwright.carry.content import Carried
from pitwright.carry.markup import policy
from pitwright.carry.more_parts import (
    caution_part,
    known_part,
    notes_part,
    readings_part,
    wiring_part,
)
from pitwright.carry.plan_part import drawing_part, load_part, settle_part, zone_parts
from pitwright.paper.markup import Html, h, json_block
from pitwright.paper.turning import asset
from pitwright.wording.carry import NOTES, PAGE, made_line
from pitwright.wording.pit_sheet import pit_line

__all__ = ["carry_page"]

_LISTED = (
    "drawing",
    "before",
    "zones",
    "notes",
    "readings",
    "wiring",
    "known",
    "card",
    "load",
    "cautions",
)


def carry_page(carried: Carried) -> str:
    """One HTML document. Source: nothing of its own; the plan, the survey and the record."""
    plan = carried.plan
    parts = [
        drawing_part(plan),
        settle_part(plan),
        zone_parts(plan, carried.stages),
        notes_part(carried),
        readings_part(plan.survey),
        wiring_part(carried.wiring),
        known_part(carried.known),
        card_part(carried),
        load_part(plan),
        caution_part(),
    ]
    there = "".join(parts)
    listed = [name for name in _LISTED if f' id="{name}"' in there]
    styles = [_own("carry.css"), asset("turning.css")]
    scripts = [asset("turning.js"), _own("carry.js")]
    body = h(
        "body",
        h("header", h("h1", _title(carried)), *_under(carried)),
        h("nav", *(h("a", PAGE[n], href=f"#{n}") for n in listed), aria_label=PAGE["contents"]),
        h("main", *parts),
        json_block(_data(carried), id="carried"),
        *(Html(f"<script>{text}</script>") for text in scripts),
    )
    head = h(
        "head",
        Html('<meta charset="utf-8">'),
        h("meta", http_equiv="Content-Security-Policy", content=policy(scripts, styles)),
        h("meta", name="viewport", content="width=device-width, initial-scale=1"),
        h("meta", name="color-scheme", content="light dark"),
        h("meta", name="referrer", content="no-referrer"),
        h("title", f"{PAGE['kind']}: {_title(carried)}"),
        h("link", rel="icon", href="data:,"),
        *(Html(f"<style>{text}</style>") for text in styles),
    )
    return f"<!doctype html>\n{h('html', head, body, lang='en')}\n"


def _title(carried: Carried) -> str:
    """Whose pit it is, and which."""
    name = carried.base.name or carried.plan.survey.name
    return f"{carried.land}: {name}" if carried.land else name


def _own(name: str) -> str:
    return files("pitwright.carry").joinpath(f"assets/{name}").read_text("utf-8")


def _under(carried: Carried) -> list[Html]:
    said = [
        pit_line(carried.plan.survey),
        made_line(carried.made, carried.program, bool(carried.base.subject)),
        PAGE["read_only"],
    ]
    return [h("p", line) for line in said if line]


def _data(carried: Carried) -> dict[str, Any]:
    """What the script needs: whose notes these are, and its words."""
    base = carried.base
    name = base.name or carried.plan.survey.name
    whose = base.subject or hashlib.sha256(json.dumps(name).encode()).hexdigest()[:20]
    return {
        "key": f"pitwright-notes {whose}",
        "pit": {"site": base.site, "subject": base.subject, "name": name},
        "plan": base.plan,
        "heads": {slot: list(ids) for slot, ids in base.heads.items()},
        "words": dict(NOTES),
    }
