from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from pitwright.pages.drawing import HIGH, WIDE, drawn
from pitwright.pages.measure import measure_page
from pitwright.pages.scenes import found_scene, spots_of, straights_of
from tests.pages.standings import asked, example, pit_of


def test_every_stub_can_be_tapped_in_every_view_and_stands_inside() -> None:
    pit = pit_of(example("school-garden"))
    scene = found_scene(pit)
    assert scene is not None
    for view in ("plan", "elevation", "isometric", "no such view"):
        svg = drawn(scene, view, title="t", spots=spots_of(pit))
        assert svg.count('class="spot"') == 8
        for x, y in re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="25"', svg):
            assert 0 <= float(x) <= WIDE and 0 <= float(y) <= HIGH


def test_labels_do_not_cover_each_other() -> None:
    """Eight stubs close together: no two names stand in one place."""
    pit = pit_of(example("school-garden"))
    scene = found_scene(pit)
    assert scene is not None
    svg = drawn(scene, "plan", title="t", spots=spots_of(pit))
    at = re.findall(
        r'<text x="([-\d.]+)" y="([-\d.]+)" data-dx="[^"]*" data-dy="[^"]*">([^<]*)<', svg
    )
    boxes = [
        (float(x) - 3.5 * len(w), float(y) - 11, float(x) + 3.5 * len(w), float(y) + 2)
        for x, y, w in at
    ]
    assert len(boxes) == 8
    for n, a in enumerate(boxes):
        for b in boxes[n + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_the_drawing_grows_with_the_readings() -> None:
    head = '[pit]\nname = "x"\nunit = "in"\n'
    stub = f'{head}[stub.feed]\nside = "inlet"\ntip = ["0", "0", "0"]\nfaces = "downstream"\n'
    stub += 'pipe = "1 in schedule 40 PVC"\n'
    assert found_scene(pit_of(stub)) is None
    scene = found_scene(pit_of(f'{stub}cut_back = "1"\n'))
    assert scene is not None and scene.walls is None and len(scene.pipes) == 1
    page = measure_page(pit_of(stub), asked()).body
    assert "Stub: feed: it may be cut back by" in page


RISER = (
    '[pit]\nunit = "in"\n[box]\nmouth = { left = "-8", right = "10", upstream = "-9", '
    'downstream = "16" }\ngrade = "9"\nfloor = "-20"\n[stub.in-1]\nside = "inlet"\n'
    'tip = ["0", "0", "0"]\nfaces = "downstream"\npipe = "1 in schedule 40 PVC"\ncut_back = "1"\n'
    'bare = ["6", "18 down"]\n[stub.out-1]\nside = "outlet"\ntip = ["1", "12", "0"]\n'
    'faces = "upstream"\npipe = "1 in schedule 40 PVC"\ncut_back = "4"\nbare = ["10"]\n'
)


def lines(svg: str, kind: str) -> list[tuple[float, float, float, float]]:
    """The edge line of each thing of a kind. [px]"""
    found = re.findall(rf'<g class="{kind}"[^>]*><line ([^>]*)class="edge"', svg)
    return [
        (float(a), float(b), float(c), float(d))
        for one in found
        for a, b, c, d in re.findall(
            r'x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"', one
        )
    ]


def measure_svg(view: str) -> str:
    body = measure_page(pit_of(RISER), replace(asked(), query={"view": view})).body
    return body.partition("<svg")[2].partition("</svg>")[0]


def test_every_bare_straight_is_drawn_to_the_scale_that_stands_beside_it() -> None:
    svg = measure_svg("elevation")
    ((x1, y1, x2, y2),) = lines(svg, "scale")
    foot = math.hypot(x2 - x1, y2 - y1)
    longs = sorted(
        round(12 * math.hypot(c - a, d - b) / foot, 1) for a, b, c, d in lines(svg, "old")
    )
    assert longs == pytest.approx([6, 10, 18], abs=0.2)


def test_each_bare_straight_says_its_length_and_its_way() -> None:
    for view in ("plan", "elevation", "isometric"):
        words = re.findall(r"<text[^>]*>([^<]*)</text>", measure_svg(view))
        assert {"6 in upstream", "18 in down", "10 in downstream", "scale: 12 in"} <= set(words)


def test_the_whole_box_stands_in_the_frame_in_every_view() -> None:
    for view in ("plan", "elevation", "isometric"):
        walls = lines(measure_svg(view), "wall")
        assert walls
        for x1, y1, x2, y2 in walls:
            assert min(x1, x2) >= 0 and max(x1, x2) <= WIDE
            assert min(y1, y2) >= 0 and max(y1, y2) <= HIGH


def test_names_stand_clear_of_pipes_and_of_each_other() -> None:
    for view in ("plan", "elevation"):
        svg = measure_svg(view)
        texts = re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)<', svg)
        boxes = [
            (float(x) - 3.3 * len(w), float(y) - 9, float(x) + 3.3 * len(w), float(y))
            for x, y, w in texts
        ]
        for n, a in enumerate(boxes):
            assert not any(_over(a, b) for b in boxes[n + 1 :])
            for x1, y1, x2, y2 in lines(svg, "old"):
                for t in range(21):
                    at = (x1 + (x2 - x1) * t / 20, y1 + (y2 - y1) * t / 20)
                    assert not (a[0] < at[0] < a[2] and a[1] < at[1] < a[3]), (view, texts[n])


def _over(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_where_many_stubs_lie_side_by_side_lengths_stand_without_their_ways() -> None:
    crowded = {words for _, words in straights_of(pit_of(example("school-garden")))}
    assert crowded and all(words.endswith(" in") for words in crowded)
    assert {words for _, words in straights_of(pit_of(RISER))} >= {"18 in down"}
