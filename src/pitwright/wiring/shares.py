"""What a reading shares with other readings: coils, the wire's ohms, the fault's own severity.

Derivatives of a reading by each shared unknown, in units of that unknown's one sigma. They cost
nothing: dZ/dr = j_p·j_q on every edge, and what is left of the reading after coils and fault is
the wire's part (power balance).

Source: circuit theory, the adjoint network.
"""

from __future__ import annotations

from pitwright.wiring.atoms import Atom, Point
from pitwright.wiring.impedance import Bench, Loops, point_depth, shared_depth
from pitwright.wiring.network import Network, View

__all__ = ["CAPACITY", "POSITION", "SEVERITY", "SEVERITY2", "WIRE", "shares"]

WIRE, SEVERITY, POSITION, CAPACITY, SEVERITY2 = -1, -2, -3, -4, -5
"""Numbers of the shared unknowns; coils go by their station's number."""
_LEAST = 1e-4
"""A share smaller than this is left out. [Ω]"""


def shares(
    b: Bench,
    atom: Atom,
    w: float,
    xp: Loops,
    xq: Loops,
    signs: list[tuple[int, int]],
) -> tuple[tuple[int, float], ...]:
    """Derivatives of a reading ``w`` by the shared unknowns, each times its one sigma. [Ω]

    ``xp``, ``xq``: loop currents per ampere of drive and of sense; ``signs`` the loops' edges.
    """
    if b.kind == "insulation":
        return _leak_shares(atom, xp, xq)
    net, vp, vq = b.net, b.vp, b.vq
    touched = vp.plus | vp.minus | vq.plus | vq.minus
    for up, down in signs:
        touched |= up | down
    coils = touched & net.coil_mask & ~vp.held
    found: list[tuple[int, float]] = []
    rest = w
    while coils:
        edge = coils.bit_length() - 1
        coils ^= 1 << edge
        ohm = net.dc[edge]
        for changed, lost, _ in atom.series:
            if changed == edge and lost < 0.0:
                ohm += lost
        share = ohm * _current(b, edge, xp, xq, signs)
        rest -= share
        if share > _LEAST or share < -_LEAST:
            found.append((net.coil_index[edge], b.harness.coil_rel * share))
    if atom.series or atom.loops:
        rest = _fault_shares(b, atom, rest, xp, xq, signs, found)
    if rest:
        found.append((WIRE, b.harness.wire_rel * rest))
    if atom.loops and atom.position_sd and not atom.series:
        slope = _position_slope(b, atom, xp, xq)
        if slope > _LEAST or slope < -_LEAST:
            found.append((POSITION, slope * atom.position_sd))
    return tuple(found)


def _current(b: Bench, edge: int, xp: Loops, xq: Loops, signs: list[tuple[int, int]]) -> float:
    """Product of an edge's currents for an ampere of drive and one of sense. [-]"""
    jp, jq = float(b.vp.sign(edge)), float(b.vq.sign(edge))
    for (up, down), p, q in zip(signs, xp, xq, strict=True):
        su = (up >> edge & 1) - (down >> edge & 1)
        if su:
            jp -= su * p.real
            jq -= su * q.real
    return jp * jq


def _fault_shares(
    b: Bench,
    atom: Atom,
    rest: float,
    xp: Loops,
    xq: Loops,
    signs: list[tuple[int, int]],
    found: list[tuple[int, float]],
) -> float:
    """Adds the severities' shares to ``found``; returns what is left of the reading. [Ω]"""
    spreads = (atom.spread, atom.spread2)
    names = (SEVERITY, SEVERITY2)
    for number, (edge, ohm, _) in enumerate(atom.series):
        if b.vp.held >> edge & 1:
            continue
        product = _current(b, edge, xp, xq, signs)
        if ohm > 0.0:
            rest -= ohm * product
        if spreads[number] and product:
            found.append((names[number], spreads[number] * product))
    for number, (loop, p, q) in enumerate(zip(atom.loops, xp, xq, strict=True), len(atom.series)):
        share = loop.ohm * p.real * q.real
        rest -= share
        if spreads[number] and share:
            found.append((names[number], spreads[number] * share))
    return rest


def _leak_shares(atom: Atom, xp: Loops, xq: Loops) -> tuple[tuple[int, float], ...]:
    """In an insulation test only the leaks' own ohms are shared. [Ω]"""
    first = len(atom.series)
    return tuple(
        (name, sd * loop.ohm * p.real * q.real)
        for name, sd, loop, p, q in zip(
            (SEVERITY, SEVERITY2)[first:],
            (atom.spread, atom.spread2)[first:],
            atom.loops,
            xp,
            xq,
            strict=False,
        )
        if sd
    )


def _position_slope(b: Bench, atom: Atom, xp: Loops, xq: Loops) -> float:
    """Change of the reading when a leak moves one whole segment. [Ω]"""
    vp, vq, net = b.vp, b.vq, b.net
    loop = atom.loops[0]
    x, y = loop.x, loop.y
    turn_x = _turn(net, x)
    turn_y = 0.0 if y.child == net.earth else _turn(net, y)
    dp = turn_x * (vp.rise[x.child] - vp.rise[x.parent]).real
    dq = turn_x * (vq.rise[x.child] - vq.rise[x.parent]).real
    if turn_y:
        dp -= turn_y * (vp.rise[y.child] - vp.rise[y.parent]).real
        dq -= turn_y * (vq.rise[y.child] - vq.rise[y.parent]).real
    du = 0.0
    if turn_y:
        du = (
            _own(net, vp, x, y, turn_x, turn_y, 1e-3) - _own(net, vp, x, y, turn_x, turn_y, -1e-3)
        ) / 2e-3
    p, q = xp[0].real, xq[0].real
    return -(dp * q + dq * p) + du * p * q


def _turn(net: Network, p: Point) -> float:
    """+1 where the edge runs away from the controller, -1 where it runs toward it."""
    return 1.0 if net.wire_down(p.child) else -1.0


def _own(net: Network, view: View, x: Point, y: Point, tx: float, ty: float, step: float) -> float:
    a = Point(x.parent, x.child, x.down + tx * step)
    c = Point(y.parent, y.child, y.down + ty * step)
    d = view.depth
    total = point_depth(d, a) + point_depth(d, c) - 2 * shared_depth(net, d, a, c)
    return total.real
