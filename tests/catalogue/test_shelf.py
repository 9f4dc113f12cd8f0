"""The shelf as others see it: names, look-ups, and what every part must obey."""

from __future__ import annotations

import pytest

from pitwright.catalogue.parts import Fitting, JointKind
from pitwright.catalogue.rules import breaches_of_fitting, breaches_of_pipe, outsides
from pitwright.catalogue.shelf import load_shelf
from pitwright.catalogue.tables import load_tables
from pitwright.errors import UnknownName
from pitwright.units.kinds import INCH

SHELF = load_shelf()


def wanted(kind: str, size: str, angle_deg: float | None = None, schedule: str = "40") -> Fitting:
    found = SHELF.fitting(kind, size, angle_deg, schedule)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("kind", "angle", "takeout", "depth"),
    [
        ("elbow", 90, "0.6875", "1.125"),
        ("elbow", 45, "0.46875", "1.03125"),
        ("tee", 90, "0.6875", "1.0625"),
        ("coupling", 0, "0.046875", "1.0625"),
    ],
)
def test_one_inch_schedule_40_has_the_design_studys_dimensions(
    kind: str, angle: float, takeout: str, depth: str
) -> None:
    """Design study, whole pits: 11/16 and 1-1/8; 15/32 and 1-1/32; 11/16 and 1-1/16; stop 3/32."""
    port = wanted(kind, "1", angle).ports[0]
    assert port.takeout.value / INCH == pytest.approx(float(takeout), abs=5e-5)
    assert port.depth.value / INCH == pytest.approx(float(depth), abs=5e-5)


def test_no_pipe_lies_on_the_shelf_that_nothing_can_join() -> None:
    """But asbestos cement, which is there only to be recognised and left alone."""
    alone = {p.material for p in SHELF.pipes if not SHELF.joined_by(p)}
    assert alone == {"asbestos cement"}


def test_what_cannot_be_joined_is_a_hazard() -> None:
    assert all(p.hazards for p in SHELF.pipes if not p.joints)


def test_every_part_obeys_the_rules_of_the_shelf() -> None:
    tables = load_tables()
    broken = [b for p in SHELF.pipes for b in breaches_of_pipe(p)]
    broken += [
        b for f in SHELF.fittings for b in breaches_of_fitting(f, outsides(SHELF.pipes), tables)
    ]
    assert broken == []


def test_the_suspect_row_is_reported_and_has_a_wide_scatter() -> None:
    """The 1-1/4 45 whose printed take-out equals the standard's least."""
    suspect = wanted("elbow", "1-1/4", 45)
    assert [f.code for f in suspect.findings] == ["suspect-dimension"]
    sound = wanted("elbow", "1", 45)
    assert suspect.ports[0].takeout.sigma > 1.9 * sound.ports[0].takeout.sigma
    assert {f.code for f in SHELF.slips} == {"suspect-dimension"}


def test_nothing_shipped_was_measured_by_a_person() -> None:
    assert not any(f.measured for f in SHELF.fittings)


def test_ids_and_names_are_all_different() -> None:
    for parts in (SHELF.pipes, SHELF.fittings):
        assert len({p.id for p in parts}) == len(parts)
        assert len({p.name for p in parts}) == len(parts)


@pytest.mark.parametrize(
    ("spelt", "id_"),
    [
        ("pvc40-1", "pvc40-1"),
        ("1 in schedule 40 PVC", "pvc40-1"),
        ("1 1/4 sch 40 PVC", "pvc40-1-1/4"),
        ('PVC Sch. 40 1-1/4"', "pvc40-1-1/4"),
        ("1 in SDR-21 PVC", "pvc-sdr21-1"),
        ("3/4 in copper tube type M", "copper-m-3/4"),
        ("25 mm PVC (metric)", "pvc-metric-25mm"),
        ("1 insert poly SIDR 9", "pe-sidr9-1"),
    ],
)
def test_a_pipe_is_found_however_it_is_spelt(spelt: str, id_: str) -> None:
    assert SHELF.pipe(spelt).id == id_


def test_every_pipe_and_part_is_found_by_its_own_name_and_id() -> None:
    for pipe in SHELF.pipes:
        assert SHELF.pipe(pipe.name) is pipe
        assert SHELF.pipe(pipe.id) is pipe
    for part in SHELF.fittings:
        assert SHELF.part(part.name) is part
        assert SHELF.part(part.id) is part


def test_an_unknown_pipe_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r"stub\.a\.pipe .*1 in schedule 40 PVC"):
        SHELF.pipe("1 in schedule 41 PVC", where="stub.a.pipe")


def test_copper_tube_size_does_not_go_into_iron_pipe_size() -> None:
    joined = SHELF.joined_by(SHELF.pipe("copper-l-1"))
    assert joined
    assert all(any(p.system == "cts" for p in f.ports) for f in joined)
    assert JointKind.SOLDER in {p.joint for f in joined for p in f.ports}


def test_there_are_threads_of_both_systems_in_every_inch_size() -> None:
    assert [(t.system, t.size) for t in SHELF.threads[:2]] == [("npt", "1/2"), ("npt", "3/4")]
    assert SHELF.thread("bsp", "1").pitch != SHELF.thread("npt", "1").pitch
