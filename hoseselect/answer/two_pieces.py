"""Two pieces and a reducer, where the two nipples differ and no single hose fits both."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from hoseselect.answer.fittings import own_ends_differ, reducers_for
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.job import Job, Nipple, Route
from hoseselect.domain.run_parts import RunPart, Straight
from hoseselect.judging.job_columns import movement
from hoseselect.knowledge.load import limit

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer


@dataclass(frozen=True)
class Halves:
    """A job parted at a reducer.

    Parameters
    ----------
    reducer : id of the fitting
    jobs : from nipple A to the reducer, and from the reducer to nipple B
    """

    reducer: str
    jobs: tuple[Job, Job]


@dataclass(frozen=True)
class TwoPieces:
    """What is offered in two pieces: each has its own answer, cut and clamps.

    Parameters
    ----------
    reducer : id of the fitting between them
    answers : from nipple A to the reducer, and from the reducer to nipple B
    """

    reducer: str
    answers: tuple[Answer, Answer]

    @property
    def nipples(self) -> tuple[float, float]:
        """Outside diameter of nipple A and of nipple B of the line [mm]."""
        first, second = (answer.job for answer in self.answers)
        return first.nipple_a.outside_diameter, second.nipple_b.outside_diameter

    @property
    def words(self) -> str:
        """What to fit; lengths stand with the conditions of each piece alone."""
        pieces = [
            f"{answer.suiting[0]} on the {nipple:g} mm nipple"
            for answer, nipple in zip(self.answers, self.nipples, strict=True)
        ]
        return (
            f"Two pieces: {' and '.join(pieces)}, reducer {self.reducer} between them in a straight"
            " that is clipped on both sides of it; a clamp at each of the four ends. Each suits"
            " only on its own conditions: pick tells them, and the lengths."
        )

    def as_json(self) -> dict[str, Any]:
        """Return both pieces as plain values."""
        return {
            "reducer": self.reducer,
            "pieces": [answer.best(1)[0].as_json() for answer in self.answers],
        }


def halves(job: Job, catalogue: Catalogue) -> Halves | None:
    """Return a job parted at a reducer of the shop; None where there is none for it.

    The reducer sits in the middle of the longest straight of a run, or of a measured path. Each
    piece takes up the whole movement of the ends. Bead and length of the reducer's nipples are
    looked at like those of the line.

    Parameters
    ----------
    job : with two nipples that differ
    catalogue : with its fittings
    """
    if not own_ends_differ(job) or job.route.free is not None:
        return None
    found = reducers_for(job, catalogue)
    if not found:
        return None
    place = found[0]
    fittings = catalogue.fittings
    ends = sorted(
        (float(fittings.nipple_a[place]), float(fittings.nipple_b[place])),
        key=lambda end: abs(end - job.nipple_a.outside_diameter),
    )
    routes = parted(job.route, float(fittings.length[place]))
    if routes is None:
        return None
    moved = movement(job)
    at_a, at_b = (Nipple(outside_diameter=end, measured_on="plain") for end in ends)
    first, second = (replace(route, movement=moved) for route in routes)
    return Halves(
        str(fittings.fitting[place]),
        (
            replace(job, nipple_b=at_a, route=first, piece=math.nan),
            replace(job, nipple_a=at_b, route=second, piece=math.nan),
        ),
    )


def parted(route: Route, length: float) -> tuple[Route, Route] | None:
    """Return a route on both sides of a reducer; None where no straight holds the reducer.

    Parameters
    ----------
    route : measured, a run, or not known
    length : of the reducer from mouth to mouth, NaN not known [mm]
    """
    if route.kind == "run":
        sides = _parted_run(route.run, length)
        return sides and (replace(route, run=sides[0]), replace(route, run=sides[1]))
    if route.kind == "measured":
        side = (route.measured - length) / 2
        if side < limit("engagement-large"):
            return None
        own = replace(route, measured=side)
        return own, own
    return route, route


def _parted_run(
    run: tuple[RunPart, ...], length: float
) -> tuple[tuple[RunPart, ...], tuple[RunPart, ...]] | None:
    lengths = [part.length if isinstance(part, Straight) else -1.0 for part in run]
    place = max(range(len(run)), key=lengths.__getitem__)
    if lengths[place] < length:
        return None
    half = Straight((lengths[place] - length) / 2)
    return (*run[:place], half), (half, *run[place + 1 :])
