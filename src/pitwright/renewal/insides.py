"""Renew the insides: the body stays in the pipe, and only what is worn in it is changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.findings import Finding, Refusal, Short, Weight, ZoneId, finding, nearest_first
from pitwright.renewal.old_valve import old_valve
from pitwright.survey.existing import Existing
from pitwright.survey.inside import Inside
from pitwright.survey.pit import Survey
from pitwright.survey.zones import Zone

__all__ = ["RENEW_INSIDES", "RenewedInsides", "renew_insides"]

RENEW_INSIDES = "renew the insides"

_GLUED = 0
"""Nothing is cut and nothing cemented: the way's whole point. [-]"""


@dataclass(frozen=True, slots=True)
class RenewedInsides:
    """What is changed in one body. ``parts`` counts the new pieces by name [-].

    ``keeps`` names what stays; ``cuts`` and ``cemented`` count what is sawn and glued [-], always
    none; ``left`` names what stays old inside the body, for next time.
    """

    zone: ZoneId
    way: str
    valve: str
    model: str
    keeps: tuple[str, ...]
    parts: tuple[tuple[str, int], ...]
    left: tuple[str, ...]
    cuts: int
    cemented: int
    findings: tuple[Finding, ...]


def renew_insides(survey: Survey, zone: Zone) -> RenewedInsides | Refusal:
    """The insides of the zone's old valve renewed, or every reading that forbids it. [-]

    Allowed for a sound shell of a known model whose insides were all looked at, where each worn
    piece is in hand. Source: common practice.
    """
    old = old_valve(survey, zone)
    if old is None:
        return Refusal((Short("NO_OLD_VALVE", zone.id, 0.0, 1.0, 1.0, "1", "tell_old_valve"),))
    if old.inside is None:
        return Refusal((Short("NOT_OPENED", old.name, 0.0, 1.0, 1.0, "1", "open_bonnet"),))
    against = tuple(_against(old.name, old.inside))
    if against:
        return Refusal(nearest_first(against))
    return _renewed(survey, zone, old, old.inside)


def _against(name: str, inside: Inside) -> Iterator[Short]:
    """Every reading that forbids it."""
    if inside.shell == "not looked at":
        yield Short("NOT_LOOKED_AT", name, 0.0, 1.0, 1.0, "1", "look_inside", "shell")
    if inside.shell == "cracked":
        yield Short("SHELL_CRACKED", name, 0.0, 1.0, 1.0, "1", "new_body")
    if not inside.model:
        yield Short("MODEL_UNKNOWN", name, 0.0, 1.0, 1.0, "1", "take_along")
    for piece, state in inside.states:
        if state == "not looked at":
            yield Short("NOT_LOOKED_AT", name, 0.0, 1.0, 1.0, "1", "look_inside", piece)
        if state == "stripped":
            yield Short("BOLT_HOLES_STRIPPED", name, 0.0, 1.0, 1.0, "1", "new_body")
        if state == "worn" and piece not in inside.in_hand:
            yield Short("NOT_IN_HAND", name, 0.0, 1.0, 1.0, "1", "get_piece", piece)
    if inside.shell == "sound" and all(state == "sound" for _, state in inside.states):
        yield Short("NOTHING_WORN", name, 0.0, 1.0, 1.0, "1", "look_elsewhere")


def _renewed(survey: Survey, zone: Zone, old: Existing, inside: Inside) -> RenewedInsides:
    worn = tuple(piece for piece, state in inside.states if state == "worn")
    told = [finding("water_off_first", Weight.STOP, names={"valve": old.name})]
    inlet = survey.stub(zone.inlet)
    if inlet.seeps:
        told.append(finding("bonnet_off_under_seep", Weight.CHECK, names={"stub": inlet.id}))
    if set(worn) - {"coil"}:
        told.append(finding("grit_out_of_body", Weight.CHECK, names={"valve": old.name}))
    if "coil" in worn:
        told.append(finding("coil_tried_first", Weight.CHECK, names={"valve": old.name}))
    return RenewedInsides(
        zone.id,
        RENEW_INSIDES,
        old.name,
        inside.model,
        ("body", "pipe", "both joints"),
        tuple((piece, 1) for piece in worn),
        tuple(piece for piece, state in inside.states if state == "sound"),
        _GLUED,
        _GLUED,
        tuple(told),
    )
