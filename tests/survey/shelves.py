"""A shelf of three pipes, enough to read any survey with."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import UnknownName

_NAMES = {
    "pvc40-1": "1 in schedule 40 PVC",
    "sdr21-1": "1 in SDR 21 PVC",
    "sdr21-3/4": "3/4 in SDR 21 PVC",
}


@dataclass(frozen=True, slots=True)
class FewPipe:
    id: str
    name: str


@dataclass(frozen=True, slots=True)
class FewPipes:
    """Knows three pipes by id and by name."""

    def pipe(self, name_or_id: str) -> FewPipe:
        for key, name in _NAMES.items():
            if name_or_id in (key, name):
                return FewPipe(key, name)
        raise UnknownName("pipe", name_or_id, _NAMES.values(), "pipe")


SHELF = FewPipes()
