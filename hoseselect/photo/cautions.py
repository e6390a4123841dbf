"""What is told as doubtful about a hose that was measured, and when nothing is told at all."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats
from hoseselect.photo.fit_path import HoseTaps, PathFit
from hoseselect.photo.path import feet_on, pieces_of
from hoseselect.photo.traced import Caution, Traced

NEARER = "tap more points, go nearer, or lay a larger sheet"


def cautions_of(
    traced: Traced,
    along: Floats,
    size: tuple[int, int],
    taps: HoseTaps,
    fit: PathFit,
    outside_diameter: float,
) -> Traced:
    """Return a measured hose with what is doubtful about it.

    Raises
    ------
    InputError
        when it is so doubtful that nothing may be told.
    """
    refuse_useless(traced)
    feet = feet_on(pieces_of(fit.path), taps.places)
    off = float(np.sqrt(np.mean(feet.aside**2))) / (2 * taps.radius)
    if off > limit("photo-off-share"):
        raise InputError(
            "points along the hose",
            "points that no straights and arcs describe",
            "points on the middle of a hose that lies flat, in the order in which it runs",
        )
    found = [*figures_doubted(traced, outside_diameter), *_of_taps(traced, along, size, feet.piece)]
    if off > limit("photo-off-doubt"):
        found.append(
            Caution("shape", "The hose is not quite straights and arcs: look at the line.")
        )
    return replace(traced, cautions=tuple(found))


def refuse_useless(traced: Traced) -> None:
    """Refuse a measurement of which nothing may be told.

    Raises
    ------
    InputError
        when its length may be off too far.
    """
    if traced.length.error > limit("photo-useless-share") * traced.length.value:
        raise InputError(
            "photo",
            f"a length of {traced.length.value:.0f} mm that may be off by"
            f" {traced.length.error:.0f} mm",
            f"one whose points are in the order of the hose and measure better: {NEARER}",
        )


def figures_doubted(traced: Traced, outside_diameter: float) -> Iterator[Caution]:
    """Yield a caution for each figure whose error is large, or that rests on a guess."""
    length = traced.length
    within = max(limit("photo-length-error"), limit("photo-length-share") * length.value)
    if length.error > within:
        yield Caution("length", f"The length may be off by {length.error:.0f} mm: {NEARER}.")
    tightest = traced.tightest_radius
    if tightest.error > limit("photo-radius-share") * tightest.value:
        off = f"R {tightest.value:.0f} mm may be off by {tightest.error:.0f} mm"
        yield Caution("radius", f"The tightest radius, {off}: hold a round thing against it.")
    for number, bend in enumerate(traced.bends, start=1):
        if bend.angle.error > limit("photo-angle-error"):
            off = f"{bend.angle.value:.0f} deg may be off by {bend.angle.error:.0f} deg"
            yield Caution("angle", f"The angle of bend {number}, {off}: {NEARER}.")

    if math.isnan(outside_diameter):
        usual = limit("photo-diameter-usual")
        text = f"The outside diameter is not told; {usual:.0f} mm is taken."
        yield Caution("diameter", text)


def _of_taps(
    traced: Traced, along: Floats, size: tuple[int, int], piece: Floats
) -> Iterator[Caution]:
    if traced.tilt > limit("photo-tilt-usual"):
        yield Caution("tilt", f"The photo looks {traced.tilt:.0f} deg off straight down.")
    for number in range(len(traced.bends)):
        if (piece == 2 * number + 1).sum() < limit("photo-taps-on-bend"):
            text = f"Few points lie on bend {number + 1}: tap five or more on it."
            yield Caution("few-taps", text)
    border = limit("photo-border-share") * np.array(size)
    ends = along[[0, -1]]
    if ((ends < border) | (ends > size - border)).any():
        yield Caution("end", "An end lies at the border of the picture: does the hose end there?")
