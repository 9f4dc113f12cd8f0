"""What is known before a train's joints are put in order: the train, the stubs, the day."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.catalogue.threads import Thread
from pitwright.flex.path import BarePath
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import Vec
from pitwright.jointing.question import CementedJoint
from pitwright.trains.cut_list import CutList
from pitwright.trains.room import Room
from pitwright.trains.train import Train

__all__ = ["AT_HAND", "OldBody", "Relief", "StubSide", "Swing", "Work"]

AT_HAND = ("ratchet cutter", "saw", "strap wrench")
"""What lies beside a pit unless somebody says otherwise. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Relief:
    """The relief end of a stub's own pipe: how high the middle of its mouth lies, its bore. [m]"""

    height: float
    bore: float


@dataclass(frozen=True, slots=True)
class StubSide:
    """One old stub after its cut, and what it can give.

    ``name`` is the stub's id; ``tip`` [m] and ``outward`` (unit) as surveyed, before the cut;
    ``outside`` is its outside diameter [m]; ``path`` its bare path after the cut and whatever
    digging is planned, None where it must not or cannot bend; ``strain`` what it bears for a moment
    [-]; ``bare`` the straight bare pipe left after the cut [m], None where nobody measured it;
    ``seeps`` the flow that comes out of it [m³/s], and ``wet_after`` how long after the last coat
    that water reaches the joint, with the relief end open; None: at once [s]. ``threaded``: a
    thread stays, and what comes first is screwed to it, ``engagement`` deep [m]. ``runs_on``: its
    pipe goes straight on into the soil, so that digging bares more of it. ``brittle``: a blade that
    squeezes may crack it, so a saw is taken where one has room. ``relief`` is the low end that lets
    its water out while it is joined; None: there is none.
    """

    name: str
    tip: Vec
    outward: Vec
    outside: float
    path: BarePath | None = None
    strain: float = 0.0
    bare: float | None = None
    seeps: float = 0.0
    wet_after: float | None = None
    threaded: bool = False
    engagement: float = 0.0
    runs_on: bool = False
    brittle: bool = False
    relief: Relief | None = None


@dataclass(frozen=True, slots=True)
class Swing:
    """The radius a valve sweeps about its run, with its bonnet and without; None: not measured. [m]

    ``lift`` is the height free above the bonnet's top that taking it off wants. [m]
    """

    with_bonnet: float | None = None
    without: float | None = None
    lift: float | None = None


@dataclass(frozen=True, slots=True)
class OldBody:
    """An old valve to be screwed off a thread that stays: as it stands, and what it sweeps. [m]

    ``turns``: somebody found that it can be turned.
    """

    name: str
    body: Capsule
    swing: Swing
    turns: bool


@dataclass(frozen=True, slots=True)
class Work:
    """Everything that decides in which order a train is put in, and whether it can be.

    ``cement`` is the question about one joint of it (size, warmth, pressure, damp, cement class),
    ``wet`` on it: water stands at the joints; ``outside`` the outside diameter of new pipe [m];
    ``hands`` what a person pushes with [N]; ``play`` what a socket allows to any side [rad].
    ``thread`` is the valve's own thread where its unit is screwed together; ``proved`` that the
    flow's direction is known; ``tools`` what is at hand; ``old`` a valve to be screwed off first.
    """

    train: Train
    cuts: CutList
    sides: tuple[StubSide, StubSide]
    room: Room
    cement: CementedJoint
    outside: float
    hands: float
    play: float = 0.0
    thread: Thread | None = None
    swing: Swing = Swing()
    proved: bool = False
    tools: tuple[str, ...] = AT_HAND
    old: OldBody | None = None
