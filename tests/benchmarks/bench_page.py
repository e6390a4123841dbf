"""How long a reply takes at the counter when 50 people use the page at once.

    python tests/benchmarks/bench_page.py [people] [seconds]

The page runs as `hoseselect page` runs it, on the loopback address, with its own processes. Each
person opens the counter, replies to one question after another with a mean of 5 s between an answer
and the next reply (exponentially spread: people do not keep step), one in five times with "don't
know", and begins a new job when nothing more is asked. A reply counts from sending it to the end of
the page that answers it, the redirection between included. The first seconds, in which everything
is loaded, are left out. The people run on the same machine, and so does all else that it has to do.

What does not depend on that is told first: the processor time of each reply, measured one after the
other in this process, and what the same 50 people would wait if two cores had nothing else to do.
That is worked out, not measured: each of two processes answers one reply after the other, each
person stays with one of them, and a reply takes the processor time of one that was measured.
"""

from __future__ import annotations

import asyncio
import heapq
import html
import os
import random
import re
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import httpx2

PEOPLE, SECONDS, THINKS, WARM = 50, 60.0, 5.0, 12.0
REPLIES = 150
GOAL = 0.5
"""Seconds within which 95 of 100 replies are to be answered."""
ROOT = Path(__file__).parents[2]
LINES = (
    *("heater hose", "PCV hose", "fuel return", "vacuum hose", "oil cooler hose"),
    *("breather hose", "radiator bypass", "brake booster vacuum", "power steering return"),
    *("washer hose", "diesel leak-off", "atf cooler line", "brake hose"),
)
SIZES = ("6 mm", "8 mm", "3/8 in", "13 mm", "16 mm", "19 mm", "25 mm")
FORM = re.compile(r'<form class="typed" id="typed-form".*?</form>', re.DOTALL)
HIDDEN = re.compile(r'type="hidden" name="([^"]*)" value="([^"]*)"')
CHOICE = re.compile(r'name="reply" value="(\d+)"')


def reply_to(chance: random.Random, field: str, page: str) -> str:
    """Return what somebody says to a question."""
    if field == "service":
        return chance.choice(LINES)
    if chance.random() < 0.2:
        return "dunno"
    choices = CHOICE.findall(page)
    if choices:
        return chance.choice(choices)
    if field.endswith("outside_diameter"):
        return "same" if field.startswith("nipple_b") else chance.choice(SIZES)
    if field == "route":
        return f"{chance.randint(150, 900)} mm"
    return f"{chance.randint(60, 150)} mm" if "radius" in field else "dunno"


async def person(
    number: int, address: str, until: float, waited: list[tuple[float, float]]
) -> None:
    """Ask and reply until the time is up; note when each reply was sent and how long it took."""
    chance = random.Random(number)
    await asyncio.sleep(chance.random() * THINKS)
    async with httpx2.AsyncClient(base_url=address, timeout=60.0, follow_redirects=True) as client:
        page = (await client.get("/counter")).text
        while time.monotonic() < until:
            await asyncio.sleep(chance.expovariate(1 / THINKS))
            form = FORM.search(page)
            begun = time.monotonic()
            if form is None:
                told = await client.get("/counter")
            else:
                fields = [(name, html.unescape(value)) for name, value in HIDDEN.findall(form[0])]
                field = dict(fields)["field"]
                replied = urlencode([*fields, ("reply", reply_to(chance, field, page))])
                told = await client.get(f"/counter?{replied}")
            assert told.status_code == 200, told.text
            waited.append((begun, time.monotonic() - begun))
            page = told.text


@contextmanager
def served() -> Iterator[tuple[str, int]]:
    """Give the address of a page that runs, and the number of its process."""
    environment = {**os.environ, "HOSESELECT_BOOK": "off", "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, "-m", "hoseselect", "page", "--port", "0"]
    process = subprocess.Popen(
        command,
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    try:
        assert process.stdout is not None
        yield process.stdout.readline().strip(), process.pid
    finally:
        os.killpg(process.pid, signal.SIGTERM)
        process.wait(20)


def processor_time(group: int) -> float:
    """Return the processor time of a process and those that it has started [s]; Linux alone."""
    ticks, found = os.sysconf("SC_CLK_TCK"), 0
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            parts = stat.read_text(encoding="utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        if int(parts[2]) == group:
            found += int(parts[11]) + int(parts[12])
    return found / ticks


async def crowd(address: str, people: int, seconds: float) -> list[float]:
    """Return how long each reply took [s]."""
    waited: list[tuple[float, float]] = []
    begun = time.monotonic()
    until = begun + WARM + seconds
    await asyncio.gather(*(person(n, address, until, waited) for n in range(people)))
    return [took for when, took in waited if when > begun + WARM]


async def ready(address: str) -> None:
    """Wait until the page answers."""
    async with httpx2.AsyncClient(base_url=address) as client:
        for _ in range(300):
            try:
                await client.get("/static/icon.svg")
                return
            except httpx2.TransportError:
                await asyncio.sleep(0.1)
    raise SystemExit("The page does not answer.")


def costs(replies: int) -> list[float]:
    """Return the processor time of replies [s], redirections included, one after the other."""
    from starlette.testclient import TestClient

    from hoseselect.interfaces.page.application import page_application

    chance, found = random.Random(0), []
    with TestClient(page_application(), base_url="http://localhost") as client:
        page = ""
        while len(found) < replies + len(LINES):
            form = FORM.search(page)
            begun = time.process_time()
            if form is None:
                page = client.get("/counter").text
            else:
                fields = [(name, html.unescape(value)) for name, value in HIDDEN.findall(form[0])]
                reply = reply_to(chance, dict(fields)["field"], page)
                page = client.get(f"/counter?{urlencode([*fields, ('reply', reply)])}").text
            found.append(time.process_time() - begun)
    return found[len(LINES) :]


def alone(taken: list[float], people: int, hours: float = 1.0) -> list[float]:
    """Return how long each reply would take on two cores with nothing else to do [s]."""
    chance, waited = random.Random(1), []
    free = [0.0, 0.0]
    coming = [(chance.expovariate(1 / THINKS), number) for number in range(people)]
    heapq.heapify(coming)
    while coming[0][0] < hours * 3600:
        now, number = heapq.heappop(coming)
        worker = number % len(free)
        free[worker] = max(now, free[worker]) + chance.choice(taken)
        waited.append(free[worker] - now)
        heapq.heappush(coming, (free[worker] + chance.expovariate(1 / THINKS), number))
    return waited


def in_words(took: list[float]) -> str:
    """Return median, 95 % and longest of some times [s]."""
    told = sorted(took)
    most = told[int(0.95 * len(told))]
    return f"median {statistics.median(told):.3f} s, 95 % {most:.3f} s, longest {told[-1]:.3f} s"


def main(people: int, seconds: float) -> None:
    """Print the times."""
    taken = costs(REPLIES)
    sys.stdout.write(f"processor time of a reply: mean {statistics.mean(taken):.3f} s,")
    sys.stdout.write(f" {in_words(taken)}\n")
    sys.stdout.write(f"on two cores with nothing else to do: {in_words(alone(taken, people))}\n")
    if not seconds:
        return
    with served() as (address, group):
        asyncio.run(ready(address))
        before, own = processor_time(group), time.process_time()
        took = sorted(asyncio.run(crowd(address, people, seconds)))
        spent, own = processor_time(group) - before, time.process_time() - own
    most = took[int(0.95 * len(took))]
    told: dict[str, Any] = {
        "people": people,
        "replies": len(took),
        "a second": round(len(took) / seconds, 1),
        "median": f"{statistics.median(took):.3f} s",
        "95 %": f"{most:.3f} s",
        "longest": f"{took[-1]:.3f} s",
        "within the goal": f"{sum(t <= GOAL for t in took) / len(took):.1%}",
        "processor time of the page": f"{spent / (WARM + seconds):.2f} cores",
        "of the people": f"{own / (WARM + seconds):.2f} cores",
        "load of the machine": f"{os.getloadavg()[0]:.1f}",
    }
    for name, value in told.items():
        sys.stdout.write(f"{name:28}{value}\n")
    sys.stdout.write(f"95 % within {GOAL} s: {'yes' if most <= GOAL else 'no'}\n")


if __name__ == "__main__":
    asked = [float(text) for text in sys.argv[1:3]]
    main(int(asked[0]) if asked else PEOPLE, asked[1] if len(asked) > 1 else SECONDS)
