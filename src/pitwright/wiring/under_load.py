"""What a coil gets under load: phasors to foretell a reading, the scalar rule to pass or fail.

A coil's impedance is not its ohmmeter reading. Wire drop and coil volts are not in phase, so the
scalar rule (drop = I·R taken straight off the rated volts) is shorter and safer: it alone decides.

Source: circuit theory.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import OutOfRange
from pitwright.survey.harness import Harness, Source
from pitwright.wiring.copper import ohm_per_metre

__all__ = [
    "CoilVolts",
    "coil_volts",
    "longest_run",
    "run_within",
    "runs_short",
    "splice_sag",
    "station_volts",
]

RATED_VOLTS = 24.0
"""Volts of the supply at rated load. [V] Common practice, no source."""
DESIGN_PULL_IN = 20.0
"""Volts a coil must get by design. [V] [maker-sheet]"""


@dataclass(frozen=True, slots=True)
class CoilVolts:
    """What one of several coils gets: volts [V], amps of all together [A], load [VA]."""

    volts: float
    amps: float
    va: float
    overloaded: bool


def coil_volts(
    coil: complex, own_ohm: float, common_ohm: float, source: Source, coils: int = 1
) -> CoilVolts:
    """Volts at each of ``coils`` like coils on like wires that share one common, as phasors.

    V = Voc·(Z/n)/(Z/n + Rs/n + Rc + Rsrc): ``coil`` impedance [Ω], ohms of one station wire and of
    the shared common [Ω]. Raises OutOfRange. [circuit theory]
    """
    if coils < 1:
        raise OutOfRange("coils", coils, 1, "any", "count the coils that are on together")
    load = coil / coils
    amps = source.volts_open / (load + own_ohm / coils + common_ohm + source.ohm)
    va = source.volts_open * abs(amps)
    return CoilVolts(abs(amps * load), abs(amps), va, va > source.va)


def station_volts(
    harness: Harness, station: str, kind: str = "holding", bad_splice: float = 0.0
) -> CoilVolts:
    """What one station's coil gets when it runs alone, with ``bad_splice`` ohms in series. [V, A]

    ``kind`` is "holding" or "inrush". Raises UnknownName. [circuit theory]
    """
    one = harness.station(station)
    metres = harness.length_to(one.box)
    wire = ohm_per_metre(one.awg, harness.temperature) * metres
    common = ohm_per_metre(harness.awg(one.common), harness.temperature) * metres
    ohm = wire + 2.0 * harness.splice_ohm + bad_splice
    z = one.coil.inrush if kind == "inrush" else one.coil.holding
    return coil_volts(z, ohm, common, harness.source)


def splice_sag(
    coil: complex, wire_ohm: float, splice_ohm: float, volts: float = RATED_VOLTS
) -> tuple[float, float]:
    """Amps and volts at a coil behind a bad splice; unloaded, the same meter reads all the volts.

    Impedance and ohms [Ω], supply volts [V]; returns (A, V). [circuit theory]
    """
    amps = volts / (coil + wire_ohm + splice_ohm)
    return abs(amps), abs(amps * coil)


def longest_run(
    station_awg: int,
    common_awg: int,
    amps: float,
    volts: float = RATED_VOLTS,
    least: float = DESIGN_PULL_IN,
    celsius: float = 20.0,
    coils: int = 1,
) -> float:
    """Longest one-way run by the scalar rule: (V - Vmin)/(I·(rs + rc)). [m]

    ``amps`` inrush of one coil [A]; ``coils`` on one station wire; supply and least volts [V].
    Raises OutOfRange. Common practice; reproduces published charts within 1.3 %.
    """
    both = ohm_per_metre(station_awg, celsius) + ohm_per_metre(common_awg, celsius)
    return run_within(both, amps * coils, volts, least)


def run_within(both: float, amps: float, volts: float, least: float) -> float:
    """The scalar rule itself: (V - Vmin)/(I·r). [m]

    ``both``: ohms of out and back per metre of route [Ω/m]; amps [A], volts [V]. Raises OutOfRange.
    Common practice, no source.
    """
    if not 0.0 < amps < 20.0:
        raise OutOfRange("amps", amps, "more than 0 A", "20 A", "take the inrush from the sheet")
    if least >= volts:
        raise OutOfRange("least", least, 0, volts, "the coil must need less than the supply gives")
    return (volts - least) / (amps * both)


def runs_short(harness: Harness, station: str) -> tuple[float, float]:
    """A station's run and the longest the scalar rule allows it. [m, m] Raises UnknownName.

    Inrush is taken at rated volts over the coil's inrush impedance. Common practice, no source.
    """
    one = harness.station(station)
    amps = RATED_VOLTS / abs(one.coil.inrush)
    allowed = longest_run(
        one.awg, harness.awg(one.common), amps, celsius=max(harness.temperature, 20.0)
    )
    return harness.length_to(one.box), allowed
