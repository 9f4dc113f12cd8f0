"""Laws of loosening: a larger allowance or one obstacle less never loses a kind of train.

To three bends. Of a family with three a grid stands for all, and where else is looked depends on
lengths alone. Four bends are looked for only where nothing good exists with three.
"""

from __future__ import annotations

import math

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import add, scale, sub
from pitwright.trains.kit import Girth, StubEnd
from pitwright.trains.room import Room
from pitwright.trains.search import Allowance, searched
from pitwright.units.kinds import INCH
from tests.trains.pits import crooked_pits, kit

Pit = tuple[StubEnd, StubEnd]
GIRTH = Girth(0.66 * INCH, 0.85 * INCH, 1.5 * INCH, 4.5 * INCH)


def labels(pit: Pit, allow: Allowance, room: Room, bends: int) -> set[str]:
    """The skeletons that have a train, in a run that was not cut short."""
    got = searched(pit, kit(pit[0].cut, pit[1].cut, most_bends=bends), allow, room)
    assume(not got.cut_short)
    return {t.skeleton.label for t in got.trains}


@settings(max_examples=40)
@given(
    crooked_pits(), st.floats(0.1, 5.0), st.floats(0.0, 5.0), st.floats(0.02, 0.3),
    st.floats(0.0, 0.3), st.sampled_from([2, 3]),
)  # fmt: skip
def test_a_larger_allowance_never_loses_a_kind_of_train(
    pit: Pit, degrees: float, more_degrees: float, inch: float, more: float, bends: int
) -> None:
    """In angle and in place."""
    tight = Allowance(inch * INCH, math.radians(degrees))
    loose = Allowance((inch + more) * INCH, math.radians(degrees + more_degrees))
    assert labels(pit, tight, Room(), bends) <= labels(pit, loose, Room(), bends)


@settings(max_examples=40)
@given(crooked_pits(), st.floats(0.1, 0.9), st.floats(-4.0, 4.0), st.sampled_from([2, 3]))
def test_one_obstacle_less_never_loses_a_kind_of_train(
    pit: Pit, along: float, aside: float, bends: int
) -> None:
    """Two roots between the tips, then one."""
    allow = Allowance(INCH / 4, math.radians(6.0))
    middle = add(pit[0].tip, scale(sub(pit[1].tip, pit[0].tip), along))
    shift = (aside * INCH, 0.0, 0.0)
    first = Capsule(add(middle, shift), add(middle, (0.2, 0.1, 0.0)), INCH, "root")
    second = Capsule(add(middle, (0.0, -0.1, -0.1)), add(middle, (0.0, 0.1, 0.2)), INCH, "other")
    both, one = Room((), (first, second), GIRTH), Room((), (first,), GIRTH)
    assert labels(pit, allow, both, bends) <= labels(pit, allow, one, bends)
