"""Zones: which stubs they join and what they water."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput, Contradiction, Duplicate, Missing, UnknownName
from tests.survey.pits import small

ZONE = '[zone.lawn]\ninlet = "feed"\noutlet = "lawn"\nvalve = "new"\n'


def test_a_zone_joins_two_stubs_and_asks_for_a_valve() -> None:
    zone = small(ZONE).zones[0]
    assert (zone.id, zone.name, zone.inlet, zone.outlet, zone.valve) == (
        "lawn", "lawn", "feed", "lawn", "new",
    )  # fmt: skip
    assert small(ZONE.replace('valve = "new"', "")).zone(zone.id).valve is None


def test_its_heads_are_kept() -> None:
    heads = '[{ kind = "drip", count = 140, flow = "0.6 gph", at = "20 psi", up = "1 ft" }, '
    (drip, other) = small(f'{ZONE}heads = {heads}{{ kind = "other" }}]\n').zones[0].heads
    assert (drip.kind, drip.count) == ("drip", 140)
    assert drip.flow is not None
    assert drip.flow.value == pytest.approx(0.6 * 3.785411784e-3 / 3600)
    assert (other.count, other.flow, other.at, other.up) == (1, None, None, None)


@pytest.mark.parametrize(
    ("old", "new", "kind", "match"),
    [
        ('outlet = "lawn"', 'outlet = "feed"', Contradiction, "another stub than the inlet"),
        ('outlet = "lawn"', 'outlet = "lwan"', UnknownName, "did you mean lawn"),
        ('inlet = "feed"', "", Missing, r"zone\.lawn\.inlet is missing: name the stub the water"),
        ('outlet = "lawn"', "", Missing, r"zone\.lawn\.outlet is missing: name the stub"),
        ('valve = "new"', 'valve = "old"', UnknownName, "is not a known valve"),
        ('inlet = "feed"\noutlet = "lawn"', 'inlet = "lawn"\noutlet = "feed"', Contradiction,
         r"zone\.lawn\.inlet must be an inlet stub"),
        ('valve = "new"', "heads = 4", BadInput, "list of tables"),
        ('valve = "new"', "heads = [4]", BadInput, r"zone\.lawn\.heads\.0 must be a table"),
        ('valve = "new"', "heads = [{ count = 2 }]", Missing, r"heads\.0\.kind is missing"),
        ('valve = "new"', 'heads = [{ kind = "spray", count = 0 }]', BadInput, "be 1 to 10000"),
        ('valve = "new"', 'heads = [{ kind = "spray", count = 1.5 }]', BadInput, "whole number"),
        ('valve = "new"', 'heads = [{ kind = "spray", count = true }]', BadInput, "whole number"),
    ],
)  # fmt: skip
def test_a_zone_that_cannot_be_is_told(
    old: str, new: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        small(ZONE.replace(old, new, 1))


def test_a_stub_serves_one_zone() -> None:
    with pytest.raises(Duplicate, match=r'zone\.edge\.inlet must not be a stub of zone "lawn" too'):
        small(ZONE + ZONE.replace("[zone.lawn]", "\n[zone.edge]"))


def test_a_zone_nobody_knows_is_told() -> None:
    survey = small(ZONE)
    zone = survey.zones[0]
    with pytest.raises(UnknownName, match=r"zone is not a known zone .*lawn"):
        survey.zone(type(zone.id)("lane"))
    with pytest.raises(UnknownName, match="is not a known stub"):
        survey.stub(type(zone.inlet)("fed"))
