"""What lies on the shelf: dimensions with their scatter, pipes, fittings and their ports."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from pitwright.findings import Finding, SourceKey
from pitwright.units.spread import Limit, sigma_from

__all__ = ["Dim", "Fitting", "FittingPort", "JointKind", "Pipe"]


class JointKind(Enum):
    """What an end offers. PIPE is a plain pipe end: a cut stub, or a cut piece."""

    SOCKET = "socket"
    SPIGOT = "spigot"
    PIPE = "pipe"
    MALE_THREAD = "male-thread"
    FEMALE_THREAD = "female-thread"
    INSERT = "insert"
    COMPRESSION = "compression"
    PUSH_FIT = "push-fit"
    UNION_FACE = "union-face"
    SADDLE = "saddle"
    SOLDER = "solder"


@dataclass(frozen=True, slots=True)
class Dim:
    """One dimension of a part. [m], unless the owner of the field says otherwise.

    ``value`` is what is planned with (measured, else the user's, else a typical part; never a
    standard's bare minimum); the part itself may lie anywhere in ``low`` to ``high``. ``status`` is
    "sourced", "memory", "derived", "judgement", "suspect" or "user". ``measured`` is True only
    where a person measured this very part. ``replaced`` keeps what this dimension overrides,
    newest first.
    """

    value: float
    low: float
    high: float
    source: SourceKey
    status: str
    measured: bool = False
    replaced: tuple[Dim, ...] = ()

    @property
    def sigma(self) -> float:
        """One sigma of a part that lies anywhere in low to high alike. [m] [GUM, 4.3.7]"""
        return sigma_from(Limit((self.high - self.low) / 2)).one

    def scaled(self, factor: float) -> Dim:
        """The dimension times a positive number [-]: half a coupling's stop, for one."""
        return replace(
            self, value=self.value * factor, low=self.low * factor, high=self.high * factor
        )

    def over(self, older: Dim) -> Dim:
        """This dimension in the place of an older one [m], which stays visible."""
        return replace(self, replaced=(older, *older.replaced))


@dataclass(frozen=True, slots=True)
class Pipe:
    """One pipe of one size. Lengths [m]; pressure [Pa] at 23 °C; ratio of diameter to wall [-].

    ``joints`` are the kinds of port that take this pipe's plain end; where it is empty, nothing
    on the shelf may be joined to it (``hazards`` says why). ``bore`` is set where the standard
    controls the bore and not the outside. ``out_of_round`` is how far a single diameter may lie
    from the mean one. [m] ``prior`` says how often a size that fits turns out to be this pipe,
    against the others, and ``rank`` breaks ties: both are judgement. [-]
    """

    id: str
    name: str
    family: str
    material: str
    system: str
    size: str
    schedule: str
    od: Dim
    wall: Dim
    bore: Dim | None
    pressure: float | None
    pressure_source: SourceKey | None
    joints: tuple[JointKind, ...]
    out_of_round: Dim | None
    hazards: tuple[str, ...]
    colours: tuple[str, ...]
    stiffness: str
    rank: int
    prior: float
    ratio: float | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def joinable(self) -> tuple[JointKind, ...]:
        """The kinds of port that take this pipe's plain end."""
        return self.joints

    @property
    def average_bore(self) -> float:
        """The bore of a middling pipe: OD less two typical walls, or the controlled bore. [m]"""
        return self.bore.value if self.bore else self.od.value - 2 * self.wall.value

    @property
    def minimum_wall_bore(self) -> float:
        """The bore at the least wall, as flow tables often take it. [m]"""
        return self.bore.high if self.bore else self.od.value - 2 * self.wall.low

    @property
    def least_bore(self) -> float:
        """The bore of the smallest and thickest pipe the rules allow. [m]"""
        return self.bore.low if self.bore else self.od.low - 2 * self.wall.high


@dataclass(frozen=True, slots=True)
class FittingPort:
    """One labelled end of a fitting.

    ``takeout`` runs from the fitting's centre to the seat: socket bottom, spigot end, male thread
    tip, female thread face, or where the pipe end comes to lie in a compression body. [m]
    ``depth`` is the socket's depth, the spigot's length, the grip, or for a thread the length
    engaged when made up 1-1/2 turns past hand-tight. [m] ``system`` says whose sizes ``size``
    counts in: "ips", "cts", "sidr", "metric", "inch series", "npt" or "bsp".

    The two take-outs of a straight body are halves of one length and err together: its scatter
    from seat to seat is their sum, not the root of their squares. Those of a telescoping coupling
    are for the body pushed together.
    """

    label: str
    joint: JointKind
    system: str
    size: str
    takeout: Dim
    depth: Dim


@dataclass(frozen=True, slots=True)
class Fitting:
    """One fitting. ``angle_deg`` lies between straight on and the other port. [deg]

    ``outside`` is the largest outside diameter; ``overall`` the length of a body where it is known
    (a stop-less coupling must be parked on that much bare pipe); ``collapsed`` and ``stroke``
    belong to a telescoping coupling. [m]
    """

    id: str
    kind: str
    name: str
    size: str
    schedule: str
    material: str
    angle_deg: float
    ports: tuple[FittingPort, ...]
    outside: Dim
    overall: Dim | None = None
    collapsed: Dim | None = None
    extended: Dim | None = None
    findings: tuple[Finding, ...] = ()

    def port(self, label: str) -> FittingPort:
        """The port called ``label``. Raises KeyError, naming it. Source: the shelf's own tables."""
        for port in self.ports:
            if port.label == label:
                return port
        raise KeyError(f"{self.id} has no port {label!r}")

    @property
    def measured(self) -> bool:
        """Whether every take-out and depth of this fitting was measured by a person."""
        return all(p.takeout.measured and p.depth.measured for p in self.ports)

    @property
    def seat_to_seat(self) -> float:
        """From the first port's seat through the centre to the second's, typical. [m]"""
        return sum(p.takeout.value for p in self.ports[:2])
