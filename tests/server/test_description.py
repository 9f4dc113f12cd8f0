"""The description of the routes, and that every answer is one that it names.

Schemathesis makes the requests from the description and judges the answers by it; what it cannot
know, which names our forms use and what their words mean, is in ``test_fuzz``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import load_all_checks, not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    positive_data_acceptance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from pitwright.pages.steps import STEP_PAGES
from pitwright.server.app import application
from pitwright.server.guard import COOKIE, Guard
from pitwright.server.papers import PAPERS
from tests.server.ground import BASE, PORT, SECRET, Ground, client, ground
from tests.server.test_app import made
from tests.server.waiting import waited

EXAMPLES = 25
ROUTES = (
    ("GET", "/"), ("GET", "/echo"), ("GET", "/photo/{hash}"), ("GET", "/pit/{subject}"),
    ("GET", "/pit/{subject}/{step}"), ("GET", "/property/{site}"), ("POST", "/pit/{subject}/tie"),
    ("POST", "/pit/{subject}/{step}"), ("POST", "/property"), ("POST", "/property/{site}"),
    ("POST", "/property/{site}/pit"), ("POST", "/undo"),
)  # fmt: skip
WHOLE = (("POST", "/property"), ("POST", "/property/{site}/pit"))
"""Forms whose rules the description tells whole: what fits it is taken, what does not is not."""
CONFORM = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]


@dataclass
class Described:
    """A record with one pit, the guarded app over it, and what it says of its routes."""

    land: Ground
    schema: Any
    known: dict[str, str]


@pytest.fixture(scope="module")
def described(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Described]:
    load_all_checks()
    with ground(tmp_path_factory.mktemp("described")) as land:
        app = application(land.desk, SECRET)
        schema = schemathesis.openapi.from_dict(app.openapi())
        schema.app = Guard(app, SECRET, PORT)
        pit = waited(_made(land)).rpartition("/")[2]
        found = land.desk.pit(pit)
        assert found is not None
        yield Described(land, schema, {"subject": pit, "site": found.place.site})


async def _made(land: Ground) -> str:
    async with client(land.desk) as asking:
        return await made(asking)


def operation(one: Described, method: str, path: str) -> Any:
    return one.schema[path][method]


def ask(one: Described, case: Any, checks: list[Any]) -> None:
    """Send a case as our own pages would, and judge the answer."""
    got = case.call(
        base_url=BASE,
        headers={"origin": BASE, "host": f"127.0.0.1:{PORT}"},
        cookies={COOKIE.format(port=PORT): SECRET},
    )
    case.validate_response(got, checks=checks)


def quick(examples: int = EXAMPLES) -> settings:
    return settings(
        max_examples=examples, deadline=None, database=None, derandomize=True,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_every_answer_is_one_that_the_description_names(
    described: Described, method: str, path: str
) -> None:
    """Of known and of unknown pits; whole forms that fit their description are taken too."""
    way = operation(described, method, path)
    checks = [*CONFORM, positive_data_acceptance] if (method, path) in WHOLE else CONFORM

    @quick()
    @given(way.as_strategy(), st.booleans(), st.sampled_from([*STEP_PAGES, *PAPERS, "carry.html"]))
    def one(case: Any, known: bool, step: str) -> None:
        if known:
            there = {**described.known, "step": step}
            case.path_parameters = {k: there.get(k, v) for k, v in case.path_parameters.items()}
        ask(described, case, checks)

    one()


@pytest.mark.parametrize(("method", "path"), WHOLE)
def test_a_form_that_breaks_its_description_is_not_taken(
    described: Described, method: str, path: str
) -> None:
    way = operation(described, method, path)

    @quick()
    @given(way.as_strategy(generation_mode=GenerationMode.NEGATIVE))
    def one(case: Any) -> None:
        ask(described, case, [*CONFORM, negative_data_rejection])

    one()


def test_every_route_is_here_and_described(described: Described) -> None:
    found = [r.ok() for r in described.schema.get_all_operations()]
    assert sorted((w.method.upper(), w.path) for w in found) == sorted(ROUTES)
    for way in found:
        said = way.definition.raw
        assert said["description"], way.path
        assert way.method == "get" or "requestBody" in said, way.path
        assert "application/json" not in str(said["responses"]), way.path


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH"])
def test_no_address_takes_another_kind_of_request(described: Described, method: str) -> None:
    async def every() -> list[int]:
        async with client(described.land.desk) as one:
            paths = sorted({p.format(hash="x", step="look", **described.known) for _, p in ROUTES})
            return [(await one.request(method, p)).status_code for p in paths]

    assert set(waited(every())) == {405}
