"""How much each merit of an option weighs for the person who does the work: a small table."""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path

from pitwright.errors import BadInput, Missing, UnknownName
from pitwright.survey.lines import line_of, lines_of
from pitwright.survey.readings import default_tools
from pitwright.survey.section import Bench, Section
from pitwright.survey.source import tables_of, text_of

__all__ = ["WEIGHTS", "Weights", "load_weights", "read_weights"]

_MOST = 1000.0


@dataclass(frozen=True, slots=True)
class Weights:
    """Points for each unit of a merit; more points are worse. All judgement.

    ``time`` for an hour until water may return [1/h]; ``parts`` for a part [-]; ``chance`` for the
    whole chance not to close [-]; ``springing`` for all that old pipe may keep or hands can push
    [-]; ``next_time`` for an inch of old pipe given up [1/in]; ``digging`` for an inch of pipe
    bared [1/in]; ``no_thrust`` for a joint that holds no thrust [-].
    """

    time: float = 1.0
    parts: float = 0.25
    chance: float = 4.0
    springing: float = 1.0
    next_time: float = 0.1
    digging: float = 0.3
    no_thrust: float = 1.0


WEIGHTS = Weights()


def load_weights(path: str | Path) -> Weights:
    """The weights in a file: one table [weights]. Raises BadInput with file and line:
    Missing, UnknownName, and what a reading may. [-]
    """
    text, file = text_of(path), str(path)
    try:
        tables = tables_of(text)
        for key in tables:
            if key != "weights":
                raise UnknownName(key, key, ["weights"], "table here")
        if not tables:
            raise Missing("weights", "write one table, [weights], with a number for each merit")
        bench = Bench("in", default_tools(), {})
        return read_weights(Section(tables["weights"], "weights", "preferences.weights", bench))
    except BadInput as mistake:
        line = mistake.line or line_of(mistake.where, lines_of(text))
        raise mistake.at(file, line) from None


def read_weights(section: Section) -> Weights:
    """One table of weights, 0 to 1000; what is left out is as documented. Raises BadInput. [-]"""
    found = {f.name: section.number(f.name, 0.0, _MOST) for f in fields(Weights)}
    return Weights(**{k: v for k, v in found.items() if v is not None})
