"""What each test would show under each hypothesis, with what it shares with other readings.

A prediction is a plain tuple ``(over, mean, variance, shares)``: chance of over-range, mean and
variance of a finite reading (meter and what no other reading shares), and its derivative by each
shared unknown in units of that unknown's one sigma. Shared unknowns are numbered: coils by their
station's number, then :data:`WIRE`, :data:`SEVERITY`, :data:`POSITION` and :data:`CAPACITY`.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

from pitwright.survey.harness import Harness
from pitwright.wiring.atoms import Atom, Point
from pitwright.wiring.measuring import EARTH, MeterTest, Reading, layout, meter_function
from pitwright.wiring.network import METER_OHM, OPEN_OHM, Network, Port, Setup, View
from pitwright.wiring.tables import meter

__all__ = [
    "CAPACITY",
    "POSITION",
    "SEVERITY",
    "WIRE",
    "Bench",
    "Prediction",
    "bench",
    "moving",
    "predict",
    "shared_depth",
]

WIRE, SEVERITY, POSITION, CAPACITY, SEVERITY2 = -1, -2, -3, -4, -5
Prediction = tuple[float, float, float, tuple[tuple[int, float], ...]]

POWERED_OPEN = 1e10
"""An open while powered: far over a voltmeter's own input. [Ω]"""
FLOATING = 0.7
"""Scatter of a reading on a wire that hangs on nothing but the meter, by how far it floats."""
OVER_WIDTH = 0.05
"""Width of the border between a finite reading and over-range, in the logarithm. Judgement."""
NEVER = 1e-4
"""Least chance given to over-range or to its absence: meters and people do slip. Judgement."""
SHUNT_OHM = 1e6
"""Below this between wire and common a capacitance meter shows nothing. [Ω] Judgement."""
CAP_UNKNOWN = 0.4
"""One sigma of capacitance per metre before a good wire was measured. [-] Judgement."""
CAP_GUESS = 0.025e-9 / 0.3048
"""Capacitance per metre to start from: soil and lay change it much. [F/m] From memory."""
PART_SHORT_POWERS = (1.4, 2.6)
"""A part-shorted coil's impedance falls with this power of the ohms left. Judgement."""
AC_COIL, AC_WIRE = 0.064, 0.05
"""Scatter of loaded volts by (1 - V/open) and of amps, coil and wire together. Judgement."""


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

    Returns (Z_pp, Z_pq, Z_qq, x_p, x_q, signs): x are loop currents per unit of port current; signs the
    edge masks of each loop. One loop is a division, two are Cramer's rule [Woodbury identity].
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
        return _capacitance(b, atom)
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
            shares = tuple((k, v * held) for k, v in _shares(b, atom, w, xp, xq, signs))
            sd = 0.5 * (b.rel * abs(near if near is not None else w * held) + b.fixed)
            return over, w * held, sd * sd + loose * loose, shares
        w *= held
    sd = 0.5 * (b.rel * abs(near if near is not None else w) + b.fixed)
    if over > 0.5 and z > OPEN_OHM / 4:
        return over, w, sd * sd + 0.01 * w * w, ()
    return over, w, sd * sd + loose * loose, _shares(b, atom, w, xp, xq, signs)


def _shares(
    b: Bench,
    atom: Atom,
    w: float,
    xp: tuple[float | complex, ...],
    xq: tuple[float | complex, ...],
    signs: list[tuple[int, int]],
) -> tuple[tuple[int, float], ...]:
    """Derivatives by the shared unknowns: dZ/dr = j_p·j_q on every edge [adjoint network]."""
    net, vp, vq = b.net, b.vp, b.vq
    if b.kind == "insulation":
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
    touched = vp.plus | vp.minus | vq.plus | vq.minus
    for up, down in signs:
        touched |= up | down
    coils = touched & net.coil_mask & ~vp.held
    found: list[tuple[int, float]] = []
    rest = w
    changed = {edge: ohm for edge, ohm, _ in atom.series}
    while coils:
        edge = coils.bit_length() - 1
        coils ^= 1 << edge
        jp, jq = float(vp.sign(edge)), float(vq.sign(edge))
        for (up, down), p, q in zip(signs, xp, xq, strict=True):
            su = (up >> edge & 1) - (down >> edge & 1)
            jp -= su * p.real
            jq -= su * q.real
        ohm = net.dc[edge]
        part_short = edge in changed and changed[edge] < 0.0
        if part_short:
            ohm += changed[edge]
        share = ohm * jp * jq
        rest -= share
        if share > 1e-4 or share < -1e-4:
            found.append((net.coil_index[edge], b.harness.coil_rel * share))
    spreads = (atom.spread, atom.spread2)
    names = (SEVERITY, SEVERITY2)
    for number, (edge, ohm, _) in enumerate(atom.series):
        if vp.held >> edge & 1:
            continue
        jp, jq = float(vp.sign(edge)), float(vq.sign(edge))
        for (up, down), p, q in zip(signs, xp, xq, strict=True):
            su = (up >> edge & 1) - (down >> edge & 1)
            jp -= su * p.real
            jq -= su * q.real
        if ohm > 0.0:
            rest -= ohm * jp * jq
        if spreads[number] and jp * jq:
            found.append((names[number], spreads[number] * jp * jq))
    for number, (loop, p, q) in enumerate(zip(atom.loops, xp, xq, strict=True), len(atom.series)):
        share = loop.ohm * p.real * q.real
        rest -= share
        if spreads[number] and share:
            found.append((names[number], spreads[number] * share))
    if rest:
        found.append((WIRE, b.harness.wire_rel * rest))
    if atom.loops and atom.position_sd and not atom.series:
        slope = _position_slope(b, atom, xp, xq)
        if slope > 1e-4 or slope < -1e-4:
            found.append((POSITION, slope * atom.position_sd))
    return tuple(found)


def _position_slope(
    b: Bench, atom: Atom, xp: tuple[float | complex, ...], xq: tuple[float | complex, ...]
) -> float:
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


def _capacitance(b: Bench, atom: Atom) -> Prediction:
    """Farads of whatever still hangs on the wire, or nothing when the wire is shunted."""
    net, harness = b.net, b.harness
    cut = 0
    for edge, ohm, _ in atom.series:
        if ohm > OPEN_OHM / 10:
            cut |= 1 << edge
    if not (b.vp.plus | b.vp.minus) & cut:
        return 1.0 - NEVER, 0.0, 1e-24, ()
    metres, whole, moved = _reach(net, b.drive, cut, atom)
    if metres < 0.0:
        return 1.0 - NEVER, 0.0, 1e-24, ()
    per_metre = harness.cap_per_m or CAP_GUESS
    value = per_metre * metres
    sd = 0.5 * (b.rel * value + b.fixed)
    shares = [(CAPACITY, value * (0.0 if harness.cap_per_m else CAP_UNKNOWN))]
    if moved:
        shares.append((POSITION, per_metre * whole * atom.position_sd))
    return NEVER, value, sd * sd, tuple((k, v) for k, v in shares if v)


def _reach(net: Network, port: Port, cut: int, atom: Atom) -> tuple[float, float, bool]:
    """Metres of wire joined to the port's first side; the open edge's metres; whether it counts.

    -1 metres when the port's second side is joined too.
    """
    joined = [
        (u.x.child, u.y.child) for u in atom.loops if u.ohm < SHUNT_OHM and u.y.child != net.earth
    ]
    links = net.links
    seen = {port.a}
    todo = [port.a]
    below: dict[int, list[int]] = {}
    for node in range(1, len(net.parent)):
        below.setdefault(net.parent[node], []).append(node)
    metres = 0.0
    while todo:
        node = todo.pop()
        steps = [(node, net.parent[node])] if node else []
        steps += [(child, child) for child in below.get(node, ())]
        for edge, to in steps:
            if edge in links or to in seen or cut >> edge & 1:
                continue
            metres += net.metres[edge]
            seen.add(to)
            todo.append(to)
        for a, c in joined:
            for here, to in ((a, c), (c, a)):
                if here == node and to not in seen:
                    seen.add(to)
                    todo.append(to)
    if port.b in seen:
        return -1.0, 0.0, False
    for edge in range(len(net.parent)):
        if cut >> edge & 1 and net.metres[edge]:
            near = net.near(edge)
            share = atom.position if near in seen else 1.0 - atom.position
            return metres + share * net.metres[edge], net.metres[edge], True
    return metres, 0.0, False


def edges_of(setup: Setup) -> tuple[int, ...]:
    """Edges a setup holds open or bridged."""
    return (*setup.parted, *setup.joined)


def stations(harness: Harness) -> tuple[str, ...]:
    """Names of the stations in the order of the terminals."""
    return tuple(s.id for s in harness.stations)
