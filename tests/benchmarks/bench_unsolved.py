"""How much tighter a hose bends for what its solved shape leaves out, by an independent rod.

Flattening: energy k^2 / 2 - k^4 / (12 kc^2) of a tube that flattens as it bends (Brazier, Proc.
R. Soc. A 116 (1927)); twenty plane routes, tightest bend of the plain shape at a share of kc.
Twist: the far end, clamped at rest, keeps its roll when it moves; skew routes, the angle that the
twist-free side turns by, and a rod of twist over bending stiffness 2/3 with that angle.
Set: the roll's curvature towards any side, the far end free to roll, with and without twist.

    python tests/benchmarks/bench_unsolved.py [skew routes] [of them with a rod]
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parents[1] / "aids"))

import numpy as np
from bench_errors import say
from discrete_rod import Relaxed, Rod, carried_frames, even_tangents, relaxed, turned
from numpy.typing import NDArray

from hoseselect.knowledge.errors import HoseselectError
from hoseselect.mechanics.rod import Pose, Profile, Shape, solve
from hoseselect.mechanics.rod.pose import across, unit
from hoseselect.mechanics.rod.response import set_push
from hoseselect.mechanics.rod.settle import settled
from hoseselect.mechanics.rod.sweep import first_guess
from hoseselect.mechanics.rod.tightest import tightest

Array = NDArray[np.float64]
COUNT = 40
SHARES = (0.3, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65, 0.7, 0.8)
LEAST = (0.4, 0.5, 0.55, 0.6, 0.65, 0.7)  # k / kc of a hose at its stated least radius
MOVES = 10.0
RUBBER = 2 / 3  # twist over bending stiffness of a round tube: 1 / (1 + nu), nu = 0.5
TWISTS = (RUBBER, 3.0)  # the second: braid in both senses stiffens twist most; no source
ROLL = 400.0


def plane_routes() -> list[tuple[Pose, float]]:
    """Return twenty plane routes of 200 mm: elbows, U-turns, S-bends, offsets."""
    x, y = np.array([1.0, 0, 0]), np.array([0.0, 1, 0])
    found = []
    for height, lengths in ((1.0, (1.56, 1.65, 1.8)), (0.6, (1.3, 1.4))):
        found += [(x, np.array([1, height, 0]), y, length) for length in lengths]
    for rise, lengths in ((0.0, (1.5, 1.6, 1.9)), (0.3, (1.5, 1.7))):
        found += [(y, np.array([1, rise, 0]), -y, length) for length in lengths]
    for offset, lengths in ((0.3, (1.055, 1.065)), (0.6, (1.24, 1.28)), (0.9, (1.5,))):
        found += [(x, np.array([1, offset, 0]), x, length) for length in lengths]
    for angle, length in ((30, 1.06), (45, 1.08), (60, 1.1), (75, 1.25), (120, 1.9)):
        turn = np.radians(angle)
        tip = np.array([np.cos(turn), np.sin(turn), 0])
        found.append((x, np.array([1, 0.25, 0]), tip, length))
    return [(Pose(np.zeros(3), a, 200 * end, b), 200 * length) for a, end, b, length in found]


def rod_of(
    shape: Shape,
    rod: Rod,
    twist: float = 0.0,
    guess: Array | None = None,
    side: Array | None = None,
    *,
    roll_free: bool = True,
) -> Relaxed:
    """Return a rod at rest on the route of a shape, its far end rolled by an angle [rad]."""
    first = across(shape.pose.start_direction) if side is None else side
    frames = carried_frames(even_tangents(shape.tangents_at, COUNT), first)
    if guess is not None:
        frames = guess
    elif twist:
        steps = np.linspace(0, twist, COUNT + 1)
        half = 2 * np.tan(steps / 2)  # Cayley's map turns by 2 atan(half / 2)
        frames = turned(frames, half[:, None] * np.array([0, 0, 1.0]))
    return relaxed(rod, frames, shape.pose.chord / shape.length, roll_free=roll_free)


def told(name: str, values: list[float]) -> None:
    shares = np.array(values)
    if not len(shares):
        say(f"{name}: none")
        return
    say(f"{name}: median {np.median(shares):.1%}, 95th percentile"
        f" {np.percentile(shares, 95):.1%}, most {shares.max():.1%} ({len(shares)})")  # fmt: skip


def flattening() -> None:
    say("flattening: tightest radius below that of the plain shape")
    found: dict[float, list[float]] = {share: [] for share in SHARES}
    kinks = dict.fromkeys(SHARES, 0)
    wanted: dict[float, list[float]] = {least: [] for least in LEAST}
    for pose, length in plane_routes():
        shape = solve(pose, length)
        plain = rod_of(shape, Rod())
        guess = plain.frames
        bends = []
        for share in SHARES:
            rod = Rod(critical=plain.curvature / share)
            bent = rod_of(shape, rod, guess=guess)
            if bent.rest < 1e-6 and bent.stable and bent.curvature < rod.critical:
                found[share].append(1 - plain.curvature / bent.curvature)
                guess = bent.frames
                bends.append(bent.curvature / rod.critical)
            else:
                kinks[share] += 1
        for least in LEAST:
            plain_share = float(np.interp(least, bends, SHARES[: len(bends)]))
            wanted[least].append(least / plain_share - 1)
    for share in SHARES:
        told(f"  k/kc {share}, {kinks[share]} kink", found[share])
    say("  margin on the least radius by which the plain shape must be wider")
    for least in LEAST:
        told(f"  k/kc {least} at the least radius", wanted[least])


def skew_routes(count: int) -> list[tuple[Pose, float]]:
    """Return skew routes whose hose bends about as tight as most do, not the loosest way."""
    rng = np.random.default_rng(9)
    found: list[tuple[Pose, float]] = []
    while len(found) < count:
        along = unit(rng.normal(size=3))
        ways = []
        for sign in (1.0, 1.0):
            tilt, turn = np.radians(rng.uniform(15, 100)), rng.uniform(0, 2 * np.pi)
            side = across(along)
            side = np.cos(turn) * side + np.sin(turn) * np.cross(along, side)
            ways.append(np.cos(tilt) * sign * along + np.sin(tilt) * side)
        distance = rng.uniform(100, 300)
        pose = Pose(np.zeros(3), ways[0], distance * along, ways[1])
        if abs(np.dot(along, np.cross(*ways))) < 0.1:
            continue
        try:
            _, best = Profile([pose], 15.0).best_radius()
        except HoseselectError:
            continue
        if best < 2.2 * distance:
            found.append((pose, best * rng.uniform(1.0, 1.25)))
    return found


def side_at_end(shape: Shape) -> Array:
    """Return the side of the far end that the side of the near end becomes, free of twist."""
    first = across(shape.pose.start_direction)
    frames = carried_frames(even_tangents(shape.tangents_at, 200), first)
    return np.asarray(frames[-1])


def twist(count: int, with_rod: int) -> None:
    angles: list[float] = []
    losses: dict[float, list[float]] = {ratio: [] for ratio in TWISTS}
    for number, (pose, length) in enumerate(skew_routes(count)):
        try:
            rest = side_at_end(solve(pose, length))
        except HoseselectError:
            continue
        worst, moved = 0.0, None
        for signs in np.ndindex(2, 2, 2):
            try:
                shape = solve(pose.moved(MOVES * (2.0 * np.array(signs) - 1)), length)
            except HoseselectError:
                continue
            now = side_at_end(shape)
            # the rod end keeps the side of rest: turned by this against the side free of twist
            angle = float(np.arctan2(now[:, 1] @ rest[:, 0], now[:, 0] @ rest[:, 0]))
            if abs(angle) > abs(worst):
                worst, moved = angle, shape
        angles.append(abs(np.degrees(worst)))
        if number < with_rod and moved is not None:
            plain = rod_of(moved, Rod())
            for ratio in TWISTS:
                both = [
                    rod_of(moved, Rod(ratio), sense * worst, roll_free=False) for sense in (1, -1)
                ]
                sure = [held for held in both if held.rest < 1e-6 and held.stable]
                losses[ratio] += [max(1 - plain.curvature / held.curvature for held in sure)]
    say(f"twist locked in by +/-{MOVES:g} mm, worst corner, {len(angles)} skew routes: median"
        f" {np.median(angles):.0f} deg, 95th percentile {np.percentile(angles, 95):.0f}, most"
        f" {max(angles):.0f}")  # fmt: skip
    say("  tightest radius below that without twist, the worse sense of two")
    for ratio, values in losses.items():
        over = sum(value > 0.03 for value in values)
        told(f"  twist over bending stiffness {ratio:.2f}, {over} above 3 %", values)


def set_of_roll(count: int) -> None:
    found: dict[str, list[float]] = {"product": [], "stiff in twist": [], "rubber": []}
    for pose, length in skew_routes(count):
        shape = solve(pose, length)
        side = across(pose.start_direction)
        other = np.cross(pose.start_direction, side)
        chord = (pose.chord / length)[None]
        start, end = pose.start_direction[None], pose.end_direction[None]
        shapes = first_guess(24, start, end, chord, 0 * chord)
        if not shapes.settled[0]:
            continue
        plain, base = rod_of(shape, Rod()).curvature, float(tightest(shapes).curvature[0])
        for roll in np.radians([0, 90, 180, 270]):
            push = set_push(shapes) * (length / ROLL) @ np.array([[np.cos(roll)], [np.sin(roll)]])
            moved, _, _ = settled(
                shapes, chord[..., None], shapes.tangent[:, 0, :, None],
                shapes.tangent[:, -1, :, None], push,
            )  # fmt: skip
            bends = shapes.at.dense @ (shapes.at.slope @ moved[0, :, :, 0])
            found["product"].append(1 - base / float(np.linalg.norm(bends, axis=1).max()))
            way = np.cos(roll) * side + np.sin(roll) * other
            for name, stiff in (("stiff in twist", 100.0), ("rubber", RUBBER)):
                bent = rod_of(shape, Rod(stiff, length / ROLL), side=way)
                if bent.rest < 1e-6 and bent.stable:
                    found[name].append(1 - plain / bent.curvature)
    say(f"set of the roll, radius {ROLL:g} mm, towards four sides: tightest radius below that"
        " without")  # fmt: skip
    for name, values in found.items():
        told(f"  {name}", values)


def main() -> None:
    """Measure and print."""
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    some = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    flattening()
    twist(many, some)
    set_of_roll(some)


if __name__ == "__main__":
    main()
