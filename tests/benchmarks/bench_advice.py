"""What is advised on random free routes that a hose does not suit, and whether it works.

Two routes of three are those of `bench_errors.py`, the third is a right angle of short legs. Every
advice is taken as it is told with the catalogue of the repository, and is planned anew from
scratch: fresh profiles, the whole plan as `cut` makes it. A straight piece to an elbow that floats
is solved with its end aside and its nipple turned, to eight sides each, at the length at which
nothing pushes it. A formed hose is not solved: it is named on every route, and only counted.
Printed: every route as it is done, how many get which advice, whether every advice works, and how
long the search takes. Routes are drawn until there are as many as asked for, and five advices of
every kind at least.

    python tests/benchmarks/bench_advice.py [routes]
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import re
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from bench_errors import flat_job, random_job, say, vector, with_route
from scipy.optimize import brentq

import hoseselect.answer.cut_advice as told
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.changed_route import may_be_cut
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.what_helps import Advice, what_helps
from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Job
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.mechanics.rod import Pose, Shape, solve
from hoseselect.mechanics.rod.pose import across, unit

TIGHTER = (1.0, 1.0, 1.15, 1.3)  # least radius over that of the random route, in turn
EACH = 5  # advices of every kind that are wanted
KINDS = ("radius", "hose", "turn", "clip", "elbow")
FORMED = "formed"
CAREFUL_TAPE, CAREFUL_ANGLE = 2.0, np.radians(2.0)
TOLERANCE = 3.0  # of the other piece
RADIUS = re.compile(r"take hose of at most (\d+) mm least radius(?:, such as (.+))?$")
CATALOGUE = read_catalogue(Path(__file__).parents[2] / "catalog")


def meeting_job(number: int) -> tuple[Job, float, float]:
    """Return a right angle of short legs, and a hose too stiff for it or nearly so.

    Legs of 130 to 220 mm, directions within 2 degrees and the mouth within 3 mm of meeting; one of
    four routes moves.
    """
    rng = np.random.default_rng(number)
    turn = np.radians(90.0 + rng.uniform(-5, 5))
    legs = rng.uniform(130, 220, 2)
    leaves = unit(rng.normal(size=3))
    arrives = np.cos(turn) * leaves + np.sin(turn) * across(leaves)
    mouth = legs[0] * leaves + legs[1] * arrives + rng.uniform(-2, 2, 3)
    off = np.radians(1) * rng.uniform(-1, 1, (2, 3))
    route = FreeRoute(
        vector(mouth), vector(unit(leaves + off[0])), vector(unit(off[1] - arrives)),
        movement=vector(rng.uniform(0.5, 2, 3)) if number % 4 == 3 else (0.0, 0.0, 0.0), lead=10.0,
    )  # fmt: skip
    job, outside = with_route(flat_job(), route), float(rng.uniform(19, 24))
    best = plan_free_radius(job, 15.0, outside=outside).best_radius
    return job, float(rng.uniform(0.9, 1.1)) * best, outside


def refused(number: int) -> tuple[Job, FreePlan, float] | None:
    """Return a random route on which a hose is refused; None where it suits or is not solved."""
    try:
        if number % 3 == 2:
            job, radius, outside = meeting_job(number)
        else:
            job, radius, outside = random_job(number)
            radius *= TIGHTER[number // 4 % len(TIGHTER)]
        plan = plan_free_radius(job, radius, outside=outside)
    except HoseselectError:
        return None
    return None if may_be_cut(plan.sizes[0], plan.route) else (job, plan, outside)


def why(plan: FreePlan) -> str:
    own = plan.sizes[0]
    if own.lie is None:
        return "no room" if own.width >= own.needed else "bend"
    if own.room < 0:
        return "no room"
    return "second shape" if own.lie.other_radius < own.radius else "measuring"


@dataclass
class Told:
    """What is told on one refused route, and the changed routes behind the words."""

    words: tuple[str, ...] = ()
    advices: list[Advice] = field(default_factory=list)

    @classmethod
    def on(cls, job: Job, plan: FreePlan, outside: float) -> Told:
        found = cls()

        def recorded(*arguments: object) -> list[Advice]:
            found.advices = what_helps(*arguments)  # type: ignore[arg-type]
            return found.advices

        told.what_helps = recorded
        found.words = told.cut_advice(job, plan, outside, CATALOGUE, "mm")
        return found

    def checked(self, job: Job, radius: float, outside: float) -> Iterator[tuple[str, str, bool]]:
        """Yield kind and words of every advice, and whether it works when planned from scratch."""
        for advice in self.advices:
            assert advice.words in self.words
            floats = advice.kind == "elbow" and not any(job.route.free.movement)
            sound = [
                straight_suits(route, radius) if floats else suits(with_route(job, route), radius,
                                                                   outside)
                for route in advice.routes
            ]  # fmt: skip
            yield advice.kind, advice.words, all(sound)
        for words in self.words:
            if (match := RADIUS.match(words)) is None:
                continue
            smaller, name = match.groups()
            yield "radius", words, suits(job, float(smaller), outside)
            if name is not None:
                yield "hose", words, named_suits(job, name, float(smaller))


def unpushed(pose: Pose) -> Shape:
    """Return the shape at the length at which nothing pushes or pulls its ends together."""

    def pushed(slack: float) -> float:
        return float(solve(pose, pose.distance * (1 + slack)).end_force @ pose.chord)

    low, high = None, 0.0
    for slack in np.geomspace(1e-5, 3e-2, 17).tolist():
        try:
            force = pushed(slack)
        except HoseselectError:  # too nearly straight to be solved
            continue
        if force < 0:
            high = slack
            break
        low = slack
    slack = high if low is None else float(brentq(pushed, low, high, xtol=1e-7))
    return solve(pose, pose.distance * (1 + slack))


def straight_suits(piece: FreeRoute, radius: float) -> bool:
    """Return whether a piece to an elbow bends no tighter with errors of care, solved as a rod."""
    lead, far = piece.lead, np.array(piece.mouth_b)
    aside, first = CAREFUL_TAPE + TOLERANCE, across(unit(far))
    for turn in np.linspace(0, 2 * np.pi, 8, endpoint=False):
        side = np.cos(turn) * first + np.sin(turn) * np.cross(unit(far), first)
        for tilt in (-1.0, 1.0):
            leaves = unit(np.array(piece.points_a) + tilt * np.tan(CAREFUL_ANGLE) * side)
            arrives = -np.array(piece.points_b)
            end = far + aside * side - lead * arrives
            pose = Pose(lead * leaves, leaves, end, arrives)
            free = unpushed(pose)
            if not free.tightest_radius >= radius:
                return False
    return True


def suits(job: Job, radius: float, outside: float) -> bool:
    plan = plan_free_radius(job, radius, outside=outside)
    return may_be_cut(plan.sizes[0], plan.route)


def named_suits(job: Job, name: str, most: float) -> bool:
    """Return whether a hose of the catalogue is as tight as was said, and the route suits it."""
    sizes = CATALOGUE.sizes
    size = [str(one) for one in sizes.hose_size].index(name)
    own = float(sizes.least_bend_radius[size])
    return own <= most and suits(job, own, float(sizes.outside_diameter[size]))


def main() -> None:
    routes = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    kinds: Counter[str] = Counter()
    reasons: dict[str, Counter[str]] = {}
    times: dict[bool, list[float]] = {False: [], True: []}
    wrong: list[str] = []
    done, number = 0, 0
    while number < 40 * routes and (done < routes or min(kinds[one] for one in KINDS) < EACH):
        number += 1
        found = refused(number)
        if found is None:
            continue
        done += 1
        job, plan, outside = found
        begun = time.process_time()
        said = Told.on(job, plan, outside)
        took = time.process_time() - begun
        times[any(plan.route.movement)].append(took)
        names = []
        for kind, words, works in said.checked(job, plan.sizes[0].radius, outside):
            names.append(kind)
            if not works:
                wrong.append(f"route {number}: {words}")
        names += [FORMED] * any("formed" in words for words in said.words)
        kinds.update(names)
        reasons.setdefault(why(plan), Counter()).update(names)
        say(f"{done}: route {number}, {why(plan)}, {took:.1f} s: {', '.join(names)};"
            f" {len(wrong)} wrong")  # fmt: skip
    say(f"{done} refused routes: {dict(kinds)}")
    for reason, counted in reasons.items():
        say(f"  {reason}: {dict(counted)}")
    for moves, taken in times.items():
        if taken:
            say(f"{'with' if moves else 'without'} movement: median {np.median(taken):.2f} s,"
                f" most {max(taken):.2f} s")  # fmt: skip
    say(f"{len(wrong)} advices do not work when planned from scratch")
    for one in wrong:
        say(f"  {one}")


if __name__ == "__main__":
    main()
