"""Made-up histories: several devices write, each knowing only a part of what the others did."""

from __future__ import annotations

from hypothesis import strategies as st

from pitwright.records.canonical import encode
from pitwright.records.entry import Entry, EntryId, Header, body_hash, make
from pitwright.records.when import Span, Written, stamp
from tests.records.support import later

SITES = ("s-1", "s-2")
SUBJECTS = ("b-1", "b-2")
FIELDS = ("pit", "part/valve", "note/1")
KIND = {"pit": "pit", "part/valve": "part", "note/1": "note"}
JUMP = 2**20 + 1000


class Device:
    """One device and what it knows."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.known: list[Entry] = []
        self.n: dict[str, int] = {}
        self.last: dict[str, EntryId | None] = {}

    def write(
        self, site: str, subject: str, kind: str, field: str, hour: int, *, jump: int = 0,
        supersedes: tuple[EntryId, ...] = (), about: tuple[EntryId, ...] = (),
    ) -> Entry:  # fmt: skip
        n = self.n.get(site, 0) + 1
        clock = max([e.header.lamport for e in self.known if e.header.site == site], default=0)
        salt = f"{self.name}{site}{n}".encode().ljust(16, b".")[:16]
        body = encode({"text": f"word{n} {kind} by {self.name}", "label": f"l{n}"})
        header = Header(
            kind, 1, site, subject, field, self.name, n, self.last.get(site), clock + 1 + jump,
            Span.at(later(hour)), Written(stamp(later(hour)), None), f"u-{self.name}",
            tuple(sorted(set(supersedes))), tuple(sorted(set(about))), (), body_hash(salt, body),
        )  # fmt: skip
        entry = make(header, salt, body)
        self.n[site], self.last[site] = n, entry.id
        self.known.append(entry)
        return entry


@st.composite
def worlds(draw: st.DrawFn, erasures: bool = True, jumps: bool = True) -> tuple[Entry, ...]:
    """Every entry that anybody wrote, in the order of writing."""
    devices = [Device(name) for name in ("da", "db", "dc")]
    every: list[Entry] = []
    for _ in range(draw(st.integers(1, 14))):
        device = draw(st.sampled_from(devices))
        site, subject = draw(st.sampled_from(SITES)), draw(st.sampled_from(SUBJECTS))
        field = draw(st.sampled_from(FIELDS))
        mine = [
            e
            for e in device.known
            if (e.header.site, e.header.subject, e.header.field) == (site, subject, field)
        ]
        what = draw(st.sampled_from(["write", "change", "retract", "redate", "erase", "hear"]))
        hour = draw(st.integers(-20, 20))
        picked = draw(st.sampled_from(mine)) if mine else None
        if what == "hear" or (picked is None and what != "write"):
            heard = [e for e in every if e not in device.known and draw(st.booleans())]
            device.known += heard
            continue
        if what == "erase" and not erasures:
            continue
        jump = JUMP if jumps and draw(st.integers(0, 9)) == 0 else 0
        every.append(_one(device, site, subject, field, what, picked, hour, jump))
    return tuple(every)


def _one(
    device: Device, site: str, subject: str, field: str, what: str, picked: Entry | None,
    hour: int, jump: int,
) -> Entry:  # fmt: skip
    target = (picked.id,) if picked is not None else ()
    if what in ("redate", "erase"):
        slot = f"{what}/{device.name}-{device.n.get(site, 0) + 1}"
        return device.write(site, subject, what, slot, hour, about=target)
    kind = "retract" if what == "retract" else KIND[field]
    supersedes = target if what in ("change", "retract") else ()
    return device.write(site, subject, kind, field, hour, supersedes=supersedes, jump=jump)


@st.composite
def deliveries(draw: st.DrawFn, items: tuple[Entry, ...]) -> list[list[Entry]]:
    """The same entries in any order, some of them more than once, in batches of any size."""
    again = [e for e in items if draw(st.booleans())]
    order = draw(st.permutations([*items, *again]))
    batches: list[list[Entry]] = [[]]
    for entry in order:
        batches[-1].append(entry)
        if draw(st.booleans()):
            batches.append([])
    return batches
