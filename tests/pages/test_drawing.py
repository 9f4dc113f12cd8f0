from __future__ import annotations

import re

from pitwright.pages.drawing import HIGH, WIDE, drawn
from pitwright.pages.measure import measure_page
from pitwright.pages.scenes import found_scene, spots_of
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
