"""Impedance between two ports of one hypothesis: the only hot loop, exact for opens and leaks.

Z = K_pq - K_pU·(diag(R) + K_UU)^-1·K_Uq with at most two loops: a division, or Cramer's rule.

Source: circuit theory; Woodbury's identity.
"""

from __future__ import annotations

from pitwright.wiring.atoms import Atom, Point
from pitwright.wiring.measuring import MeterTest, Reading, layout, meter_function
from pitwright.wiring.network import OPEN_OHM, Network, View
from pitwright.wiring.tables import meter

__all__ = [
    "Bench",
    "Currents",
    "bench",
    "currents",
    "loop_signs",
    "point_depth",
    "point_rise",
    "shared_depth",
]

POWERED_OPEN = 1e10
"""An open while powered: far over a voltmeter's own input. [Ω]"""

Loops = tuple[float | complex, ...]
Currents = tuple[
    float | complex, float | complex, float | complex, Loops, Loops, list[tuple[int, int]]
]


class Bench:
    """One test laid out on one harness: views, meter, and what a sound harness would show."""

    __slots__ = (
        "a",
        "drive",
        "fixed",
        "harness",
        "kind",
        "limit",
        "net",
        "powered",
        "rel",
        "sense",
        "setup",
        "test",
        "two",
        "vp",
        "vq",
    )

    def __init__(
        self,
        net: Network,
        test: MeterTest,
        swap: tuple[str, str],
        meter3: tuple[float, float, float],
    ) -> None:
        self.net, self.test, self.harness = net, test, net.harness
        self.kind = test.kind
        self.setup, self.drive, self.sense = layout(net, test, swap)
        self.vp = net.view(self.setup, self.drive)
        self.two = self.sense != self.drive
        self.vq = net.view(self.setup, self.sense) if self.two else self.vp
        self.powered = self.setup.powered
        self.rel, self.fixed, self.limit = meter3
        self.a = test.a


def bench(
    net: Network, test: MeterTest, swap: tuple[str, str] = ("", ""), reading: Reading | None = None
) -> Bench:
    """A test laid out, with the reading's own meter when it has one."""
    rel, fixed, limit = meter(meter_function(test))
    if reading is not None:
        rel, fixed, limit = reading.rel or rel, reading.fixed or fixed, reading.limit or limit
    return Bench(net, test, swap, (rel, fixed, limit))


def point_depth(depth: list[float] | list[complex], p: Point) -> float | complex:
    """Ohms from a point to the root."""
    above = depth[p.parent]
    return above + p.down * (depth[p.child] - above)


def shared_depth(
    net: Network, depth: list[float] | list[complex], x: Point, y: Point
) -> float | complex:
    """Ohms of the part of their ways to the root that two points have in common. [Ω]"""
    if x.child == y.child:
        return point_depth(depth, x if x.down <= y.down else y)
    ancestor = net.ancestor(x.child, y.child)
    if ancestor == x.child:
        return point_depth(depth, x)
    if ancestor == y.child:
        return point_depth(depth, y)
    return depth[ancestor]


def point_rise(rise: list[float] | list[complex], p: Point) -> float | complex:
    """K(port, point)."""
    above = rise[p.parent]
    return above + p.down * (rise[p.child] - above)


def point_mask(net: Network, p: Point) -> int:
    """Whole edges between a point and the root."""
    return net.mask[p.child] if p.down >= 1.0 else net.mask[p.parent]


def loop_signs(net: Network, x: Point, y: Point) -> tuple[int, int]:
    """Edges a loop takes upward from ``x``, and those it takes down to ``y``."""
    mx, my = point_mask(net, x), point_mask(net, y)
    return mx & ~my, my & ~mx


def currents(b: Bench, atom: Atom) -> Currents:
    """K(p, p) and K(p, q) with the atom's changes made, and the loops' currents for both ports.

    Returns (Z_pp, Z_pq, Z_qq, x_p, x_q, signs) [Ω]: x are loop currents per unit of port current,
    signs the edge masks of each loop. One loop is a division, two are Cramer's rule [Woodbury
    identity].
    """
    net, vp, vq = b.net, b.vp, b.vq
    pp, pq = vp.own, vq.rise[b.drive.a] - vq.rise[b.drive.b] if b.two else vp.own
    qq = vq.own
    changed: list[tuple[int, float | complex]] = []
    for edge, ohm, factor in atom.series:
        if vp.held >> edge & 1 and not atom.loops:
            continue
        d: float | complex = ohm
        if b.powered:
            d = factor * vp.ohms[edge] if factor else POWERED_OPEN if ohm >= OPEN_OHM else ohm
        changed.append((edge, d))
        sp, sq = vp.sign(edge), vq.sign(edge)
        pp += d * sp * sp
        pq += d * sp * sq
        qq += d * sq * sq
    if not atom.loops:
        return pp, pq, qq, (), (), []
    signs = [loop_signs(net, loop.x, loop.y) for loop in atom.loops]
    kp, kq = [], []
    for loop, (up, down) in zip(atom.loops, signs, strict=True):
        p = point_rise(vp.rise, loop.x) - point_rise(vp.rise, loop.y)
        q = point_rise(vq.rise, loop.x) - point_rise(vq.rise, loop.y) if b.two else p
        for edge, d in changed:
            su = (up >> edge & 1) - (down >> edge & 1)
            if su:
                p += d * vp.sign(edge) * su
                q += d * vq.sign(edge) * su
        kp.append(p)
        kq.append(q)
    a = [
        [_mutual(net, vp, atom, signs, changed, i, j) for j in range(len(signs))]
        for i in range(len(signs))
    ]
    xp: tuple[float | complex, ...]
    xq: tuple[float | complex, ...]
    if len(signs) == 1:
        xp = (kp[0] / a[0][0],)
        xq = (kq[0] / a[0][0],)
    else:
        det = a[0][0] * a[1][1] - a[0][1] * a[1][0]
        xp = ((a[1][1] * kp[0] - a[0][1] * kp[1]) / det, (a[0][0] * kp[1] - a[1][0] * kp[0]) / det)
        xq = ((a[1][1] * kq[0] - a[0][1] * kq[1]) / det, (a[0][0] * kq[1] - a[1][0] * kq[0]) / det)
    for k, x in zip(kp, xp, strict=True):
        pp -= k * x
    for k, x, y in zip(kq, xp, xq, strict=True):
        pq -= k * x
        qq -= k * y
    return pp, pq, qq, xp, xq, signs


def _mutual(
    net: Network,
    view: View,
    atom: Atom,
    signs: list[tuple[int, int]],
    changed: list[tuple[int, float | complex]],
    i: int,
    j: int,
) -> float | complex:
    """K between loops i and j, the loop's own ohms on the diagonal."""
    u, v, depth = atom.loops[i], atom.loops[j], view.depth
    total = (
        shared_depth(net, depth, u.x, v.x)
        - shared_depth(net, depth, u.x, v.y)
        - shared_depth(net, depth, u.y, v.x)
        + shared_depth(net, depth, u.y, v.y)
    )
    for edge, d in changed:
        su = (signs[i][0] >> edge & 1) - (signs[i][1] >> edge & 1)
        sv = (signs[j][0] >> edge & 1) - (signs[j][1] >> edge & 1)
        total += d * su * sv
    return total + u.ohm if i == j else total
