"""Whether cuts keep clear of what is near within their tolerance, and whether none is missed.

Random routes with something near. Every cut that is given is solved again at both ends of its
tolerance, at all positions of movement. Where no cut is given, or one that does not keep clear,
every length of the window of the bend is looked at in steps of 1 mm, other ways to lie included:
a length is sound where those a tolerance shorter and longer keep clear too.

    python tests/benchmarks/bench_near_miss.py [routes] [first]
"""

from __future__ import annotations

import math
import os
import sys
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from bench_errors import random_job, say
from numpy.typing import NDArray

from hoseselect.cutplan.free_lie import Lie, least_distance
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.knowledge.errors import HoseselectError

Array = NDArray[np.float64]
STEP = 1.0
STACK = 40
BREAKS = 0.02  # mm, of a clearance: shapes are solved to about a hundredth of that
BENDS = 1e-4  # of a radius, likewise


def room(plan: FreePlan, lie: Lie | None) -> float:
    """Return the least room of a lie beyond the clearance wanted [mm]."""
    own = plan.sizes[0]
    if lie is None:
        return -math.inf
    gaps = [least_distance(lie, part) - part.wanted for part in plan.route.keep_outs]
    return min(gaps) - own.outside / 2


def broken_within_tolerance(plan: FreePlan) -> float:
    """Return the least room of the chosen cut and of the ends of its tolerance [mm]."""
    own = plan.sizes[0]
    near = [(own.tip + part * own.tolerance,) for part in (-1.0, -0.5, 0.0, 0.5, 1.0)]
    lies = plan.solution.lies(near)
    return min(room(plan, lie) for lie in lies)


def sound_lengths(plan: FreePlan) -> tuple[Array, Array]:
    """Return the lengths that keep clear with their tolerance, and their least room [mm]."""
    own, solution = plan.sizes[0], plan.solution
    (windows,) = solution.windows(np.array([own.radius]))
    window = windows[0]
    if math.isnan(window.shortest) or window.big_loop_only:
        return np.zeros(0), np.zeros(0)
    longest = min(window.longest, max(solution.practical, window.shortest))
    lengths = np.arange(window.shortest, longest + STEP / 2, STEP)
    rooms, radii = [], []
    for first in range(0, len(lengths), STACK):
        some = [(float(length),) for length in lengths[first : first + STACK]]
        for lie in solution.lies(some):
            rooms.append(room(plan, lie))
            radii.append(0.0 if lie is None else min(lie.tightest_radius, lie.other_radius))
    keeps = np.where(np.array(radii) >= own.radius * (1 - BENDS), np.array(rooms), -np.inf)
    reach = math.ceil(own.tolerance / STEP)
    if len(keeps) < 2 * reach + 1:
        return np.zeros(0), np.zeros(0)
    worst = np.lib.stride_tricks.sliding_window_view(keeps, 2 * reach + 1).min(axis=1)
    inner = lengths[reach : len(lengths) - reach]
    return inner[worst >= 0], worst[worst >= 0]


def main() -> None:
    """Measure and print."""
    routes = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    number = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    counts = dict.fromkeys(("cut", "breaks", "refused", "false", "bend"), 0)
    start = time.perf_counter()
    while counts["cut"] + counts["refused"] < routes and number < 40 * routes:
        number += 1
        if number % 4 < 2:  # without anything near
            continue
        try:
            job, radius, outside = random_job(number)
            if not job.route.free or not job.route.free.keep_outs:
                continue
            plan = plan_free_radius(job, radius, outside=outside)
        except HoseselectError:
            continue
        own = plan.sizes[0]
        if not own.width >= own.needed:
            counts["bend"] += 1
            continue
        if own.lie is not None and own.room >= 0 and own.lie.other_radius >= radius:
            counts["cut"] += 1
            left = broken_within_tolerance(plan)
            if left < -BREAKS:
                counts["breaks"] += 1
                say(f"  route {number}: cut {own.cut:.0f} said {own.room:.2f}, has {left:.2f}")
            continue
        counts["refused"] += 1
        lengths, rooms = sound_lengths(plan)
        if len(lengths):
            counts["false"] += 1
            best = int(rooms.argmax())
            why = "no cut" if own.lie is None else f"cut {own.cut:.0f} room {own.room:.2f}"
            if own.lie is not None:
                why += f" other {own.lie.other_radius:.0f}"
            cut = lengths[best] + sum(plan.engagements)
            say(
                f"  route {number}: {why}, radius {radius:.0f}; {len(lengths)} sound lengths"
                f" {lengths[0]:.0f} to {lengths[-1]:.0f}, tolerance {own.tolerance:.1f},"
                f" best {cut:.0f} with {rooms[best]:.2f}"
            )
    say(f"{counts['cut']} cuts, {counts['breaks']} break a clearance within their tolerance")
    say(
        f"{counts['refused']} refused for clearance or another way to lie,"
        f" {counts['false']} of them with a sound length; {counts['bend']} refused for the bend"
    )
    say(f"{time.perf_counter() - start:.0f} s, load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
