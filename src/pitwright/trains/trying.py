"""Every skeleton tried on one chain of directions: a train, or the limit it broke."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from pitwright.findings import Short
from pitwright.geometry.vector import norm, sub
from pitwright.trains.chains import Chain
from pitwright.trains.kit import StubEnd
from pitwright.trains.laying import Allowance, Frame, Setting, laid_out
from pitwright.trains.lengths import Lack, first_fit, shortest, tableau
from pitwright.trains.room import Room
from pitwright.trains.train import Skeleton, Train

__all__ = ["laid", "on_chain", "tilted", "too_short", "too_steep", "unreached"]


def on_chain(
    chain: Chain,
    frames: Sequence[Frame],
    stubs: tuple[StubEnd, StubEnd],
    allow: Allowance,
    room: Room,
    label: str,
) -> Iterator[Train | Short]:
    """Every skeleton on one chain, each with its own answer. [m, rad]

    Source: docs/decisions/0003.
    """
    if not frames:
        return
    board = tableau(chain.directions, sub(stubs[1].tip, stubs[0].tip))
    setting = Setting(stubs, allow, chain, board, room)
    missed = unreached(setting, label)
    if missed is not None:
        yield missed
        return
    for frame in frames:
        short = tilted(frame.skeleton, chain)
        if short is None:
            if chain.snapped or first_fit(board, frame.low, frame.high) is not None:
                yield laid(setting, frame)
                continue
            lack = shortest(board, frame.low, frame.high)
            assert isinstance(lack, Lack)  # nothing fitted a line above
            short = too_short(lack, frame, frame.skeleton.label, board.legs - 1)
        yield short


def unreached(setting: Setting, label: str) -> Short | None:
    """What no lengths of a chain can cover, where it is more than may be left over. [m]

    Source: docs/decisions/0003.
    """
    miss, most = norm(setting.board.miss), setting.allow.position
    if miss <= most:
        return None
    lift, code = ("more_bends", "SKEW") if label != "straight" else ("offset", "OFFSET")
    return Short(code, "train", miss, most, miss - most, "m", lift, label)


def laid(setting: Setting, frame: Frame) -> Train | Short:
    """One skeleton laid, or why it cannot be. [m] Source: docs/decisions/0003."""
    answer = laid_out(setting, frame)
    if isinstance(answer, Lack):
        return too_short(answer, frame, frame.skeleton.label, setting.board.legs - 1)
    return answer


def too_short(lack: Lack, frame: Frame | None, label: str, last: int) -> Short:
    """A leg that breaks its bound, and what would lift that; ``last`` is the last leg's number. [m]

    Source: docs/decisions/0003.
    """
    if frame is not None and frame.rows[lack.leg].give > 0.0:
        return _out_of_window(lack, label)
    where, lift = f"leg {lack.leg + 1}", _remedy(lack, last)
    return Short("LEG", where, lack.have, lack.bound, lack.missed, "m", lift, label)


def _out_of_window(lack: Lack, label: str) -> Short:
    """A gap too long or too short for what a sliding coupling spans. [m]"""
    lift = "cut_back_more" if lack.have < lack.bound else "add_pipe"
    where = f"leg {lack.leg + 1}"
    return Short("WINDOW", where, lack.have, lack.bound, lack.missed, "m", lift, label)


def _remedy(lack: Lack, last: int) -> str:
    if lack.have > lack.bound:
        return "coupling_and_piece"
    if lack.leg == 0:
        return "cut_back_inlet"
    return "cut_back_outlet" if lack.leg == last else "other_bends"


def too_steep(skeleton: Skeleton, leans: Sequence[float]) -> bool:
    """Whether the valve's leg leans more than its bonnet may; ``leans`` has one a leg. [rad]

    Source: the valve's own limit.
    """
    if skeleton.unit is None or skeleton.valve_leg is None:
        return False
    return leans[skeleton.valve_leg] > skeleton.unit.tilt + 1e-9


def tilted(skeleton: Skeleton, chain: Chain) -> Short | None:
    """A valve whose leg leans more than its bonnet may. [rad] Source: the valve's own limit."""
    leans = [abs(math.asin(max(-1.0, min(1.0, w[2])))) for w in chain.directions]
    if skeleton.unit is None or skeleton.valve_leg is None or not too_steep(skeleton, leans):
        return None
    lean, most, label = leans[skeleton.valve_leg], skeleton.unit.tilt, skeleton.label
    return Short("TILT", "valve", lean, most, lean - most, "rad", "valve_on_level_leg", label)
