"""Farads of whatever still hangs on a lifted wire: it alone from the controller places an open.

Source: capacitance grows with length; the scatter is judgement.
"""

from __future__ import annotations

from pitwright.wiring.atoms import Atom
from pitwright.wiring.impedance import Bench
from pitwright.wiring.network import OPEN_OHM, Network, Port
from pitwright.wiring.shares import CAPACITY, POSITION

__all__ = ["capacitance"]

NEVER = 1e-4
"""Least chance given to a shunted wire showing something, or a free one nothing. Judgement."""
SHUNT_OHM = 1e6
"""Below this between wire and common a capacitance meter shows nothing. [Ω] Judgement."""
CAP_UNKNOWN = 0.4
"""One sigma of capacitance per metre before a good wire was measured. [-] Judgement."""
CAP_GUESS = 0.025e-9 / 0.3048
"""Capacitance per metre to start from: soil and lay change it much. [F/m] From memory."""


def capacitance(b: Bench, atom: Atom) -> tuple[float, float, float, tuple[tuple[int, float], ...]]:
    """Chance of no reading, farads, their variance and shares, as a prediction. [F]"""
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
