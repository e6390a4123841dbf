"""How often a cut that is called good breaks, when tape, angles, cut and roll are drawn at chance.

Sixty random routes, half of them with something near and half with movement. Each draw is solved
anew: another place and direction of every end, another length, another side of the set, another
place of what is near, all positions of movement. A draw is broken where the hose bends tighter than
the least radius or comes nearer than wanted, at the chosen cut, for routes that stand the errors.

Every draw is solved from a guess of its own, all draws of a position in stacks; a position where
none of the first two hundred comes near to breaking is left at those. Some are solved a
second time, from the shape without errors: where any of these lies another way, all of that
position are, and a draw is broken if either way is. Some are solved a third time, one by one with
the solver of single shapes: what bends more than a hundredth otherwise is counted as a slip.

    python tests/benchmarks/bench_errors.py [routes] [draws] [number of a route ...]
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from hoseselect.cutplan.free_lie import bodies_at, body
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.domain.free_route import FreeRoute, KeepOut, Vector
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Pose, Shape, solve
from hoseselect.mechanics.rod.newton import Equilibria, of, relax
from hoseselect.mechanics.rod.nodes import interpolation, nodes, running
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.response import set_push
from hoseselect.mechanics.rod.settle import settled
from hoseselect.mechanics.rod.sweep import first_guess
from hoseselect.mechanics.rod.tightest import tightest

Array = NDArray[np.float64]
POINTS, STACK, SET_ROUNDS = 97, 250, 12
LADDER = {16: 3e-3, 24: 1e-2, 36: 1e-2}  # intervals, and spread of the first integral accepted
SECOND, SINGLE = 200, 20  # draws of a position that are solved a second and a third time
EVERYWHERE = 200  # draws that are solved at every position
WIDE, ROOMY = 1.25, 15.0  # radius over the least and room [mm]: no draw is less, then no others are
OTHERWISE = 0.05  # of a tangent: what differs by more lies another way
SLIP = 0.01  # of a radius
Rows = NDArray[np.int64]
SEEN: Counter[str] = Counter()


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def vector(values: Array) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)


def flat_job() -> Job:
    """Return a job whose route is to be replaced."""
    return read_job({
        "service": "coolant-heater", "nipples": {"outside_diameter": 16},
        "route": {"free": {"offset": "forward 200 mm", "nipple_a_points": "up",
                           "nipple_b_points": "up"}},
    })  # fmt: skip


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
    job = flat_job()
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


@dataclass
class Draws:
    """Draws of one span at one position: its ends as drawn, its length, the side of its set.

    Parameters
    ----------
    start, end, chord : (D, 3) [-], [-], [mm]
    length : (D,) [mm]
    roll : (D,) [rad]
    """

    start: Array
    end: Array
    chord: Array
    length: Array
    roll: Array

    def some(self, rows: Rows) -> Draws:
        return Draws(*(held[rows] for held in (self.start, self.end, self.chord, self.length,
                                               self.roll)))  # fmt: skip

    @property
    def reaching(self) -> Rows:
        return np.flatnonzero(np.linalg.norm(self.chord, axis=1) < self.length * (1 - 1e-9))

    def relaxed(self, rows: Rows, nominal: Shape | None = None) -> list[tuple[Rows, Equilibria]]:
        """Return shapes of some draws without the set, in groups, with as many nodes as needed.

        Parameters
        ----------
        rows : of the draws
        nominal : the shape without errors to begin with; None = a guess for each draw
        """
        found = []
        for intervals, spread in LADDER.items():
            left = []
            for first in range(0, len(rows), STACK):
                own = rows[first : first + STACK]
                chord = self.chord[own] / self.length[own, None]
                start, end, none = self.start[own], self.end[own], np.zeros_like(chord)
                if nominal is None:
                    shapes = first_guess(intervals, start, end, chord, none)
                else:
                    at, known = nodes(intervals), nominal.nodes / nominal.length
                    guess = unit(interpolation(known, at.position) @ nominal.tangents)
                    guess = np.repeat(guess[None], len(own), 0)
                    guess[:, 0], guess[:, -1] = start, end
                    shapes = relax(at, guess, chord, none)
                good = shapes.settled & (tightest(shapes).spread <= spread)
                found.append((own[good], of(shapes, good)))
                left.append(own[~good])
            rows = np.concatenate([np.zeros(0, dtype=int), *left])
        return found

    def tangents(self, groups: list[tuple[Rows, Equilibria]]) -> Array:
        """Return even-spaced tangents of the draws, NaN where not solved, (D, 33, 3)."""
        found = np.full((len(self.length), 33, 3), np.nan)
        for rows, shapes in groups:
            even = np.linspace(0, 1, 33)
            found[rows] = interpolation(shapes.at.position, even) @ shapes.tangent
        return found

    def lies(self, groups: list[tuple[Rows, Equilibria]]) -> tuple[Array, Array]:
        """Return tightest radii (D,), 0 not solved, and centrelines (D, P, 3), the set counted."""
        radii = np.zeros(len(self.length))
        lines = np.zeros((len(self.length), POINTS, 3))
        for rows, shapes in groups:
            if not len(rows):
                continue
            length, roll = self.length[rows], self.roll[rows]
            push = set_push(shapes) * (length / limit("roll-set-radius"))[:, None, None, None]
            push = push @ np.stack([np.cos(roll), np.sin(roll)], axis=-1)[:, None, :, None]
            moved, sure, _ = settled(
                shapes, shapes.chord[..., None], shapes.tangent[:, 0, :, None],
                shapes.tangent[:, -1, :, None], push, SET_ROUNDS,
            )  # fmt: skip
            lost = ~sure[:, 0]  # one that nearly turns over by its set: as it is without
            moved[lost, ..., 0] = shapes.tangent[lost]
            SEEN.update(shapes=len(lost), without_set=int(lost.sum()))
            before, after = most_bent(shapes, shapes.tangent), most_bent(shapes, moved[..., 0])
            radii[rows] = length / (tightest(shapes).curvature * after / before)
            runs = running(shapes.at.position, np.linspace(0, 1, POINTS))
            lines[rows] = length[:, None, None] * (runs @ moved[..., 0])
        return radii, lines

    def ways(self, nominal: Shape) -> Iterator[tuple[Rows, Array, Array]]:
        """Yield rows of draws, their radii and centrelines, for every way to lie that is found."""
        rows = self.reaching
        cold = self.relaxed(rows)
        yield np.arange(len(self.length)), *self.lies(cold)
        self._count_slips(rows[:SINGLE], cold)
        if not len(self._otherwise(cold, self.relaxed(rows[:SECOND], nominal))):
            return
        warm = self.relaxed(rows, nominal)
        other = self._otherwise(cold, warm)
        radii, lines = self.lies(warm)
        yield other, radii[other], lines[other]

    def _otherwise(
        self, cold: list[tuple[Rows, Equilibria]], warm: list[tuple[Rows, Equilibria]]
    ) -> Rows:
        """Return the draws that lie another way when followed from the shape without errors."""
        apart = np.abs(self.tangents(cold) - self.tangents(warm)).max(axis=(1, 2))
        return np.flatnonzero(apart > OTHERWISE)  # NaN, not solved, is none

    def _count_slips(self, rows: Rows, cold: list[tuple[Rows, Equilibria]]) -> None:
        radius = np.full(len(self.length), np.nan)
        for own, shapes in cold:
            radius[own] = self.length[own] / tightest(shapes).curvature
        for row in rows:
            pose = Pose(np.zeros(3), self.start[row], self.chord[row], self.end[row])
            try:
                single = solve(pose, float(self.length[row])).tightest_radius
            except HoseselectError:
                single = np.nan
            same = abs(radius[row] - single) <= SLIP * single
            SEEN.update(singles=1, slips=int(not same))


def most_bent(shapes: Equilibria, tangent: Array) -> Array:
    bend = shapes.at.dense @ (shapes.at.slope @ tangent)
    return np.asarray(np.sqrt((bend**2).sum(-1)).max(1))


def tilted(direction: Array, angles: Array) -> Array:
    side = across(direction)
    other = np.cross(direction, side)
    return unit(direction + np.tan(angles[:, :1]) * side + np.tan(angles[:, 1:]) * other)


@dataclass(frozen=True)
class Broken:
    """Shares of the draws of one route: too tight, too near, either, with another way to lie."""

    bend: float
    near: float
    either: float
    otherwise: float


def broken(plan: FreePlan, count: int, seed: int) -> Broken:
    """Return the shares of draws that break the bend or a clearance at the chosen cut."""
    own, route = plan.sizes[0], plan.route
    assert own.lie is not None
    rng = np.random.default_rng(seed)
    tape, slope = route.tape_error, np.radians(route.angle_error)
    draw = rng.uniform(-1, 1, (count, 3 + 4 + 1 + 1))
    start = tilted(np.array(route.points_a), slope * draw[:, 3:5])
    end = tilted(-np.array(route.points_b), slope * draw[:, 5:7])
    length = own.tip + own.tolerance * draw[:, 7] - 2 * route.lead
    slips = tape * rng.uniform(-1, 1, (count, len(route.keep_outs), 3))
    worst = np.full((2, count), np.inf)  # radius over the least, room [mm]
    otherwise = np.zeros(count, dtype=bool)
    for number, placement in enumerate(plan.solution.placements):
        mouth = placement.point(np.array(route.mouth_b)[None] + tape * draw[:, :3])
        arrive = placement.direction(end)
        chord = mouth - route.lead * arrive - route.lead * start
        draws = Draws(start, arrive, chord, length, np.pi * draw[:, 8])
        (nominal,) = own.lie.positions[number]
        for part in (np.arange(min(EVERYWHERE, count)), np.arange(EVERYWHERE, count)):
            here = np.full((2, count), np.inf)
            for way, (rows, radii, lines) in enumerate(draws.some(part).ways(nominal)):
                drawn = part[rows]
                otherwise[drawn] |= way > 0
                here[0, drawn] = np.minimum(here[0, drawn], radii / own.radius)
                points = lines + (route.lead * start[drawn])[:, None]
                for k, near in enumerate(route.keep_outs):
                    slipped = (points - slips[drawn, k][:, None]).reshape(-1, 3)
                    for one in bodies_at(near, body(near), placement if number else None):
                        gap = one.distance(slipped).reshape(len(rows), -1).min(axis=1)
                        room = gap - own.outside / 2 - near.wanted
                        here[1, drawn] = np.minimum(here[1, drawn], room)
            worst = np.minimum(worst, here)
            if not (here[0].min() < WIDE or here[1].min() < ROOMY or otherwise[part].any()):
                break
    tight, near = ~(worst[0] >= 1), ~(worst[1] >= 0)
    return Broken(*(float(one.mean()) for one in (tight, near, tight | near, otherwise)))


def main() -> None:
    routes = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    only = [int(one) for one in sys.argv[3:]]
    good, careful, none = [], 0, 0
    say("route  moves near  radius  cut  broken   bend   near  another way   seconds")
    for number in only or range(1, 20 * routes):
        if len(good) == routes:
            break
        try:
            job, radius, outside = random_job(number)
            plan = plan_free_radius(job, radius, outside=outside)
        except HoseselectError:
            continue
        own, route = plan.sizes[0], plan.route
        clear = not own.room < 0
        if own.lie is None or not clear or own.lie.other_radius < radius:
            none += 1
        elif min(own.stood, own.clear) < route.tape_error or not own.any_side:
            careful += 1
        else:
            begun = time.process_time()
            found = broken(plan, count, number)
            good.append(found.either)
            marks = "yes" if any(route.movement) else "no", "yes" if route.keep_outs else "no"
            say(f"{number:5}  {marks[0]:5} {marks[1]:4} {own.radius:7.0f} {own.cut:4.0f}"
                f" {found.either:7.2%} {found.bend:6.2%} {found.near:6.2%} {found.otherwise:12.2%}"
                f" {time.process_time() - begun:9.0f}")  # fmt: skip
    shares = np.array(good)
    say(f"{len(good)} routes stand the errors, {careful} with care or not, {none} have no cut")
    say(f"broken draws: median {np.median(shares):.2%}, most {shares.max():.2%},"
        f" over 5 %: {(shares > 0.05).sum()}")  # fmt: skip
    say(f"shapes without the set: {SEEN['without_set'] / max(SEEN['shapes'], 1):.2%}")
    say(f"{SEEN['singles']} solved one by one, {SEEN['slips']} of them bend otherwise")
    say(f"{time.process_time():.0f} s of processor time")


if __name__ == "__main__":
    main()
