"""What each test would show under each hypothesis, with what it shares with other readings.

A prediction is a plain tuple ``(over, mean, variance, shares)``: chance of over-range, mean and
variance of a finite reading (meter and what no other reading shares), and its derivative by each
shared unknown, see :mod:`~pitwright.wiring.shares`.

Source: circuit theory; scatter and borders are judgement.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

from pitwright.wiring.atoms import Atom
from pitwright.wiring.capacity import capacitance
from pitwright.wiring.impedance import Bench, currents
from pitwright.wiring.measuring import EARTH
from pitwright.wiring.network import METER_OHM, OPEN_OHM
from pitwright.wiring.shares import shares

__all__ = ["Prediction", "moving", "predict"]

Prediction = tuple[float, float, float, tuple[tuple[int, float], ...]]
"""Chance of over-range [-], mean, variance and shares. [Ω, V, A or F]"""

FLOATING = 0.7
"""Scatter of a reading on a wire that hangs on nothing but the meter, by how far it floats."""
OVER_WIDTH = 0.05
"""Width of the border between a finite reading and over-range, in the logarithm. Judgement."""
NEVER = 1e-4
"""Least chance given to over-range or to its absence: meters and people do slip. Judgement."""
PART_SHORT_POWERS = (1.4, 2.6)
"""A part-shorted coil's impedance falls with this power of the ohms left. Judgement."""
AC_COIL, AC_WIRE = 0.064, 0.05
"""Scatter of loaded volts by (1 - V/open) and of amps, coil and wire together. Judgement."""


def over_range(ohm: float, limit: float) -> float:
    """Chance that a meter shows over-range. [-]"""
    if ohm <= 0.0:
        return NEVER
    t = log(ohm / limit) / OVER_WIDTH
    if t > 40.0:
        return 1.0 - NEVER
    if t < -40.0:
        return NEVER
    return min(max(1.0 / (1.0 + exp(-t)), NEVER), 1.0 - NEVER)


def predict(b: Bench, atom: Atom, near: float | None = None) -> Prediction:
    """What one test shows under one hypothesis; ``near`` fixes the meter's error at a reading."""
    kind = b.kind
    if kind == "capacitance":
        return capacitance(b, atom)
    pp, pq, qq, xp, xq, signs = currents(b, atom)
    if b.powered:
        return _powered(b, atom, pp, pq, near)
    z, w = pp.real, pq.real
    over = over_range(z, b.limit)
    loose = 0.0
    if kind == "transfer":
        # the millivolt meter's own input pulls a floating wire down
        held = METER_OHM / (METER_OHM + max(qq.real, 0.0))
        if qq.real > OPEN_OHM / 4 and EARTH not in b.test.sense:
            held = 0.0
        loose = FLOATING * w * held * (1.0 - held)
        if held < 0.999:
            held_shares = tuple((k, v * held) for k, v in shares(b, atom, w, xp, xq, signs))
            sd = 0.5 * (b.rel * abs(near if near is not None else w * held) + b.fixed)
            return over, w * held, sd * sd + loose * loose, held_shares
        w *= held
    sd = 0.5 * (b.rel * abs(near if near is not None else w) + b.fixed)
    if over > 0.5 and z > OPEN_OHM / 4:
        return over, w, sd * sd + 0.01 * w * w, ()
    return over, w, sd * sd + loose * loose, shares(b, atom, w, xp, xq, signs)


def _powered(b: Bench, atom: Atom, pp: complex, pq: complex, near: float | None) -> Prediction:
    """Volts at the sense port, or amps, with one station on. Magnitudes of phasors."""
    value = _magnitude(b, pp, pq)
    if b.kind == "amps":
        own = AC_WIRE * value
    else:
        own = AC_COIL * value * max(1.0 - value / b.harness.source.volts_open, 0.0)
    sd = 0.5 * (b.rel * (near if near is not None else value) + b.fixed)
    variance = sd * sd + own * own
    if atom.series and atom.series[0][2]:
        spread = _part_short_spread(b, atom)
        variance += spread * spread
    return 0.0, value, variance, ()


def _magnitude(b: Bench, pp: complex, pq: complex) -> float:
    source = b.harness.source
    amps = source.volts_open / (pp + source.ohm)
    return abs(amps) if b.kind == "amps" else abs(amps * pq)


def _part_short_spread(b: Bench, atom: Atom) -> float:
    """How far a loaded reading of a part-shorted coil may differ from the square law's. [V or A]"""
    found = []
    for power in PART_SHORT_POWERS:
        (edge, ohm, _), *rest = atom.series
        factor = float(atom.severity**power) - 1.0
        pp, pq, _, _, _, _ = currents(b, replace(atom, series=((edge, ohm, factor), *rest)))
        found.append(_magnitude(b, pp, pq))
    return 0.5 * abs(found[0] - found[1])


def moving(b: Bench, atom: Atom) -> dict[int, float]:
    """Volts at every coil that carries current, by station number, with station ``a`` on. [V]"""
    net, vp = b.net, b.vp
    pp, _, _, xp, _, signs = currents(b, atom)
    source = b.harness.source
    amps = source.volts_open / (pp + source.ohm)
    touched = vp.plus | vp.minus
    for up, down in signs:
        touched |= up | down
    coils = touched & net.coil_mask
    series = {edge: (ohm, factor) for edge, ohm, factor in atom.series}
    found: dict[int, float] = {}
    while coils:
        edge = coils.bit_length() - 1
        coils ^= 1 << edge
        j: complex = complex(vp.sign(edge))
        for (up, down), x in zip(signs, xp, strict=True):
            j -= ((up >> edge & 1) - (down >> edge & 1)) * x
        z = vp.ohms[edge]
        if edge in series:
            ohm, factor = series[edge]
            if not factor and ohm > OPEN_OHM / 10:
                continue
            z = z * (1.0 + factor)
        found[net.coil_index[edge]] = abs(amps * j * z)
    return found
