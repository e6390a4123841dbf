"""What an answer tells of its hoses when it is asked: all of them, findings, cut, geometry."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.ranking import leading, on_shelf, rank
from hoseselect.answer.report import finding
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding
from hoseselect.domain.verdict import Verdict

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.domain.geometry import LengthCurve, RouteGeometry


def hose_answers(answer: Answer, most: int | None = None) -> tuple[HoseAnswer, ...]:
    """Return the hoses that were looked at, best first.

    Parameters
    ----------
    answer : the whole answer
    most : how many; None = all
    """
    if answer.lead is None:
        return ()
    said, catalogue = answer.judged, answer.catalogue
    wanted = on_shelf(catalogue, answer.shelf)
    among = wanted[None, :]
    if most is not None and (first := leading(said, wanted)).sum() >= most:
        among = first
    ranking = rank(said, among, catalogue, answer.prefer)
    cuts = np.broadcast_to(said.cut[0], (len(catalogue.sizes),))
    leasts = np.broadcast_to(said.least[0], (len(catalogue.sizes),))
    sizes, types = catalogue.sizes, catalogue.types
    rules = [result.rule.code for result in said.results]
    made = []
    columns = (ranking.sizes[:most], ranking.margins[:most], ranking.conditions[:most])
    for size, margin, own in zip(*(column.tolist() for column in columns), strict=True):
        row = int(sizes.type_index[size])
        position = int(said.judgement.decided_by[0, size])
        verdict = Verdict(int(said.judgement.codes[0, size]))
        made.append(
            HoseAnswer(
                hose=str(sizes.hose_size[size]),
                hose_type=str(sizes.hose_type[size]),
                description=types.description[row],
                print_line=types.print_line[row],
                marking=types.marking[row],
                bore=float(sizes.bore[size]),
                outside_diameter=float(sizes.outside_diameter[size]),
                verdict=verdict,
                decided_by=rules[position] if position >= 0 else "",
                margin=margin,
                price=float(sizes.price_per_m[size]),
                conditions=own,
                cut_length=float(cuts[size]) if verdict.suits else float("nan"),
                least_length=float(leasts[size]) if verdict.suits else float("nan"),
                place=size,
                answer=answer,
            )
        )
    return tuple(made)


def findings(answer: Answer, hose: HoseAnswer) -> tuple[Finding, ...]:
    """Return one finding for every rule on a hose size, in the order that decides."""
    return answer.shared.of(hose.place)


def deciding(answer: Answer, hose: HoseAnswer) -> Finding:
    """Return the first finding with the verdict of a hose size."""
    said = answer.judged
    position = max(int(said.judgement.decided_by[0, hose.place]), 0)
    return finding(said.results[position], said.hoses, 0, hose.place, answer.units)


def cut(answer: Answer, hose: HoseAnswer) -> CutPlan | None:
    """Return the cut plan of a hose size that suits; None where a part of it is not known."""
    if np.isnan(hose.cut_length):
        return None
    free = answer.judged.free
    if free is not None:
        from hoseselect.cutplan.free_cut import plan_free_cut

        return plan_free_cut(answer.job, free, answer.catalogue, hose.place, answer.units)
    return plan_cut(answer.job, answer.catalogue, hose.place, answer.units)


def geometry(answer: Answer, hose: HoseAnswer) -> RouteGeometry | None:
    """Return how a hose size lies on its route; None where it has no shape.

    One that the free route alone refuses lies as the route allows at best, and says so.
    """
    free = answer.judged.free
    if not hose.verdict.suits and (free is None or not _route_alone_refuses(hose)):
        return None
    if free is not None:
        from hoseselect.cutplan.free_geometry import free_geometry

        try:
            return free_geometry(answer.job, free, hose.place, hose.outside_diameter)
        except ValueError:
            return None
    if answer.job.route.kind == "run":
        from hoseselect.cutplan.route_geometry import run_geometry

        return run_geometry(answer.job, hose.outside_diameter)
    return None


def _route_alone_refuses(hose: HoseAnswer) -> bool:
    """Return whether a hose would suit if the route were another."""
    return hose.verdict is Verdict.REJECT and all(f.code in ROUTE for f in hose.worst())


ROUTE = (
    "bend-radius",
    "bend-window",
    "bend-second-shape",
    "bend-measuring",
    "route-clearance",
    "route-fall",
)


def curve(answer: Answer, hose: HoseAnswer) -> LengthCurve | None:
    """Return bend and room of a hose size against its length; None on another than a free route."""
    free = answer.judged.free
    if free is None:
        return None
    from hoseselect.cutplan.length_curve import curve_of

    return curve_of(free, free.sizes[hose.place])
