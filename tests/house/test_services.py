"""A missing browser or database is a skip at home and a failure where all must run."""

from __future__ import annotations

import pytest
from _pytest.outcomes import Failed, Skipped

from tests.conftest import REQUIRE_SERVICES, require_or_skip


@pytest.mark.parametrize(
    ("value", "outcome"), [(None, Skipped), ("0", Skipped), ("", Skipped), ("1", Failed)]
)
def test_what_is_missing_fails_only_where_all_must_run(
    monkeypatch: pytest.MonkeyPatch, value: str | None, outcome: type[BaseException]
) -> None:
    monkeypatch.delenv(REQUIRE_SERVICES, raising=False)
    if value is not None:
        monkeypatch.setenv(REQUIRE_SERVICES, value)

    with pytest.raises(outcome, match="no browser here"):
        require_or_skip("no browser here")
