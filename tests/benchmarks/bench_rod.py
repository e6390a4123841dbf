"""Natural bend: times and reliability, everything side by side in one run.

    python tests/benchmarks/bench_rod.py            a few seconds
    python tests/benchmarks/bench_rod.py --full     adds 2000 hard poses with restarts, minutes

Processor time, one thread. Ratios count, not seconds: the machine is whatever it is.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import sys
import time
import warnings
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from scipy.integrate import solve_bvp

from hoseselect.knowledge.errors import SolveError
from hoseselect.mechanics.rod import Pose, Profile, others_many, placements, solve

HARD = Path(__file__).parents[1] / "validation" / "test_rod_hard_poses.py"


def positions(pose, movement):
    """The pose at rest and at every corner of a movement."""
    return [pose.moved(one.shift) for one in placements(movement)]


def say(text):
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def hard_module():
    spec = importlib.util.spec_from_file_location("hard_poses", HARD)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def random_pose(rng, distance=200.0):
    ways = rng.normal(size=(3, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    pose = Pose(np.zeros(3), ways[0], distance * ways[1], ways[2])
    return pose, distance * rng.uniform(1.05, 4.0)


def route(rng, tilt=70.0, distance=200.0):
    """A pose as a workshop has it: both nipples within an angle of the chord."""

    def cone():
        a, b = rng.uniform(0, np.radians(tilt)), rng.uniform(0, 2 * np.pi)
        return np.array([np.cos(a), np.sin(a) * np.cos(b), np.sin(a) * np.sin(b)])

    return Pose(np.zeros(3), cone(), np.array([distance, 0, 0]), cone())


def timed(call):
    begin = time.process_time()
    result = call()
    return time.process_time() - begin, result


def show(name, seconds, extra=""):
    middle, high, most = np.percentile(seconds, [50, 95, 100]) * 1e3
    say(f"{name:44s} median {middle:9.2f} ms   p95 {high:9.2f}   max {most:9.2f}   {extra}")
    return middle


def bvp(pose, length, tolerance):
    """The same boundary value problem by scipy, started from the same cubic curve."""
    chord = pose.chord / length
    s = np.linspace(0, 1, 31)
    t0, t1 = pose.start_direction, pose.end_direction
    curve = (
        np.outer(1 - 4 * s + 3 * s**2, t0) + np.outer(3 * s**2 - 2 * s, t1)
        + np.outer(6 * s * (1 - s), chord)
    )  # fmt: skip
    tangent = curve / np.linalg.norm(curve, axis=1)[:, None]
    bend = np.gradient(tangent, s, axis=0)
    line = np.concatenate([np.zeros((1, 3)), np.cumsum(tangent[1:] / 30, axis=0)])
    guess = np.concatenate([line, tangent, bend, np.zeros((31, 3))], axis=1).T

    def slope(_, y):
        t, k, n = y[3:6], y[6:9], y[9:12]
        turn = -(k * k).sum(0) * t - (n - (n * t).sum(0) * t)
        return np.concatenate([t, k, turn, 0 * n])

    # Of the three components of each tangent one follows from the unit length at the start;
    # twelve conditions: place, tangent at the start, no stretch of t', place, tangent (two).
    side = np.cross(t1, np.eye(3)[np.abs(t1).argmin()])
    side /= np.linalg.norm(side)
    other = np.cross(t1, side)

    def ends(a, b):
        return np.concatenate([
            a[:3], a[3:6] - t0, [a[6:9] @ t0], b[:3] - chord, [b[3:6] @ side, b[3:6] @ other],
        ])  # fmt: skip

    with np.errstate(all="ignore"), warnings.catch_warnings():
        warnings.simplefilter("ignore")  # where it fails it overflows first
        found = solve_bvp(slope, ends, s, guess, tol=tolerance, max_nodes=4000)
    if not found.success:
        return False, np.nan, np.nan
    bends = found.sol(np.linspace(0, 1, 401))[6:9]
    energy = 0.5 * np.trapezoid((found.sol(np.linspace(0, 1, 2001))[6:9] ** 2).sum(0), dx=1 / 2000)
    return True, np.sqrt((bends**2).sum(0)).max(), energy


def bench_solve(count):
    rng = np.random.default_rng(0)
    cases = [random_pose(rng) for _ in range(count)]
    solve(*cases[0])
    ours, theirs, good, wrong, both = [], [], 0, 0, []
    for pose, length in cases:
        took, shape = timed(lambda p=pose, n=length: solve(p, n))
        ours.append(took)
        other, (success, curvature, energy) = timed(lambda p=pose, n=length: bvp(p, n, 1e-6))
        if not success:
            continue
        good += 1
        if energy > shape.energy * length * 1.001:
            wrong += 1
            continue
        theirs.append(other)
        both.append(other / took)
        assert abs(curvature * shape.tightest_radius / length - 1) < 2e-3
    show(f"solve, {count} random poses", ours, f"{count} of {count} solved")
    show("scipy solve_bvp 1e-6 where it converges", theirs,
         f"{good} of {count} converged, {wrong} on a higher shape")  # fmt: skip
    say(f"{'':44s} ratio solve_bvp / solve, median {np.median(both):.1f}")
    many = [timed(lambda c=case: others_many([c], [solve(*c)])) for case in cases[:100]]
    second = sum(len(found[0]) > 0 for _, found in many)
    show("all stable shapes, 100 poses", [took for took, _ in many],
         f"{second} of 100 have a second")  # fmt: skip


def bench_windows(count):
    box = np.full(3, 8.0)
    rng = np.random.default_rng(1)
    single, many, moving, moving_one = [], [], [], []
    for _ in range(count):
        pose, radius = route(rng), rng.uniform(15, 70)
        single.append(timed(lambda p=pose, r=radius: Profile([p], r).window(r))[0])
        radii = np.linspace(15, 90, 60)
        many.append(timed(lambda p=pose, r=radii: Profile([p], 15).windows(r))[0])
        moving.append(timed(lambda p=pose, r=radii: Profile(positions(p, box), 15).windows(r))[0])
        moving_one.append(
            timed(lambda p=pose, r=radius: Profile(positions(p, box), r).window(r))[0]
        )
    show("window of one radius, tilt to 70 deg", single)
    show("windows of 60 radii, one profile", many)
    show("window of one radius, nine positions", moving_one)
    show("windows of 60 radii, nine positions", moving)


def bench_hard(count):
    module = hard_module()
    say(f"{count} poses in each of {len(module.CLASSES)} hard classes, 4 random restarts each")
    total = lost = higher = 0
    for index, kind in enumerate(module.CLASSES):
        rng = np.random.default_rng([1, index])
        took, refused, above, worst = [], 0, 0, 0.0
        for _ in range(count):
            pose, length = module.hard_pose(kind, rng)
            try:
                seconds, shape = timed(lambda p=pose, n=length: solve(p, n))
            except SolveError as error:
                refused += 1
                say(f"   refused: {error.reason}; L/d {length:.4f}")
                continue
            took.append(seconds)
            known = shape.energy * length
            lowest = module.lowest_of_restarts(pose, length, rng, 4, known)
            excess = known / lowest - 1
            above += excess > 1e-3
            worst = max(worst, excess)
        total, lost, higher = total + count, lost + refused, higher + above
        show(f"  {kind}", took, f"refused {refused}, not lowest {above} (most {worst:.1e})")
    say(f"solved {total - lost} of {total}, not the lowest {higher}")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--full", action="store_true")
    full = parser.parse_args().full
    bench_solve(200)
    bench_windows(30)
    bench_hard(200 if full else 10)


if __name__ == "__main__":
    sys.exit(main())
