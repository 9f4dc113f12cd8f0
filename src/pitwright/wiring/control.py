"""What kind of control this is, before anything is concluded from ohms.

The inference knows 24 V alternating-current coils. Latching coils, decoders on a two-wire path and
hydraulic tubes are recognised and refused, with what to do instead: a latching coil of a few ohms
is sound, not shorted.
"""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.findings import Refusal, Short
from pitwright.survey.harness import Harness
from pitwright.wiring.measuring import Reading

__all__ = ["refused_control"]

LATCHING_OHM = (1.0, 12.0)
"""Ohms between which a sound latching coil reads. [Ω] From memory; its sheet decides."""


def refused_control(harness: Harness, readings: Sequence[Reading] = ()) -> Refusal | None:
    """Why ohms of this system cannot be judged as 24 V AC coils, or None when they can.

    Refused by what the harness file says, or because every coil read so far (two or more) lies
    between 1 and 12 Ω, which is a latching coil's reading. Limits from memory.
    """
    control = harness.control
    if control in ("latching", "decoder", "hydraulic"):
        return _refusal(f"control.{control}", harness.name, 0.0, 0.0)
    low, high = LATCHING_OHM
    ohms = {
        r.test.a: float(r.value)
        for r in readings
        if r.test.kind in ("ohms", "coil") and not r.test.b and isinstance(r.value, float | int)
    }
    nominal = min((s.coil.dc_ohm for s in harness.stations), default=28.0)
    all_low = len(ohms) >= 2 and all(low <= v <= high for v in ohms.values())
    if control == "unknown" and nominal < high:
        return _refusal("control.coil-ohms", harness.name, nominal, high)
    if all_low and len(ohms) == len([r for r in readings if r.test.kind in ("ohms", "coil")]):
        return _refusal("control.all-low", harness.name, max(ohms.values()), high)
    return None


def _refusal(code: str, where: str, have: float, need: float) -> Refusal:
    lift = {
        "control.latching": "pulse-test",
        "control.decoder": "two-wire-test",
        "control.hydraulic": "tube-test",
    }.get(code, "read-the-coils-label")
    return Refusal((Short(code, where, have, need, max(need - have, 0.0), "ohm", lift),), 1)
