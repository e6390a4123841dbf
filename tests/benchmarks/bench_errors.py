"""How often a cut that is called good breaks, when tape, angles, cut and roll are drawn at chance.

Sixty random routes, half of them with something near and half with movement. Each draw is solved
anew: another place and direction of every end, another length, another side of the set, another
place of what is near, all positions of movement. Printed: the share of draws that bend tighter than
the least radius or come nearer than wanted, at the chosen cut, for routes that stand the errors.

    python tests/benchmarks/bench_errors.py [routes] [draws]
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from collections import Counter
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from hoseselect.cutplan.free_lie import bodies_at, body
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod.newton import of
from hoseselect.mechanics.rod.nodes import running
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.response import set_push
from hoseselect.mechanics.rod.settle import settled
from hoseselect.mechanics.rod.sweep import first_guess
from hoseselect.mechanics.rod.tightest import tightest


def say(text: str) -> None:
    sys.stdout.write(text + "\n")


Array = NDArray[np.float64]
NODES, POINTS, STACK, SET_ROUNDS = 24, 97, 400, 12
SEEN: Counter[str] = Counter()


def vector(values: Array) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


def random_job(number: int) -> tuple[Job, float, float]:
    """Return a random route with a least bend radius and an outside diameter that may pass."""
    rng = np.random.default_rng(number)
    distance = rng.uniform(90, 320)
    along = unit(rng.normal(size=3))
    ways = []
    for sign in (1.0, -1.0):
        tilt = np.radians(rng.uniform(0, 110))
        side = across(along)
        side = np.cos(turn := rng.uniform(0, 2 * np.pi)) * side + np.sin(turn) * np.cross(
            along, side
        )
        ways.append(np.cos(tilt) * sign * along + np.sin(tilt) * side)
    route = FreeRoute(
        vector(distance * along),
        vector(ways[0]),
        vector(ways[1]),
        movement=vector(rng.uniform(2, 10, 3)) if number % 2 else (0.0, 0.0, 0.0),
        lead=10.0,
    )
    job = read_job({
        "service": "coolant-heater", "nipples": {"outside_diameter": 16},
        "route": {"free": {"offset": "forward 200 mm", "nipple_a_points": "up",
                           "nipple_b_points": "up"}},
    })  # fmt: skip
    outside = float(rng.uniform(10, 24))
    best = plan_free_radius(with_route(job, route), 15.0, outside=outside)
    radius = float(rng.uniform(0.45, 0.95)) * min(best.best_radius, 200.0)
    if number % 4 >= 2:
        lie = best.solution.lie(best.solution.best_spans)
        if lie is not None:
            line = lie.centreline
            middle = line[rng.integers(len(line) // 4, 3 * len(line) // 4)]
            off = unit(rng.normal(size=3))
            size = rng.uniform(20, 60)
            gap = outside / 2 + size / 2 + rng.uniform(12, 40)
            ball = KeepOut("ball", "ball", (vector(middle + gap * off),), (size, 0, 0), 10.0)
            route = replace(route, keep_outs=(ball,))
    return with_route(job, route), radius, outside


def with_route(job: Job, route: FreeRoute) -> Job:
    return replace(job, route=replace(job.route, free=route))


def broken(plan: FreePlan, count: int, seed: int) -> float:
    """Return the share of draws that break the bend or a clearance at the chosen cut."""
    own, route = plan.sizes[0], plan.route
    rng = np.random.default_rng(seed)
    tape, slope = route.tape_error, np.radians(route.angle_error)
    draw = rng.uniform(-1, 1, (count, 3 + 4 + 1 + 1))
    shift = tape * draw[:, :3]
    start = tilted(np.array(route.points_a), slope * draw[:, 3:5])
    end = tilted(-np.array(route.points_b), slope * draw[:, 5:7])
    length = own.tip + own.tolerance * draw[:, 7] - 2 * route.lead
    bad = np.zeros(count, dtype=bool)
    slips = tape * rng.uniform(-1, 1, (count, len(route.keep_outs), 3))
    for number, placement in enumerate(plan.solution.placements):
        mouth = placement.point(np.array(route.mouth_b)[None] + shift)
        arrive = placement.direction(end)
        chord = mouth - route.lead * arrive - route.lead * start
        radii, lines = solved(start, arrive, chord, length, np.pi * draw[:, 8])
        bad |= ~(radii >= own.radius)
        for k, part in enumerate(route.keep_outs):
            bodies = bodies_at(part, body(part), placement if number else None)
            points = lines + (route.lead * start)[:, None] - slips[:, k][:, None]
            for near in bodies:
                gap = near.distance(points.reshape(-1, 3)).reshape(len(points), -1).min(axis=1)
                bad |= ~(gap - own.outside / 2 >= part.wanted)
    return float(bad.mean())


def tilted(direction: Array, angles: Array) -> Array:
    side = across(direction)
    other = np.cross(direction, side)
    return unit(direction + np.tan(angles[:, :1]) * side + np.tan(angles[:, 1:]) * other)


def solved(
    start: Array, end: Array, chord: Array, length: Array, roll: Array
) -> tuple[Array, Array]:
    """Return tightest radii (D,) and centrelines (D, P, 3) of draws, the set counted."""
    radii = np.zeros(len(length))
    lines = np.zeros((len(length), POINTS, 3))
    reaches = np.flatnonzero(np.linalg.norm(chord, axis=1) < length * (1 - 1e-9))
    for first in range(0, len(reaches), STACK):
        rows = reaches[first : first + STACK]
        scaled = chord[rows] / length[rows, None]
        shapes = first_guess(NODES, start[rows], end[rows], scaled, np.zeros_like(scaled))
        good = shapes.settled
        rows, shapes = rows[good], of(shapes, good)
        push = set_push(shapes) * (length[rows] / limit("roll-set-radius"))[:, None, None, None]
        sides = np.stack([np.cos(roll[rows]), np.sin(roll[rows])], axis=-1)
        push = push @ sides[:, None, :, None]
        moved, sure, _ = settled(
            shapes, shapes.chord[..., None], shapes.tangent[:, 0, :, None],
            shapes.tangent[:, -1, :, None], push, SET_ROUNDS,
        )  # fmt: skip
        lost = ~sure[:, 0]  # one that nearly turns over by its set: as it is without
        moved[lost, ..., 0] = shapes.tangent[lost]
        SEEN.update(shapes=len(lost), without_set=int(lost.sum()))
        before = np.sqrt(((shapes.at.dense @ (shapes.at.slope @ shapes.tangent)) ** 2).sum(-1)).max(
            1
        )
        after = np.sqrt(((shapes.at.dense @ (shapes.at.slope @ moved[..., 0])) ** 2).sum(-1)).max(1)
        curvature = tightest(shapes).curvature * after / before
        radii[rows] = length[rows] / curvature
        runs = running(shapes.at.position, np.linspace(0, 1, POINTS))
        lines[rows] = length[rows, None, None] * (runs @ moved[..., 0])
    return radii, lines


def main() -> None:
    routes = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    good, careful, none = [], 0, 0
    number = 0
    while len(good) < routes and number < 20 * routes:
        number += 1
        try:
            job, radius, outside = random_job(number)
            plan = plan_free_radius(job, radius, outside=outside)
        except HoseselectError:
            continue
        own = plan.sizes[0]
        clear = not own.room < 0
        if own.lie is None or not clear or own.lie.other_radius < radius:
            none += 1
        elif min(own.stood, own.clear) < plan.route.tape_error or not own.any_side:
            careful += 1
        else:
            good.append((broken(plan, count, number), number, own))
    shares = np.array([share for share, _, _ in good])
    say(f"{len(good)} routes stand the errors, {careful} with care or not, {none} have no cut")
    say(f"broken draws: median {np.median(shares):.1%}, most {shares.max():.1%},"
          f" over 5 %: {(shares > 0.05).sum()}")  # fmt: skip
    say(f"shapes without the set: {SEEN['without_set'] / max(SEEN['shapes'], 1):.1%}")
    for share, which, own in sorted(good, key=lambda one: -one[0])[:8]:
        say(f"  {share:.1%} route {which}: radius {own.radius:.0f}, cut {own.cut:.0f},"
              f" tightest {own.lie.tightest_radius:.0f}, room {own.room:.1f}")  # fmt: skip


if __name__ == "__main__":
    main()
