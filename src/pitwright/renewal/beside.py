"""The ways to renew that are no train between a zone's two stubs, each planned or refused."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.findings import Refusal, ZoneId
from pitwright.renewal.from_feed import FROM_FEED, FromFeed, rebuild_from_feed
from pitwright.renewal.insides import RENEW_INSIDES, RenewedInsides, renew_insides
from pitwright.renewal.old_valve import old_valve
from pitwright.renewal.shut_off import SHUT_OFF, ShutOff, shut_off
from pitwright.survey.pit import Survey
from pitwright.survey.zones import Zone

__all__ = ["Beside", "Planned", "beside"]

Planned = RenewedInsides | ShutOff | FromFeed


@dataclass(frozen=True, slots=True)
class Beside:
    """What one such way comes to for one zone; for several at once where ``zone`` is None.

    ``asked``: a person wrote down what it is about, so that its refusal is news to them.
    """

    zone: ZoneId | None
    way: str
    asked: bool
    answer: Planned | Refusal

    @property
    def keeps(self) -> tuple[str, ...]:
        """What stays in the ground by it; nothing where it is refused."""
        return () if isinstance(self.answer, Refusal) else self.answer.keeps


def beside(survey: Survey) -> tuple[Beside, ...]:
    """Every such way for every zone of a pit, then the header. [m, s] Source: each way's own."""
    found: list[Beside] = []
    for zone in survey.zones:
        looked = _looked(survey, zone)
        found.append(Beside(zone.id, RENEW_INSIDES, looked, renew_insides(survey, zone)))
        asked = zone.shut_off is not None
        found.append(Beside(zone.id, SHUT_OFF, asked, shut_off(survey, zone)))
    if survey.header is not None:
        found.append(Beside(None, FROM_FEED, True, rebuild_from_feed(survey)))
    return tuple(found)


def _looked(survey: Survey, zone: Zone) -> bool:
    old = old_valve(survey, zone)
    return old is not None and old.inside is not None
