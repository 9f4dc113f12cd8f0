"""An example firm of invented properties: what ``pitwright serve --demo`` opens."""

from __future__ import annotations

from collections.abc import Mapping

from pitwright.pages.asked import Want
from pitwright.pages.readings import from_survey, want
from pitwright.records.pits import Place
from pitwright.server.desk import Desk

__all__ = ["fill"]

_FIRM: tuple[tuple[str, str, str, str, str, str, str], ...] = (
    ("School garden", "parents' council", "north gate", "3, 4", "school-garden", "", "1 ft 2"),
    (
        "Chapel lawn",
        "the chapel's friends",
        "by the tower",
        "1",
        "chapel-lawn",
        "chapel-lawn",
        "14",
    ),
    ("Allotment", "plot keepers", "plot 12", "3, 4", "allotment", "allotment", "12"),
    ("Orchard", "pear row keepers", "gate", "1", "orchard-gate", "", "13"),
    ("Foot bridge", "the parish", "bridge end", "1, 2", "foot-bridge", "", "12"),
    ("Quince yard", "a neighbour", "cast wall", "1", "cast-wall", "", "11"),
)
"""Property, owner, pit, zones, survey, harness, depth. All invented."""
_TIE = {
    "thing": "the box",
    "mark_a": "gate post",
    "a": "7 ft 3",
    "mark_b": "wall corner",
    "b": "5 ft 11 1/2",
    "between": "9 ft",
    "side": "left",
}


def fill(desk: Desk, texts: Mapping[str, str]) -> None:
    """Enter the example firm; ``texts`` are the example files by name."""
    for land, owner, pit, zones, survey, harness, depth in _FIRM:
        site, subject = desk.new_id("s"), desk.new_id("b")
        place = Place(site, subject, "pit", pit)
        wants = [
            Want("property", {"name": land, "owner": owner}, subject=site),
            Want("pit", {"label": pit, "zones": zones, "depth": depth}),
            Want("tie", _TIE),
        ]
        text = texts.get(f"{survey}.pit.toml", "")
        wants += (
            [want(p, said) for p, said in from_survey(text) if p != ("pit", "name")] if text else []
        )
        if f"{harness}.harness.toml" in texts:
            wants.append(
                Want("wiring", {"text": texts[f"{harness}.harness.toml"], "summary": harness})
            )
        if land == "School garden":
            wants += [
                Want(
                    "clue",
                    {
                        "seen": "it weeps",
                        "may_mean": "grit on its seat",
                        "check": "dry it and look",
                    },
                ),
                Want(
                    "finding",
                    {
                        "what": "thin wall on the feed",
                        "place": "behind the tee",
                        "depth": "8 1/2",
                        "sure": "likely",
                    },
                ),
            ]
        desk.write(wants, place, "", None)
