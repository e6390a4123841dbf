"""What is advised on random free routes that a hose does not suit, and whether it works.

Every advised route is planned anew from scratch: fresh profiles, the whole plan as `cut` makes it.
Printed: how many routes get which advice, whether every advice works, and the time it takes.

    python tests/benchmarks/bench_advice.py [routes]
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import time
from collections import Counter

import numpy as np
from bench_errors import random_job, say, with_route

from hoseselect.cutplan.changed_route import may_be_cut
from hoseselect.cutplan.free_plan import FreePlan, plan_free_radius
from hoseselect.cutplan.what_helps import Advice, Need, what_helps
from hoseselect.domain.job import Job
from hoseselect.knowledge.errors import HoseselectError

ELBOWS = (45.0, 90.0)
TIGHTER = (1.0, 1.0, 1.15, 1.3)  # least radius over that of the random route, in turn


def refused(number: int) -> tuple[Job, FreePlan, float, float] | None:
    """Return a random route on which a hose is refused; None where it suits or is not solved."""
    try:
        job, radius, outside = random_job(number)
        radius *= TIGHTER[number // 4 % len(TIGHTER)]
        plan = plan_free_radius(job, radius, outside=outside)
    except HoseselectError:
        return None
    return None if may_be_cut(plan.sizes[0], plan.route) else (job, plan, radius, outside)


def why(plan: FreePlan) -> str:
    own = plan.sizes[0]
    if own.lie is None:
        return "no room" if own.width >= own.needed else "bend"
    if own.room < 0:
        return "no room"
    return "second shape" if own.lie.other_radius < own.radius else "measuring"


def works(job: Job, advice: Advice, radius: float, outside: float) -> bool:
    """Return whether every advised route may be cut, planned from scratch."""
    plans = [
        plan_free_radius(with_route(job, route), radius, outside=outside) for route in advice.routes
    ]
    return all(may_be_cut(plan.sizes[0], plan.route) for plan in plans)


def main() -> None:
    routes = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    verbose = len(sys.argv) > 2
    kinds: Counter[str] = Counter()
    reasons: dict[str, Counter[str]] = {}
    times: dict[bool, list[float]] = {False: [], True: []}
    wrong: list[tuple[int, str]] = []
    done, number = 0, 0
    while done < routes and number < 40 * routes:
        number += 1
        found = refused(number)
        if found is None:
            continue
        done += 1
        job, plan, radius, outside = found
        need = Need(job, radius, outside, plan.engagements, 5.0)
        begun = time.process_time()
        told = what_helps(plan, plan.sizes[0], need, ELBOWS)
        took = time.process_time() - begun
        times[any(plan.route.movement)].append(took)
        names = [one.kind for one in told] or ["none"]
        kinds.update(names)
        reasons.setdefault(why(plan), Counter()).update(names)
        wrong += [(number, one.words) for one in told if not works(job, one, radius, outside)]
        if verbose:
            say(f"route {number} ({why(plan)}, {took:.2f} s): {[one.words for one in told]}")
    say(f"{done} refused routes: {dict(kinds)}")
    for reason, names in reasons.items():
        say(f"  {reason}: {dict(names)}")
    for moves, taken in times.items():
        if taken:
            say(f"{'with' if moves else 'without'} movement: median {np.median(taken):.2f} s,"
                f" most {max(taken):.2f} s")  # fmt: skip
    say(f"{len(wrong)} advices do not work when planned from scratch")
    for which, words in wrong:
        say(f"  route {which}: {words}")


if __name__ == "__main__":
    main()
