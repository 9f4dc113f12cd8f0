"""Every order worth trying for the pit joints of a train, before it is asked whether it works.

All joints that need not be made in the pit are made on the bench. What is left is which push comes
last: one joint, two joints of one rigid piece at once, a union's face, or a body that slides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.geometry.vector import Vec, add, dot, norm, scale, without
from pitwright.joining.layout import (
    GRIP,
    GRIP_SLIDE,
    SLIDE,
    SOCKET,
    TELESCOPE,
    THREAD,
    Layout,
    Place,
)
from pitwright.joining.numbers import limit
from pitwright.joining.work import Work

__all__ = ["FLEX", "PARALLEL", "STOP_LESS", "TELESCOPING_GIVES", "UNION", "Order", "orders"]

FLEX = "flex"
PARALLEL = "parallel sockets"
STOP_LESS = "stop-less"
TELESCOPING_GIVES = "telescoping"
UNION = "union"
_GIVES = {SLIDE: STOP_LESS, GRIP_SLIDE: STOP_LESS, TELESCOPE: TELESCOPING_GIVES}
_NONE: Vec = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Order:
    """The pushes made in the pit, in their order, and what the last of them needs.

    ``pushes`` are tuples of joints; the last is the closing one, empty for a union's face.
    ``opening`` is the way the two sides stand apart before it [m], ``at`` where [m], ``axis`` the
    one axis about which they may roll (None for two joints). ``moves`` says for each push which
    items move, and by what they stand off before it [m]. ``back_off`` is what goes on first
    standing back toward the other stub: as a vector where that stub might be sprung open so far
    instead of being pushed aside [m]; ``past`` is how far that takes it past the other's axis.
    ``crowded``: there is not room enough for it as all lies; ``room`` what a body that slides
    leaves free beside it, and what is wanted there [m]. ``as_one``: what was made on
    the bench turns as one when its thread is screwed on.
    """

    giver: str
    pushes: tuple[tuple[int, ...], ...]
    opening: Vec
    at: Vec
    axis: Vec | None
    moves: tuple[tuple[int, int, Vec], ...]
    back_off: Vec = _NONE
    past: float = 0.0
    crowded: bool = False
    room: tuple[float, float] = (0.0, 0.0)
    as_one: bool = False

    @property
    def closing(self) -> tuple[int, ...]:
        """The joints of the last push."""
        return self.pushes[-1]


def orders(work: Work, laid: Layout) -> Iterator[Order]:
    """All orders worth trying, those that ask least first. [m] Source: design study."""
    sliders = [n for n, way in enumerate(work.train.skeleton.ways) if way.slides]
    if sliders:
        yield from _sliding(laid, sliders)
        return
    found = [*_pairs(laid), *_singles(laid), *_unions(work, laid)]
    yield from sorted(found, key=_asks)


def _asks(order: Order) -> tuple[int, int, tuple[tuple[int, ...], ...]]:
    rank = (PARALLEL, FLEX, UNION).index(order.giver)
    return rank + (len(order.closing) > 1 and rank > 0) * 2, len(order.pushes), order.pushes


def _may_close(place: Place) -> bool:
    return place.kind in (SOCKET, GRIP)


def _before(laid: Layout, closing: tuple[int, ...]) -> list[tuple[int, ...]]:
    """The threads that stay, then the stub joints that are not the last."""
    ends = [(laid.first,), (laid.last,)]
    return [
        *((p.index,) for p in laid.places if p.kind == THREAD),
        *(end for end in ends if end[0] not in closing),
    ]


def _onto_stubs(
    laid: Layout, begin: int, end: int, closing: tuple[int, ...]
) -> Iterator[tuple[int, int, Vec]]:
    """What is pushed on the inlet stub stands off downstream, on the outlet stub upstream."""
    yield from _threads(laid)
    if laid.first not in closing:
        yield laid.first, begin, laid.places[laid.first].stand_off
    if laid.last not in closing:
        yield end, laid.last, scale(laid.places[laid.last].stand_off, -1.0)


def _threads(laid: Layout) -> Iterator[tuple[int, int, Vec]]:
    """What is screwed to a thread that stays is alone when it comes, and stands off its advance."""
    last = len(laid.places) - 1
    for place in laid.places:
        if place.kind == THREAD and place.index == 0:
            yield 0, 1, place.stand_off
        elif place.kind == THREAD:
            yield last - 1, last, scale(place.stand_off, -1.0)


def _pairs(laid: Layout) -> Iterator[Order]:
    """Two joints of one rigid piece at once: what they need is the vector sum of their pushes."""
    places = laid.places[laid.first : laid.last + 1]
    for n, one in enumerate(places):
        for other in places[n + 1 :]:
            if not (_may_close(one) and _may_close(other)) or dot(one.axis, other.axis) > -0.5:
                continue
            opening = add(one.stand_off, other.stand_off)
            free = norm(opening) <= limit("parallel_within")
            closing = (one.index, other.index)
            moves = [*_onto_stubs(laid, *closing, closing), (*closing, one.stand_off)]
            yield Order(
                PARALLEL if free else FLEX,
                (*_before(laid, closing), closing),
                _NONE if free else opening,
                one.at,
                None,
                tuple(moves),
            )


def _singles(laid: Layout) -> Iterator[Order]:
    """One joint last: a stub's own, or one on each leg between, the shallowest."""
    legs: dict[Vec, Place] = {}
    for place in laid.places[laid.first + 1 : laid.last]:
        if _may_close(place) and (
            place.axis not in legs or place.push < legs[place.axis].push - 1e-9
        ):
            legs[place.axis] = place
    ends = [laid.places[laid.first], laid.places[laid.last]]
    for place in (*(p for p in dict.fromkeys(ends) if _may_close(p)), *legs.values()):
        closing = (place.index,)
        yield Order(
            FLEX,
            (*_before(laid, closing), closing),
            place.stand_off,
            place.at,
            place.axis,
            tuple(_onto_stubs(laid, place.index, place.index, closing)),
            *_standing_back(laid, place),
        )


def _standing_back(laid: Layout, place: Place) -> tuple[Vec, float, bool]:
    """What is pushed on the second stub must first stand back where the first already is."""
    ends = [p for p in (laid.places[laid.first], laid.places[laid.last]) if p != place]
    if not ends:  # one stub goes straight into the fitting that is glued on the other
        return _NONE, 0.0, False
    other = min(ends, key=lambda p: (round(abs(dot(p.axis, place.axis)), 6), p.index))
    return other.stand_off, norm(without(other.stand_off, place.axis)), True


def _unions(work: Work, laid: Layout) -> Iterator[Order]:
    """A union's face last: both halves are on their stubs, and only the lip must be cleared."""
    for number, item in enumerate(work.cuts.items):
        if getattr(item, "name", "") != "union":
            continue
        place = laid.places[number]
        yield Order(
            UNION,
            (*_before(laid, ()), ()),
            scale(place.axis, limit("union_lip")),
            place.at,
            place.axis,
            tuple(_onto_stubs(laid, number, number + 1, ())),
            *_standing_back(laid, place),
        )


def _sliding(laid: Layout, sliders: list[int]) -> Iterator[Order]:
    """A body that slides needs no opening; what is pushed on the other stub must find room."""
    last = len(laid.places) - 1
    pairs = [(0, 1), (last - 1, last)]
    mine = [pairs[n] for n in sliders]
    place = laid.places[mine[-1][0]]
    threads = [(p.index,) for p in laid.places if p.kind == THREAD]
    giver = _GIVES[place.kind]
    if len(sliders) == 2 or last == 1:
        turned = tuple(_threads(laid))
        pushes = (*threads, *_apart(laid, mine))
        yield Order(giver, pushes, _NONE, place.at, None, turned)
        return
    on_inlet = sliders[0] == 1
    other = laid.places[laid.first if on_inlet else laid.last]
    begin, end = (laid.first, last - 1) if on_inlet else (1, laid.last)
    push = other.stand_off if on_inlet else scale(other.stand_off, -1.0)
    along = max(0.0, dot(other.axis, place.axis))
    body = laid.solids[last - 1 if on_inlet else 0][0]
    room = norm(add(body.b, scale(body.a, -1.0)))
    first = () if other.kind == THREAD else ((other.index,),)
    pushes = (*threads, *first, *_apart(laid, mine))
    kept = laid.places[0 if on_inlet else last]
    if kept.kind == THREAD and kept.axis == place.axis:
        # all between the thread and the body that slides turns as one, and comes on by a thread
        alone = (*threads, *_apart(laid, mine))
        off = kept.stand_off if on_inlet else scale(kept.stand_off, -1.0)
        part = (0, last - 1, off) if on_inlet else (1, last, off)
        yield Order(
            giver,
            alone,
            _NONE,
            place.at,
            None,
            (part,),
            crowded=kept.push > room + 1e-9,
            room=(room, kept.push),
            as_one=True,
        )
    moves = (*_threads(laid), (begin, end, push))
    past = norm(without(other.stand_off, place.axis))
    wanted = other.push * along
    crowded = wanted > room + 1e-9
    beside = (room, wanted)
    yield Order(giver, pushes, _NONE, place.at, None, moves, _NONE, past, crowded, beside)


def _apart(laid: Layout, pairs: list[tuple[int, int]]) -> Iterator[tuple[int, ...]]:
    """A stop-less body is slid over both joints at once; a telescoping one is drawn out, one first,
    that on the stub."""
    last = len(laid.places) - 1
    for pair in dict.fromkeys(pairs):
        if laid.places[pair[0]].kind in (SLIDE, GRIP_SLIDE):
            yield pair
        else:
            yield from ((j,) for j in (pair if pair[0] == 0 or last == 1 else pair[::-1]))
