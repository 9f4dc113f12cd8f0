"""How sure one train is to close: its chances, what to trim last, what to measure again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitwright.algebra.basis import complement, orthonormal_basis
from pitwright.geometry.vector import Vec, cross, dot, minus, scale, sub
from pitwright.survey.readings import default_tools
from pitwright.survey.stubs import Stub
from pitwright.tolerance.bearing import Bears, Borne, Five, chance_borne, five, left_by, sharing
from pitwright.tolerance.causes import Cause, Walked, causes, direction_is_taped, walked
from pitwright.tolerance.chance import chance_within
from pitwright.tolerance.doubt import Doubt, Held, Remedy, Share
from pitwright.tolerance.slips import SLIPS, Slips
from pitwright.trains.cut_list import CutList, Piece
from pitwright.trains.rows import Body
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH

__all__ = ["EIGHTH", "doubt_of"]

EIGHTH = INCH / 8
"""A misfit nobody needs to bend for. [m] Common practice, no source."""
_WORTH = 0.01
"""A holding or a measurement that gains less is not worth the trouble. [-] Judgement."""
_SURE = 0.95
_BASE = 12 * INCH
"""Two points on a pipe are taken a foot apart, or as far as it is bare. [m] Judgement."""
_MOST_HELD = 3


@dataclass(frozen=True, slots=True)
class _Case:
    train: Train
    cuts: CutList
    way: Walked
    causes: tuple[Cause, ...]
    bears: Bears
    borne: Borne
    misfit: Five
    mark: float
    slides: tuple[Vec, ...]


def doubt_of(
    train: Train,
    cuts: CutList,
    stubs: tuple[Stub, Stub],
    bears: Bears,
    slips: Slips = SLIPS,
) -> Doubt:
    """How sure a train, built by its cut list between two stubs, is to close.

    ``bears`` says what the stubs and joints take up, at the closing point; ``slips`` how far
    hands err. The chance within 1/8 in (common practice, no source) is of the error about the
    plan, where dry rolls mend the place and leave the turn; the chance within flex counts the
    plan's own misfit too, lets lengths and rolls mend place and turn together, and errs low.
    Shares are of the variance of position with nothing held. Raises Malformed for a cut list of
    another train. [m, rad] Source: linear covariance, design study.
    """
    case = _case(train, cuts, stubs, bears, slips)
    plain = _held(case, (), False)
    ways = _ways(case, plain)
    advised = ways[0] if ways else plain
    return Doubt(
        plain,
        ways,
        advised,
        _shares(case.causes),
        _help(case, advised, stubs, slips),
        _cut_within(case, advised, slips),
    )


def _case(
    train: Train, cuts: CutList, stubs: tuple[Stub, Stub], bears: Bears, slips: Slips
) -> _Case:
    way = walked(train, cuts, stubs[0].tip.mean)
    joints = [(p, train.directions[n]) for p, n in zip(way.points, way.legs, strict=True)]
    slides = tuple(
        train.directions[n]
        for item, n in zip(cuts.items, way.legs[1:], strict=True)
        if isinstance(item, Body) and item.give > 0.0
    )
    outlet = stubs[1]
    shift = sub(sub(outlet.tip.mean, scale(outlet.outward, cuts.outlet_cut)), way.end)
    turn = cross(train.directions[-1], minus(outlet.outward))
    return _Case(
        train,
        cuts,
        way,
        causes(train, cuts, stubs, slips),
        bears,
        sharing(bears, joints),
        five((*shift, *turn), bears.across),
        slips.mark.one,
        slides,
    )


def _pieces(case: _Case) -> list[tuple[str, Vec]]:
    """The last piece of each leg that has one, with the leg's direction."""
    last: dict[int, str] = {}
    for item, leg in zip(case.cuts.items, case.way.legs[1:], strict=True):
        if isinstance(item, Piece):
            last[leg] = item.letter
    return [(letter, case.train.directions[leg]) for leg, letter in last.items()]


def _rolls(case: _Case) -> list[Vec]:
    """Which ways dry joints move the end while its direction stays, unit vectors.

    Rolls about every leg, the closing joint's own among them, whose turns add to nothing.
    """
    if len(case.way.corners) < 2:
        return []
    axes = case.train.directions
    at = [c.at for c in case.way.corners] + [case.way.end]
    moves = [cross(a, sub(case.way.end, p)) for a, p in zip(axes, at, strict=True)]
    found = []
    for mix in complement([[a[i] for a in axes] for i in range(3)], len(axes)):
        move = [sum(c * m[i] for c, m in zip(mix, moves, strict=True)) for i in range(3)]
        size = math.hypot(*move)
        if size > 1e-6:
            found.append((move[0] / size, move[1] / size, move[2] / size))
    return found


def _directions(case: _Case, letters: Sequence[str], rolled: bool) -> list[Vec]:
    chosen = [axis for letter, axis in _pieces(case) if letter in letters]
    return chosen + (_rolls(case) if rolled else [])


def _columns(case: _Case, held: Sequence[Vec], rolled: bool = False) -> list[Five]:
    """What is left of every cause, and the errors of marking and, rolled, of setting bends anew."""
    basis = orthonormal_basis([*held, *case.slides]) if held or case.slides else []
    out = []
    for cause in case.causes:
        x, y, z, a, b = five(cause.effect, case.bears.across)
        for u in basis:
            share = x * u[0] + y * u[1] + z * u[2]
            x, y, z = x - share * u[0], y - share * u[1], z - share * u[2]
        out.append((x, y, z, a, b))
    for u in orthonormal_basis(list(held)) if held else []:
        m = case.mark
        out.append((u[0] * m, u[1] * m, u[2] * m, 0.0, 0.0))
    if rolled:
        anew = (c for c in case.causes if c.name.startswith("clock."))
        out += [five(c.effect, case.bears.across) for c in anew]
    return out


def _added(columns: Sequence[Five]) -> list[list[float]]:
    out = [[0.0] * 5 for _ in range(5)]
    for c in columns:
        for i in range(5):
            for j in range(i + 1):
                out[i][j] += c[i] * c[j]
    for i in range(5):
        for j in range(i):
            out[j][i] = out[i][j]
    return out


def _trace(case: _Case, held: Sequence[Vec]) -> float:
    return sum(c[0] ** 2 + c[1] ** 2 + c[2] ** 2 for c in _columns(case, held))


def _eighth(covariance: list[list[float]]) -> float:
    return chance_within([row[:3] for row in covariance[:3]], EIGHTH)


def _free(case: _Case, letters: Sequence[str], rolled: bool) -> list[Five]:
    """How each held piece's length and each dry bend's roll moves the end, turn and all."""
    free: list[Five] = [(*axis, 0.0, 0.0) for p, axis in _pieces(case) if p in letters]
    for corner in case.way.corners if rolled else ():
        move = cross(corner.axis, sub(case.way.end, corner.at))
        free.append(five((*move, *corner.axis), case.bears.across))
    return free


def _fitted(case: _Case, letters: Sequence[str], rolled: bool) -> tuple[list[Five], list[Five]]:
    """What the dry fit leaves of every cause, place and turn, and the errors made after it: of
    marking, and of setting bends anew."""
    left = left_by(case.borne, _free(case, letters, rolled))
    found = [_through(left, five(c.effect, case.bears.across)) for c in case.causes]
    after: list[Five] = [
        (*scale(axis, case.mark), 0.0, 0.0) for p, axis in _pieces(case) if p in letters
    ]
    if rolled:
        anew = (c for c in case.causes if c.name.startswith("clock."))
        after += [five(c.effect, case.bears.across) for c in anew]
    return found, after


def _through(left: list[list[float]], v: Five) -> Five:
    a, b, c, d, e = (sum(x * y for x, y in zip(row, v, strict=True)) for row in left)
    return (a, b, c, d, e)


def _flex(case: _Case, letters: Sequence[str], rolled: bool, errors: list[list[float]]) -> float:
    """The chance that what the dry fit leaves of plan and errors (5, 5) can be taken up."""
    left = left_by(case.borne, _free(case, letters, rolled))
    off = [m - c for m, c in zip(case.misfit, case.borne.middle, strict=True)]
    v, w, x, y, z = _through(left, (off[0], off[1], off[2], off[3], off[4]))
    a, b, c, d, e = case.borne.middle
    return chance_borne(case.borne, (v + a, w + b, x + c, y + d, z + e), errors)


def _held(case: _Case, letters: Sequence[str], rolled: bool) -> Held:
    held = _directions(case, letters, rolled)
    near = _added(_columns(case, held, rolled))
    found, after = _fitted(case, letters, rolled)
    names = tuple(c.name for c in case.way.corners) if rolled else ()
    flex = _flex(case, letters, rolled, _added([*found, *after]))
    return Held(tuple(letters), names, _eighth(near), flex)


def _ways(case: _Case, plain: Held) -> tuple[Held, ...]:
    """Everything held; then pieces one by one, each the best beside those before.

    Without and with dry rolls. Of those that gain anything the one that holds most comes first:
    what is marked in place takes up slips that no sigma knows of.
    """
    found: list[Held] = []
    every = tuple(p.letter for p in case.cuts.pieces)
    for rolled in (False, True) if _rolls(case) else (False,):
        letters: list[str] = []
        if rolled:
            found.append(_held(case, (), True))
        while len(letters) < _MOST_HELD:
            now = _directions(case, letters, rolled)
            free = [(p, a) for p, a in _pieces(case) if not _within(a, now)]
            if not free:
                break
            best = min(free, key=lambda f: round(_trace(case, [*now, f[1]]) * 1e12, 3))
            letters.append(best[0])
            found.append(_held(case, letters, rolled))
        if len(letters) < len(every):
            found.append(_held(case, every, rolled))
    gains = [
        h for h in found if h.eighth - plain.eighth >= _WORTH and h.flex >= plain.flex - _WORTH
    ]
    return tuple(
        sorted(
            gains,
            key=lambda h: (-len(h.pieces) - len(h.rolls), -round(h.eighth / _WORTH), h.pieces),
        )
    )


def _within(axis: Vec, held: Sequence[Vec]) -> bool:
    """Whether a direction adds nothing to those held."""
    basis = orthonormal_basis(list(held)) if held else []
    inside = sum(dot(axis, (u[0], u[1], u[2])) ** 2 for u in basis)
    return inside > 0.98


def _shares(found: Sequence[Cause]) -> tuple[Share, ...]:
    parts: dict[str, float] = {}
    for cause in found:
        x, y, z, *_ = cause.effect
        parts[cause.name] = parts.get(cause.name, 0.0) + x * x + y * y + z * z
    whole = sum(parts.values())
    ranked = sorted(parts.items(), key=lambda p: (-round(p[1] / (whole or 1.0), 12), p[0]))
    return tuple(Share(name, part / whole) for name, part in ranked if part > 0.0)


def _help(case: _Case, advised: Held, stubs: tuple[Stub, Stub], slips: Slips) -> Remedy | None:
    """The one measurement that leaves least of the error, and the chance after it."""
    held = _directions(case, advised.pieces, bool(advised.rolls))
    tries: list[tuple[float, str, str, _Case]] = []
    for code, of, factors in _measurements(case.causes, stubs, slips):
        better = tuple(
            Cause(c.name, _sized(c.effect, factors[c.name])) if c.name in factors else c
            for c in case.causes
        )
        then = replace(case, causes=better)
        tries.append((_trace(then, held), code, of, then))
    if not tries:
        return None
    _, code, of, then = min(tries, key=lambda t: (round(t[0] * 1e12, 3), t[1], t[2]))
    eighth = _eighth(_added(_columns(then, held, bool(advised.rolls))))
    return Remedy(code, of, eighth) if eighth - advised.eighth >= _WORTH else None


def _sized(effect: tuple[float, ...], by: float) -> tuple[float, float, float, float, float, float]:
    a, b, c, d, e, f = (v * by for v in effect)
    return (a, b, c, d, e, f)


def _measurements(
    found: Sequence[Cause], stubs: tuple[Stub, Stub], slips: Slips
) -> list[tuple[str, str, dict[str, float]]]:
    """Code, what of, and how many times smaller each cause becomes."""
    out: list[tuple[str, str, dict[str, float]]] = []
    sizes: dict[str, float] = {}
    for c in found:
        sizes[c.name] = math.hypot(sizes.get(c.name, 0.0), *c.effect[:3])
    for stub in stubs:
        base = min(_BASE, stub.bare[0].length if stub.bare else 0.0)
        if base > INCH and not direction_is_taped(stub):
            taped = math.sqrt(2.0) * slips.tape.one / base
            if taped < stub.outward_sigma:
                factor = taped / stub.outward_sigma
                out.append(("two_points", stub.id, {f"{stub.path}.faces": factor}))
        gauge = default_tools()["protractor"].sigma.one
        if gauge < stub.outward_sigma and not direction_is_taped(stub):
            name = f"{stub.path}.faces"
            out.append(("read_again", name, {name: gauge / stub.outward_sigma}))
    for name, size in sizes.items():
        kind, _, of = name.partition(".")
        if kind in ("take-out", "length") and size > slips.part.one:
            out.append(("measure_part", of, {name: slips.part.one / size}))
        elif kind == "stub" and not name.endswith(".faces"):
            out.append(("read_again", name, {name: math.sqrt(0.5)}))
    return out


def _cut_within(case: _Case, advised: Held, slips: Slips) -> float:
    """The plus or minus of all cuts that are not marked in place which still closes. [m]"""
    letters, rolled = advised.pieces, bool(advised.rolls)
    found, after = _fitted(case, letters, rolled)
    is_cut = [c.name.startswith("cut.") for c in case.causes]
    rest = _added([*(c for c, cut in zip(found, is_cut, strict=True) if not cut), *after])
    cuts = _added([c for c, cut in zip(found, is_cut, strict=True) if cut])

    def sure(limit: float) -> bool:
        square = (limit / math.sqrt(3.0) / slips.cut.one) ** 2
        both = [[rest[i][j] + square * cuts[i][j] for j in range(5)] for i in range(5)]
        return _flex(case, letters, rolled, both) >= _SURE

    if not sure(0.0):
        return 0.0
    most = 16
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if sure(middle * INCH / 32) else (low, middle)
    return low * INCH / 32
