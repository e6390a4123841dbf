"""What would make a hose suit a free route that it does not suit: solved before it is said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice

from hoseselect.cutplan.changed_route import Advice, Need, passes
from hoseselect.cutplan.clip_search import clip_advice
from hoseselect.cutplan.elbow_search import elbow_advice
from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.nipple_turn import turn_advice
from hoseselect.cutplan.size_plan import SizePlan

__all__ = ["Advice", "Need", "passes", "what_helps"]

MOST_SAID = 2


def what_helps(
    plan: FreePlan, own: SizePlan, need: Need, elbows: Iterable[float] = ()
) -> list[Advice]:
    """Return what makes a hose suit a route, cheapest for the bench first, two things at most.

    Parameters
    ----------
    plan : of the route
    own : plan of the hose, which does not suit
    need : of the same hose
    elbows : angles of the elbows for its nipples and service [deg]
    """
    return list(islice(_advice(plan, own, need, elbows), MOST_SAID))


def _advice(plan: FreePlan, own: SizePlan, need: Need, elbows: Iterable[float]) -> Iterator[Advice]:
    route = plan.route
    need.kept.update(plan.solution.kept)
    turn = turn_advice(route, need, plan.best_radius)
    if turn is not None:
        yield turn
    clip = clip_advice(route, best_lie(plan, own), need)
    if clip is not None:
        yield clip
    elbow = elbow_advice(route, need, elbows)
    if elbow is not None:
        yield elbow


def best_lie(plan: FreePlan, own: SizePlan) -> Lie | None:
    """Return how a hose that does not suit lies where it is nearest to suit; None where nowhere."""
    return own.lie or plan.solution.lie(own.roomiest or plan.solution.best_spans)
