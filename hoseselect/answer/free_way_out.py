"""The way out on a free route: what it lacks, and what would make a hose suit it."""

from __future__ import annotations

import math

import numpy as np

from hoseselect.answer.asked_job import Asked
from hoseselect.answer.fittings import elbow_angles, elbow_words
from hoseselect.cutplan.best_on_route import shortfall_words
from hoseselect.cutplan.changed_route import Need, may_be_cut
from hoseselect.cutplan.free_plan import FreePlan
from hoseselect.cutplan.lengths import length_words, workshop_step
from hoseselect.cutplan.pointing_away import away_notes
from hoseselect.cutplan.what_helps import what_helps
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array


def free_words(asked: Asked, free: FreePlan, would_stand: Array) -> list[str]:
    """Return what a free route lacks, and what would make it suit: each solved as changed.

    Parameters
    ----------
    asked : the job
    free : the plan of the route
    would_stand : sizes that fit both nipples and stand what flows, heat and pressure, shape (m,)
    """
    words = away_notes(free.route, free.best_length)
    outside = asked.said.hoses.sizes.outside_diameter
    refused = [
        (free.sizes[k].radius, float(outside[k]), k)
        for k in np.flatnonzero(would_stand & asked.wanted).tolist()
        if free.sizes[k].radius > 0 and not may_be_cut(free.sizes[k], free.route)
    ]
    if not refused:
        return words
    radius, diameter, size = min(refused)
    own = free.sizes[size]
    words.append(
        "No length works on this route for the hoses that fit and would stand the rest:"
        f" {shortfall_words(free, own, asked.units)}."
    )
    words += _smaller(asked)
    step = workshop_step(asked.units)
    need = Need(asked.job, radius, diameter, free.engagements, step, asked.units)
    for advice in what_helps(free, own, need, elbow_angles(asked.job, asked.catalogue)):
        words.append(
            f"{advice.words[0].upper()}{advice.words[1:]}: then a hose of"
            f" {length_words(radius, asked.units)} least radius fits."
        )
        if advice.kind == "elbow":
            words += elbow_words(asked.job, asked.catalogue)
    return words


def _smaller(asked: Asked) -> list[str]:
    """Return which hose of the catalogue suits, where only others were looked at."""
    sizes, codes = asked.said.hoses.sizes, asked.said.judgement.codes[asked.row]
    suiting = np.flatnonzero(codes <= Verdict.CONDITIONAL)
    if not len(suiting):
        return []
    least = suiting[np.lexsort((sizes.name[suiting], sizes.least_bend_radius[suiting]))[0]]
    radius = float(sizes.least_bend_radius[least])
    bends = "" if math.isnan(radius) else f", of {length_words(radius, asked.units)} least radius,"
    return [f"{sizes.name[least]}{bends} suits this line: ask for it."]
