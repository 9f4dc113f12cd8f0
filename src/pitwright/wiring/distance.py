"""How far along the wire: each method with its band and what it needs.

Every method returns metres along the route from the end it is measured at, with one sigma, and
says whether that is a point or only an upper bound. Ohms carry no position of an open at all.
The band assumes the route length is known; its own uncertainty is added in quadrature.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from pitwright.errors import OutOfRange

__all__ = [
    "Distance",
    "by_both_ends",
    "by_capacitance",
    "by_capacitance_both_ends",
    "by_loop_ohms",
    "by_murray",
    "by_varley",
    "by_volt_drop",
    "murray_share",
]


@dataclass(frozen=True, slots=True)
class Distance:
    """``metres`` from the measuring end with one sigma ``sd`` [m].

    ``kind`` is "point" or "no farther than"; ``method`` and ``needs`` name the way and what it
    takes to do it.
    """

    metres: float
    sd: float
    kind: str
    method: str
    needs: str

    @property
    def band(self) -> float:
        """Half of the 95 % band. [m]"""
        return 1.96 * self.sd


def _positive(**values: float) -> None:
    for name, value in values.items():
        if not value > 0.0:
            raise OutOfRange(name, value, "more than 0", "any", "measure it and give its value")


def by_loop_ohms(
    ohm: float, per_metre: float, sd_ohm: float, scale_sd: float = 0.04, leads: float = 0.0
) -> Distance:
    """No farther than: d = (R - leads)/r, for the fault's own ohms are unknown. [m]

    ``ohm`` and ``sd_ohm`` [Ω] at one end, ``per_metre`` of both wires together [Ω/m],
    ``scale_sd`` one sigma of the wire's ohms per metre [-]. Raises OutOfRange. [circuit theory]
    """
    _positive(per_metre=per_metre, sd_ohm=sd_ohm)
    metres = max(ohm - leads, 0.0) / per_metre
    return Distance(
        metres,
        hypot(sd_ohm / per_metre, scale_sd * metres),
        "no farther than",
        "loop ohms from one end",
        "a low-ohm fault between two wires; leads nulled; coil parted",
    )


def by_both_ends(
    near: float, far: float, per_metre: float, length: float, sd_ohm: float, length_sd: float = 0.0
) -> Distance:
    """d = L/2 + (Ra - Rb)/(2r): the fault's ohms cancel. [m]

    Ohms of the same pair from the near and the far end [Ω], far end open both times; ``length``
    of the route and its one sigma [m]. Raises OutOfRange. [circuit theory]
    """
    _positive(per_metre=per_metre, length=length, sd_ohm=sd_ohm)
    metres = 0.5 * length + (near - far) / (2.0 * per_metre)
    sd = hypot(sd_ohm * 2**0.5 / (2.0 * per_metre), 0.5 * length_sd)
    return Distance(metres, sd, "point", "ohms from both ends", "both ends at hand, coil parted")


def murray_share(near_arm: float, far_arm: float) -> float:
    """Share of the loop's ohms that lies between the near arm's end and the fault. [-]

    Arms in any one unit (Ω or divisions of a slide wire). Raises OutOfRange. [Murray loop]
    """
    _positive(near_arm=near_arm, far_arm=far_arm)
    return near_arm / (near_arm + far_arm)


def by_murray(
    near_arm: float,
    far_arm: float,
    length: float,
    bad_per_metre: float = 1.0,
    good_per_metre: float = 1.0,
    share_sd: float = 0.003,
    length_sd: float = 0.0,
) -> Distance:
    """Murray loop: d = a·(rx·L + rg·L)/rx with a from the balanced arms. [m]

    ``near_arm`` is the arm on the bad wire; ``length`` of the route [m]; ohms per metre of bad
    and good wire (only their ratio matters) [Ω/m]; one sigma of the share [-]. Raises OutOfRange.
    [Murray loop]
    """
    _positive(length=length, bad_per_metre=bad_per_metre, good_per_metre=good_per_metre)
    share = murray_share(near_arm, far_arm)
    whole = (bad_per_metre + good_per_metre) * length / bad_per_metre
    return Distance(
        share * whole,
        hypot(share_sd * share * whole, share * whole / length * length_sd),
        "point",
        "Murray loop",
        "a good wire joined to the bad one at the far end, a bridge or slide wire",
    )


def by_varley(loop: float, balance: float, per_metre: float, sd_ohm: float = 0.15) -> Distance:
    """Varley loop, equal arms: the bad wire's ohms to the fault are (loop - balance)/2. [m]

    ``loop`` and ``balance`` [Ω], one sigma ``sd_ohm`` of each [Ω], ``per_metre`` of the bad wire
    [Ω/m]. Raises OutOfRange. [Varley loop]
    """
    _positive(loop=loop, per_metre=per_metre, sd_ohm=sd_ohm)
    if not 0.0 <= balance <= loop:
        raise OutOfRange("balance", balance, 0, loop, "read loop and balance again")
    return Distance(
        (loop - balance) / (2.0 * per_metre),
        sd_ohm * 2**0.5 / (2.0 * per_metre),
        "point",
        "Varley loop",
        "a good wire joined to the bad one at the far end, a bridge with a rheostat",
    )


def by_volt_drop(
    near: float,
    far: float,
    length: float,
    bad_per_metre: float = 1.0,
    good_per_metre: float = 1.0,
    volt_rel: float = 0.005,
    volt_abs: float = 0.002,
    length_sd: float = 0.0,
) -> Distance:
    """Volt-drop ratio: current through good and bad wire joined far away; a = V1/(V1 + V2). [m]

    ``near``: volts from the bad wire's end to the fault's other side (earth), ``far``: from the
    good wire's end [V]; two-sigma limits of the meter [-] and [V]. The fault's ohms cancel while
    they are far below the meter's own. Raises OutOfRange. [circuit theory]
    """
    _positive(near=near, far=far, length=length)
    share = near / (near + far)
    sd_near = 0.5 * (volt_rel * near + volt_abs)
    sd_far = 0.5 * (volt_rel * far + volt_abs)
    total = near + far
    sd = hypot(far * sd_near, near * sd_far) / (total * total)
    whole = (bad_per_metre + good_per_metre) * length / bad_per_metre
    return Distance(
        share * whole,
        hypot(sd * whole, share * whole / length * length_sd),
        "point",
        "volt-drop ratio",
        "a good wire joined to the bad one at the far end, a steady half ampere, millivolts",
    )


def by_capacitance(
    bad: float, good: float, good_length: float, rel: float = 0.05, length_sd: float = 0.0
) -> Distance:
    """An open's distance by ratio to a good wire of known length: d = Lg·Cx/Cg. [m]

    Farads both [F] (any one unit), one sigma ``rel`` of each reading [-]. Raises OutOfRange.
    [circuit theory: capacitance grows with length]
    """
    _positive(good=good, good_length=good_length)
    if bad < 0.0:
        raise OutOfRange("bad", bad, 0, "any", "read the capacitance again")
    metres = good_length * bad / good
    return Distance(
        metres,
        hypot(metres * rel * 2**0.5, metres / good_length * length_sd),
        "point",
        "capacitance ratio to a good wire",
        "an open, dry enough not to shunt; a good wire in the same trench; terminals lifted",
    )


def by_capacitance_both_ends(
    near: float, far: float, length: float, rel: float = 0.03, length_sd: float = 0.0
) -> Distance:
    """An open's distance from both ends of the same wire: d = L·C1/(C1 + C2). [m]

    Farads both [F], one sigma ``rel`` of each [-], route ``length`` and its one sigma [m]. Raises
    OutOfRange. [circuit theory: capacitance grows with length]
    """
    _positive(near=near, far=far, length=length)
    share = near / (near + far)
    sd = rel * 2**0.5 * share * (1.0 - share) * length
    return Distance(
        share * length,
        hypot(sd, share * length_sd),
        "point",
        "capacitance from both ends",
        "an open; both ends of the wire at hand",
    )
