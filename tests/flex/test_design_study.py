"""Single pieces of flex with checked answers: the design study's cases 18, 19, 21 and 44.

Lengths inch, forces lbf, moments lbf·in there; 1 in schedule 40 at 400 000 psi; Poisson 0.38.
"""

from __future__ import annotations

import pytest

from pitwright.flex.compliance import tip_compliance
from pitwright.flex.dig import Dig, dig
from pitwright.flex.flexed import moved, pushed
from pitwright.units.kinds import INCH, POUND_FORCE
from tests.flex.inch import POUND_INCH, path

STRAIGHT_20 = ((0.0, 0.0, 0.0), (20.0, 0.0, 0.0))
RISER = ((0.0, 0.0, -24.0), (0.0, 0.0, 0.0), (6.0, 0.0, 0.0))
AXIAL, ACROSS, TWIST = 0.00010123973836360912, 0.0763274399192789, 0.0007899890031645486
TILT, TURN = 0.005724557993945927, 0.0005724557993945953

STRAIGHT_C = (
    (AXIAL, 0.0, 0.0, 0.0, 0.0, 0.0),
    (0.0, ACROSS, 0.0, 0.0, 0.0, TILT),
    (0.0, 0.0, ACROSS, 0.0, -TILT, 0.0),
    (0.0, 0.0, 0.0, TWIST, 0.0, 0.0),
    (0.0, 0.0, -TILT, 0.0, TURN, 0.0),
    (0.0, TILT, 0.0, 0.0, 0.0, TURN),
)
RISER_C = (
    (0.1319241881020882, 0.0, -0.049460181067718156, 0.0, 0.00824336351128639, 0.0),
    (0.0, 0.16808218199517075, 0.0, -0.008243363511291095, 0.0, 0.006203131042237241),
    (-0.04946018106771934, 0.0, 0.026912419097713997, 0.0, -0.004636891975098011, 0.0),
    (0.0, -0.008243363511290206, 0.0, 0.0009239436602234376, 0.0, 0.0),
    (0.008243363511286579, 0.0, -0.004636891975098003, 0.0, 0.0008586836990921939, 0.0),
    (0.0, 0.006203131042239604, 0.0, 0.0, 0.0, 0.001119723543615789),
)


@pytest.mark.parametrize(
    ("corners", "expected"),
    [(STRAIGHT_20, STRAIGHT_C), (RISER, RISER_C)],
    ids=["18 and 19 straight", "21 riser"],
)
def test_compliance(
    corners: tuple[tuple[float, float, float], ...], expected: tuple[tuple[float, ...], ...]
) -> None:
    ours = tip_compliance(path(*corners))
    unit = (INCH, INCH, INCH, 1.0, 1.0, 1.0)
    load = (POUND_FORCE,) * 3 + (POUND_INCH,) * 3
    for i in range(6):
        for j in range(6):
            inch = ours[i][j] * load[j] / unit[i]
            assert inch == pytest.approx(expected[i][j], rel=1e-9, abs=1e-15)


def test_18_a_cantilever_under_ten_pounds() -> None:
    flexed = pushed(path(*STRAIGHT_20), (0.0, 10.0 * POUND_FORCE, 0.0, 0.0, 0.0, 0.0))
    assert flexed.movement[1] / INCH == pytest.approx(0.763274399192789, rel=1e-9)
    assert flexed.movement[5] == pytest.approx(0.05724557993945927, rel=1e-9)
    assert flexed.strain == pytest.approx(0.003763896881019423, rel=1e-9)
    assert flexed.ratio(0.005) == pytest.approx(0.7527793762038846, rel=1e-9)
    assert flexed.peak.from_tip / INCH == pytest.approx(20.0)


def test_19_a_guided_tip_pushed_a_quarter_inch() -> None:
    flexed = moved(path(*STRAIGHT_20), (0.0, 0.25 * INCH, 0.0, 0.0, 0.0, 0.0))
    assert flexed.wrench[1] / POUND_FORCE == pytest.approx(13.101448195531718, rel=1e-9)
    assert flexed.wrench[5] / POUND_INCH == pytest.approx(-131.01448195531663, rel=1e-9)
    assert flexed.strain == pytest.approx(0.002465625, rel=1e-9)
    assert flexed.ratio(0.005) == pytest.approx(0.493125, rel=1e-9)


def test_21_a_riser_pulled_back_by_a_socket() -> None:
    flexed = moved(path(*RISER), (-0.875 * INCH, 0.0, 0.0, 0.0, 0.0, 0.0))
    assert flexed.wrench[0] / POUND_FORCE == pytest.approx(-22.024549915024746, rel=1e-9)
    assert flexed.wrench[2] / POUND_FORCE == pytest.approx(-58.15379096330537, rel=1e-9)
    assert flexed.wrench[4] / POUND_INCH == pytest.approx(-102.59479201758307, rel=1e-9)
    assert flexed.strain == pytest.approx(0.005312011083354849, rel=1e-9)
    assert flexed.ratio(0.005) == pytest.approx(1.06240221667097, rel=1e-9)


def test_44_how_much_to_dig_for_a_guided_quarter_inch() -> None:
    found = dig(
        path((0.0, 0.0, 0.0), (6.0, 0.0, 0.0)),
        (0.0, 0.25 * INCH, 0.0, 0.0, 0.0, 0.0),
        0.005,
        most=60.0 * INCH,
    )
    assert isinstance(found, Dig)
    assert found.extra / INCH == pytest.approx(8.044571905188139, abs=1e-4)
    assert found.now == pytest.approx(5.479166666666666, rel=1e-9)
    assert found.then <= 1.0
