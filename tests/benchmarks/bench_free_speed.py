"""Times of free routes in one run, beside the time of one plain matrix product.

Aims: 60 lengths of one route in one stack 50 ms; a route with nine positions planned for what
goes on the nipples 0.25 s when its process is warm; four clips, and three rings, with movement 2 s
from cold. Least of some runs counts; a figure over its aim on a loaded machine is no proof.

    python tests/benchmarks/bench_free_speed.py [runs]
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from bench_errors import say

from hoseselect.answer.fitting_sizes import sizes_that_fit
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.free_plan import plan_free, plan_free_radius
from hoseselect.cutplan.free_spans import pose_of
from hoseselect.domain.free_route import Clip, FreeRoute, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.mechanics.rod import Stack
from hoseselect.mechanics.rod.nodes import nodes

ROOT = Path(__file__).parents[2]
LENGTHS = 60


def job(free: dict[str, object]) -> Job:
    return read_job({
        "service": "coolant-heater", "fluids": [], "drips": [],
        "nipples": {"outside_diameter": 16, "engagement": 25, "usable_length": 30, "bead": "yes",
                    "bead_diameter": 18, "measured_on": "plain"},
        "duty": {"fluid_steady": 90, "fluid_peak": 100, "air_steady": 80, "air_peak": 90,
                 "coldest_start": -20, "pressure_min": 0, "pressure_max": 150},
        "route": {"free": free},
    })  # fmt: skip


NINE = {
    "offset": "forward 200 mm; left 90 mm; up 60 mm", "nipple_a_points": "forward and 30 deg up",
    "nipple_b_points": "up and 20 deg left", "movement": "forward 6 mm; left 8 mm; up 5 mm",
}  # fmt: skip


def turned(given: Job, share: float) -> Job:
    """The same route with its mouth moved a little, so that nothing kept serves again."""
    free = given.route.free
    assert free is not None
    x, y, z = free.mouth_b
    return with_free(given, replace(free, mouth_b=(x + share, y, z)))


def with_free(given: Job, free: FreeRoute) -> Job:
    return replace(given, route=replace(given.route, free=free))


def along(given: Job, count: int, *, rings: bool) -> Job:
    """A long route over clips or rings on a bow, with movement of the far end."""
    free = given.route.free
    assert free is not None
    mouth = np.array([600.0, 150.0, 60.0])
    clips = []
    for share in np.arange(1, count + 1) / (count + 1):
        place = share * mouth + np.array([0, 0, 90 * np.sin(np.pi * share)])
        way = mouth + np.array([0, 0, 90 * np.pi * np.cos(np.pi * share)])
        x, y, z = place
        held: Vector = tuple(float(part) for part in way / np.linalg.norm(way))  # type: ignore[assignment]
        clips.append(Clip((float(x), float(y), float(z)), None if rings else held))
    return with_free(given, replace(free, mouth_b=(600.0, 150.0, 60.0), clips=tuple(clips)))


def least(runs: int, work: Callable[[int], object]) -> tuple[float, float]:
    """Return the first and the least time [s]."""
    times = []
    for number in range(runs):
        start = time.perf_counter()
        work(number)
        times.append(time.perf_counter() - start)
    return times[0], min(times)


def main() -> None:
    """Measure and print."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    rng = np.random.default_rng(0)
    matrix = rng.normal(size=(400, 400))
    _, product = least(20, lambda _: matrix @ matrix)
    catalogue = read_catalogue(ROOT / "catalog")
    hoses = hose_columns(catalogue)
    nine = job(NINE)
    fit = sizes_that_fit(nine, hoses)  # a pick solves the route for these alone
    assert nine.route.free is not None
    pose = pose_of(nine.route.free)
    lengths = pose.distance * np.linspace(1.02, 2.5, LENGTHS)

    def clipped(number: int, count: int, *, rings: bool) -> object:
        return plan_free_radius(turned(along(nine, count, rings=rings), number), 40.0, outside=22.0)

    nodes(16)
    rows = {
        "four clips with movement": (2.0, runs, lambda n: clipped(n, 4, rings=False)),
        "three rings with movement": (2.0, runs, lambda n: clipped(n, 3, rings=True)),
        "60 lengths in one stack": (
            0.05, 4 * runs, lambda n: Stack([(pose, float(one) + 1e-3 * n) for one in lengths])
        ),
        "nine positions planned": (0.25, runs, lambda n: plan_free(turned(nine, n), hoses, fit)),
        "whole pick, nine positions": (0.25, runs, lambda n: pick_hose(turned(nine, n), catalogue)),
    }  # fmt: skip
    say(f"matrix product of 400 rows {1e3 * product:.2f} ms, load {os.getloadavg()[0]:.1f}")
    for name, (aim, many, work) in rows.items():
        first, best = least(many, work)
        say(f"{name:<28} first {first:6.3f} s, least {best:6.3f} s, aim {aim:g} s,"
            f" {best / product:6.0f} products, load {os.getloadavg()[0]:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
