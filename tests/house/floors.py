"""The floor plan: which room stands on which floor. Read by the house tests."""

from __future__ import annotations

# A lettered floor is two: b may import a. The number is what is compared.
FLOOR: dict[str, float] = {
    "errors": 1.0,
    "findings": 1.0,
    "units": 1.5,
    "algebra": 1.5,
    "inference": 1.5,
    "catalogue": 2.0,
    "geometry": 3.0,
    "network": 4.0,
    "survey": 4.5,
    "trains": 5.0,
    "flex": 5.0,
    "jointing": 5.0,
    "seepage": 5.0,
    "hydraulics": 5.0,
    "wiring": 5.0,
    "worktime": 5.0,
    "load": 5.0,
    "money": 5.0,
    "closing": 5.5,
    "joining": 5.5,
    "tolerance": 5.5,
    "diagnosis": 5.5,
    "outlook": 5.5,
    "renewal": 6.0,
    "choice": 5.5,
    "sequence": 5.5,
    "ranking": 6.0,
    "side_by_side": 6.25,
    "planning": 6.5,
    "resuming": 6.75,
    "stages": 6.8,
    "wording": 7.0,
    "records": 8.0,
    "paper": 9.0,
    "pages": 9.5,
    "carry": 9.5,
    "server": 10.0,
    "cli": 10.5,
}
STDLIB_ONLY_UP_TO = 6.75
NO_CLOCK_UP_TO = 9.5
