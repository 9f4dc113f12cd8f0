from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed
from pitwright.pages.keys import FORMS, literal
from pitwright.pages.readings import Typed, path_of_text, path_text, survey_text, want
from pitwright.survey.keys import KEYS
from pitwright.survey.pit import read_survey
from tests.pages.standings import example, pit_of, shelf

EXAMPLES = (
    "school-garden", "chapel-lawn", "allotment", "orchard-gate", "foot-bridge", "cast-wall",
    "walled-garden",
)  # fmt: skip
SAME = (
    "box", "stubs", "zones", "valves", "existing", "obstacles", "parts", "conditions", "water",
    "preferences", "header", "points", "findings", "unit", "downstream",
)  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_survey_taken_apart_into_entries_is_put_together_again(name: str) -> None:
    """Nothing a file can say is lost on the way through the record."""
    before = read_survey(example(name), name, shelf())
    after = pit_of(example(name)).partly.survey
    assert after is not None
    for part in SAME:
        assert getattr(after, part) == getattr(before, part), part


parts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20)


@given(parts, parts)
def test_a_path_is_read_back_as_it_was_whatever_the_name(name: str, key: str) -> None:
    assert path_of_text(path_text(("stub", name, key))) == ("stub", name, key)


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=80))
def test_whatever_is_typed_makes_a_text_that_reads_or_a_clear_mistake(said: str) -> None:
    from pitwright.survey.source import tables_of

    for key in ("tip", "faces", "pipe", "bare", "cut_back", "note"):
        try:
            text = survey_text({("stub", "a b", key): Typed(said)}, 'name "x"')
        except Malformed:
            continue
        assert set(tables_of(text)) == {"pit", "stub"}


def test_forms_ask_only_for_keys_that_a_survey_may_hold() -> None:
    for section, keys in FORMS.items():
        known = KEYS[section if section in KEYS else f"{section}.*"]
        assert [k.name for k in keys if k.name not in known] == []


@pytest.mark.parametrize(
    ("section", "key", "typed", "value"),
    [
        ("stub", "tip", "0, 26, -2", '["0", "26", "-2"]'),
        ("stub", "tip", "from datum, 1 right, 2 up", '"from datum, 1 right, 2 up"'),
        ("stub", "bare", "6; 18 down, 2 deg left", '["6", "18 down, 2 deg left"]'),
        ("box", "mouth", "left -5, right 7", '{ left = "-5", right = "7" }'),
        ("stub", "held", "yes", "true"),
        ("valve", "union_ends", "yes", "true"),
        ("header", "zones", "hedge, beds", '["hedge", "beds"]'),
        ("zone", "heads", '[{ kind = "drip", count = 3 }]', '[{ kind = "drip", count = 3 }]'),
        ("part", "count", "6", "6"),
    ],
)  # fmt: skip
def test_what_people_type_becomes_what_a_survey_file_has(
    section: str, key: str, typed: str, value: str
) -> None:
    assert literal(section, key, typed) == value


def test_an_empty_text_takes_a_reading_away_and_it_can_come_back() -> None:
    path = ("stub", "feed", "cut_back")
    pit = pit_of("", [want(path, "1"), want(path, "")])
    assert path not in pit.readings
    assert pit_of("", [want(path, "1"), want(path, ""), want(path, "2")]).readings[path].text == "2"
