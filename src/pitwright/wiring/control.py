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
from pitwright.wiring.tables import rows

__all__ = ["refused_control"]


def latching_ohm() -> tuple[float, float]:
    """Ohms between which a sound latching coil reads. [Ω] Source: memory; its sheet decides."""
    row = next(r for r in rows("coil_ranges") if r["item"] == "latching-dc")
    return float(row["low"]), float(row["high"])


def refused_control(harness: Harness, readings: Sequence[Reading] = ()) -> Refusal | None:
    """Why ohms of this system cannot be judged as 24 V AC coils, or None when they can.

    Refused by what the harness file says, or because every coil read so far (two or more) lies
    in the range of latching coils (``data/coil_ranges.csv``, from memory). [Ω]
    """
    control = harness.control
    if control in ("latching", "decoder", "hydraulic"):
        return _refusal(f"control.{control}", harness.name, 0.0, 0.0)
    low, high = latching_ohm()
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
