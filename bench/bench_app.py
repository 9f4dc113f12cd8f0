"""The app: weight and time of its first page, its server with 2,000 properties, recalculation.

Peers are the limits it is held to. Everything is measured from outside, over the loopback line, on
a record in a folder that is thrown away; ``python -m bench.bench_app`` prints the table.
"""

from __future__ import annotations

import os
import re
import secrets
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import httpx

from pitwright.pages.asked import Want
from pitwright.pages.readings import from_survey, want
from pitwright.records.pits import Place
from pitwright.records.store import open_store
from pitwright.server.desk import Desk
from pitwright.server.planner import Planner

ROOT = Path(__file__).resolve().parents[1]
PROPERTIES = 2000
A_SECOND = 50
LASTS = 20.0
"""How long requests are kept up. [s]"""
EXAMPLES = ("school-garden", "chapel-lawn", "orchard-gate", "foot-bridge", "cast-wall")


@dataclass(frozen=True)
class Row:
    what: str
    got: str
    limit: str
    kept: bool


def now() -> datetime:
    return datetime.now().astimezone()


def filled(folder: Path) -> dict[str, str]:
    """A record of many properties, each with a pit; the examples' pits by name."""
    desk = Desk(open_store(str(folder), "bench"), now, secrets.token_bytes, Planner())
    pits = {}
    try:
        for n in range(PROPERTIES):
            pits[f"pit {n}"] = _entered(desk, f"Property {n:04d}", f"pit {n}", ())
        for name in EXAMPLES:
            text = (ROOT / "examples" / f"{name}.pit.toml").read_text("utf-8")
            wants = tuple(want(p, said) for p, said in from_survey(text) if p != ("pit", "name"))
            pits[name] = _entered(desk, name, name, wants)
    finally:
        desk.close()
    return pits


def _entered(desk: Desk, land: str, pit: str, wants: tuple[Want, ...]) -> str:
    site, subject = desk.new_id("s"), desk.new_id("b")
    first = (Want("property", {"name": land}, subject=site), Want("pit", {"label": pit}))
    desk.write((*first, *wants), Place(site, subject, "pit", pit), "", None)
    return subject


@contextmanager
def served(folder: Path) -> Iterator[tuple[httpx.Client, str, int]]:
    """A client that holds the key, the address to enter, and the server's process id."""
    code = "import sys; from pitwright.cli.main import run; sys.exit(run(sys.argv[1:]))"
    words = ["serve", "--port", "0", "--record", str(folder)]
    process = subprocess.Popen(
        [sys.executable, "-c", code, *words], stdout=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
    )  # fmt: skip
    assert process.stdout is not None
    found = re.search(r"(http://\S+)/enter/\S+", process.stdout.readline())
    assert found
    try:
        with httpx.Client(base_url=found[1], timeout=30, headers={"origin": found[1]}) as client:
            client.get(found[0], follow_redirects=True)
            yield client, found[0], process.pid
    finally:
        process.terminate()
        process.wait()
        process.stdout.close()


def memory(pid: int) -> float:
    """Resident memory of a process. [MB]"""
    text = Path(f"/proc/{pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+)", text)
    return int(found[1]) / 1024 if found else 0.0


def medians(client: httpx.Client, pits: dict[str, str]) -> Row:
    """The median over the pages a person opens most."""
    addresses = ["/", "/?q=0042", "/?start=800", f"/pit/{pits['pit 7']}"]
    addresses += [f"/pit/{pits['school-garden']}", f"/pit/{pits['school-garden']}/measure"]
    addresses += [f"/pit/{pits['pit 9']}/look", f"/pit/{pits['pit 9']}/prove"]
    times = []
    for address in addresses * 15:
        start = time.perf_counter()
        assert client.get(address).status_code == 200
        times.append(time.perf_counter() - start)
    got = statistics.median(times) * 1000
    most = sorted(times)[int(len(times) * 0.95)] * 1000
    said = f"{got:.0f} ms (19 in 20 within {most:.0f} ms)"
    return Row(f"server, {PROPERTIES} properties, median", said, "50 ms", got <= 50)


def recalculated(client: httpx.Client, pits: dict[str, str]) -> Iterator[Row]:
    """From a changed reading sent to the whole choose page with every zone ready."""
    changes = {"school-garden": "beds-in", "chapel-lawn": "feed", "orchard-gate": "feed"}
    for name, stub in changes.items():
        home = f"/pit/{pits[name]}"
        _ready(client, home)
        times = []
        for n, back in enumerate(("7/8", "15/16", "13/16")):
            body = {"part": "stub", "name": stub, "cut_back": back}
            body |= {"form": f"stub-{stub}", "token": f"{name}{n}"}
            start = time.perf_counter()
            assert client.post(f"{home}/measure", data=body).status_code == 303
            _ready(client, home)
            times.append(time.perf_counter() - start)
        got = statistics.median(times)
        yield Row(f"recalculation, {name}", f"{got:.2f} s", "1 s", got <= 1.0)


def _ready(client: httpx.Client, home: str) -> None:
    for _ in range(400):
        if "zones worked out" not in client.get(f"{home}/choose").text:
            return
        time.sleep(0.02)
    raise TimeoutError(home)


def sustained(client: httpx.Client, pits: dict[str, str], pid: int) -> Iterator[Row]:
    """Requests at a fixed pace from four threads; memory before and after."""
    addresses = ["/", f"/pit/{pits['pit 3']}", f"/pit/{pits['chapel-lawn']}/measure", "/?q=0100"]
    for address in addresses * 30:
        client.get(address)
    before, begun = memory(pid), time.perf_counter()
    late: list[float] = []
    bad: list[int] = []

    def ask(share: int) -> None:
        for n in range(share, int(A_SECOND * LASTS), 4):
            due = begun + n / A_SECOND
            time.sleep(max(0.0, due - time.perf_counter()))
            status = client.get(addresses[n % len(addresses)]).status_code
            late.append(time.perf_counter() - due)
            if status != 200:
                bad.append(status)

    threads = [threading.Thread(target=ask, args=(n,)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = time.perf_counter() - begun
    rate = len(late) / took
    said = f"{rate:.0f} a second for {took:.0f} s, {len(bad)} refused, "
    said += f"median {statistics.median(late) * 1000:.0f} ms"
    yield Row("requests kept up", said, f"{A_SECOND} a second", rate >= A_SECOND * 0.98 and not bad)
    grown = memory(pid) - before
    yield Row("memory over that time", f"{before:.0f} MB, {grown:+.1f} MB", "flat", grown < 5.0)


def first_page(entry: str) -> Iterator[Row]:
    """Weight on the wire and time until it can be used, on a processor four times slower."""
    import shutil

    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
        line = page.context.new_cdp_session(page)
        weight = [0.0]
        line.send("Network.enable")
        line.on("Network.loadingFinished", lambda e: weight.append(e["encodedDataLength"]))
        line.send("Emulation.setCPUThrottlingRate", {"rate": 4})
        page.goto(entry)
        page.wait_for_load_state("networkidle")
        first = sum(weight)
        times = []
        for _ in range(5):
            line.send("Network.clearBrowserCache")
            page.reload(wait_until="load")
            times.append(
                page.evaluate("performance.getEntriesByType('navigation')[0].loadEventEnd")
            )
        browser.close()
    got = statistics.median(times) / 1000
    yield Row("first page on the wire", f"{first / 1000:.0f} kB", "150 kB", first <= 150_000)
    yield Row("first page, processor 4x slower", f"{got:.2f} s", "1 s", got <= 1.0)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        pits = filled(Path(folder))
        with served(Path(folder)) as (client, entry, pid):
            rows = [*first_page(entry), medians(client, pits)]
            rows += [*recalculated(client, pits), *sustained(client, pits, pid)]
    print("| what | measured | limit | kept |\n|---|---|---|---|")
    for row in rows:
        print(f"| {row.what} | {row.got} | {row.limit} | {'yes' if row.kept else 'no'} |")


if __name__ == "__main__":
    main()
