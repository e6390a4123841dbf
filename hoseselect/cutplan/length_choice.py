"""The choice of lengths for one hose size: where the worst of bend and room is best."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import LengthScan
from hoseselect.cutplan.lengths import FINE_STEP, round_up
from hoseselect.cutplan.size_plan import SizePlan, bend_only
from hoseselect.cutplan.span_scan import SpanScan
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import Window


class LengthChoice:
    """The choice of lengths for one least bend radius and outside diameter."""

    def __init__(
        self,
        solution: FreeSolution,
        scan: LengthScan | None,
        windows: list[Window],
        outside: float | None,
        engagements: float,
        step: float,
    ) -> None:
        self.solution, self.scan, self.windows = solution, scan, windows
        self.half = 0.0 if outside is None else outside / 2
        self.bare = bend_only(windows, outside, engagements)
        self.engagements, self.step = engagements, step
        self.share = self.bare.tolerance / len(windows)
        self.chance = limit("error-chance") / len(windows)

    def plan(self) -> SizePlan:
        """Return the plan; no shape is solved yet."""
        if self.scan is None or not self.bare.width >= self.bare.needed:
            return self.bare
        free = [self._clear(k) for k in range(len(self.windows))]
        if any(not len(lengths) for lengths in free):
            return self._crowded()
        return self._of(self.scan, free)

    def elsewhere(self, plan: SizePlan) -> SizePlan:
        """Return the plan with lengths at which other ways to lie are wide and clear enough too.

        Parameters
        ----------
        plan : of which the solved shape comes too near, or of which another way to lie does not do
        """
        if self.scan is None or self.solution.rings:
            return self.bare
        spare = max(-plan.room, 0.0) + SPARE
        free = []
        for k, ways in enumerate(self.scan.other_ways):
            lengths = self._clear(k)
            radius, room = ways.at(lengths[:, None] + self.share * np.array([-1.0, 1.0]))
            fits = (radius.min(axis=1) >= self.bare.radius) & (room.min(axis=1) >= self.half)
            if self._crowd:
                fits &= self._room(k, lengths) >= spare
            free.append(lengths[fits])
        if any(not len(lengths) for lengths in free):
            return self.bare
        return self._of(self.scan, free)

    def _of(self, scan: LengthScan, free: list[Array]) -> SizePlan:
        """Return the plan within lengths of every span at which a hose may be cut."""
        tape, careful = self.solution.route.tape_error, scan.careful[0]
        found = []
        for near in (True, False):
            for level in LEVELS[: 3 if careful < tape else 2]:
                error = careful if level == "measured_again" else tape
                plan = self._chosen(getattr(scan, level), free, error, near=near)
                found.append(replace(plan, any_side=level == "told"))
                if min(plan.stood, plan.clear) >= error:
                    return self._told_clear(scan, found[-1])
        return self._told_clear(scan, max(found, key=lambda one: (bool(one.spans), one.stood > 0)))

    def _told_clear(self, scan: LengthScan, plan: SizePlan) -> SizePlan:
        """Return a plan that says so where it keeps clear with the errors as told."""
        margins = [
            float(self._margin(one, np.array([span]), ROOM)[0])
            for one, span in zip(scan.told, plan.spans, strict=False)
        ]
        told = self.solution.route.tape_error
        return replace(plan, clear=told) if margins and min(margins) >= 0 else plan

    def exists(self) -> bool:
        """Return whether any length works, and stands at least the errors of careful measuring."""
        plan = self.plan()
        return bool(plan.spans) and (plan.stood > 0 or not self.solution.route.tape_error)

    def _lengths(self, span: int) -> Array:
        """Return lengths of a span between which its cut may lie, with room for its tolerance."""
        window, practical = self.windows[span], self._practical(span)
        low = window.shortest + self.share
        high = min(window.longest, max(practical, low + 2 * self.share)) - self.share
        return np.linspace(low, max(low, high), FINEST)

    def _practical(self, span: int) -> float:
        return self.solution.profiles[span].practical + self.solution.spans[span].leads

    def _room(self, span: int, lengths: Array) -> Array:
        """Return the least room of a span within the tolerance of its cut, (n,) [mm]."""
        assert self.scan is not None
        near = lengths[:, None] + np.linspace(-self.share, self.share, 3)
        return np.asarray(self.scan.told[span].at(near)[1].min(axis=1) - self.half)

    def _clear(self, span: int) -> Array:
        """Return the lengths of a span at which it bends no tighter and keeps clear."""
        lengths = self._lengths(span)
        return lengths[self._room(span, lengths) >= 0] if self._crowd else lengths

    @property
    def _crowd(self) -> bool:
        return bool(self.solution.route.keep_outs)

    def _crowded(self) -> SizePlan:
        """Return the plan of a hose that bends well enough, but nowhere keeps clear."""
        spans, rooms = [], []
        for k in range(len(self.windows)):
            lengths = self._lengths(k)
            room = self._room(k, lengths)
            best = int(room.argmax())
            spans.append(float(lengths[best]))
            rooms.append(float(room[best]))
        return replace(self.bare, room=min(rooms), roomiest=tuple(spans))

    def _chosen(
        self, scans: Sequence[SpanScan], free: list[Array], tape: float, *, near: bool
    ) -> SizePlan:
        """Return the plan with the lengths that are best with some errors.

        Parameters
        ----------
        scans : of the spans with these errors
        free : lengths of every span at which it bends no tighter and keeps clear [mm]
        tape : error of the tape among them [mm]
        near : whether only lengths near the shortest possible ones are looked at, no loops
        """
        spans = []
        for k, scan in enumerate(scans):
            most = max(LOOSE * self.windows[k].bound, free[k][0]) if near else math.inf
            lengths = free[k][free[k] <= most]
            margin = self._margin(scan, lengths)
            if margin.max() < 0:
                margin = self._deciding(scan, free[k])[: len(lengths)]
            spans.append(float(lengths[_first_best(margin)]))
        chosen = self._on_step(scans, free, spans, near=near)
        if chosen is None:
            return self.bare
        cut, spans = chosen
        bend, apart = (
            min(
                float(self._margin(scan, np.array([span]), which)[0])
                for scan, span in zip(scans, spans, strict=True)
            )
            for which in (BEND, ROOM)
        )
        rooms = [float(self._room(k, np.array([span]))[0]) for k, span in enumerate(spans)]
        low, high = self._range(free, spans)
        return replace(
            self.bare,
            shortest=low,
            longest=high,
            spans=tuple(spans),
            cut=cut,
            room=min(rooms) if self._crowd else math.nan,
            stood=tape if bend >= 0 else 0.0,
            clear=tape if apart >= 0 else 0.0,
        )

    def _deciding(self, scan: SpanScan, lengths: Array) -> Array:
        """Return the margin by which a length is chosen, (n,): of both, or else of the bend.

        Where the errors leave no length that keeps clear, the gap is measured on the vehicle.
        """
        both = self._margin(scan, lengths)
        return both if both.max() >= 0 else self._margin(scan, lengths, BEND)

    def _margin(self, scan: SpanScan, lengths: Array, which: int = 0) -> Array:
        """Return the margin that all but the chance of draws keep, no more than is enough, (n,).

        Parameters
        ----------
        scan : of a span
        lengths : of it (n,) [mm]
        which : of both, of the bend, of the room
        """
        margin = scan.margins(lengths, self.bare.radius, self.half, self.chance)[which]
        return np.minimum(margin, limit("margin-enough"))

    def _on_step(
        self, scans: Sequence[SpanScan], free: list[Array], spans: list[float], *, near: bool
    ) -> tuple[float, list[float]] | None:
        """Return the cut on the step of the workshop, and its share in every span."""
        around = [_around(lengths, span) for lengths, span in zip(free, spans, strict=True)]
        low, high = (sum(edge[side] for edge in around) for side in (0, 1))
        wanted = sum(spans)
        if near and len(spans) == 1:
            high = min(high, max(LOOSE * self.windows[0].bound, wanted) + self.step)
        for step in (self.step, FINE_STEP):
            cuts = _steps(low + self.engagements, high + self.engagements, step)
            if not len(cuts):
                continue
            if len(spans) == 1:
                lengths = np.append(cuts - self.engagements, wanted)
                *margins, best = self._deciding(scans[0], lengths).tolist()
                margin = np.array(margins)
                cut = float(cuts[_first_best(margin)])
                worth = margin.max() < 0 <= best or margin.max() < min(best, 0.0) - WORTH
                if step > FINE_STEP and worth:
                    continue
            else:
                cut = float(cuts[np.abs(cuts - self.engagements - wanted).argmin()])
            return cut, _shared(cut - self.engagements - wanted, spans, around)
        return None

    def _range(self, free: list[Array], spans: list[float]) -> tuple[float, float]:
        """Return the lengths around the chosen ones that work, their tolerance not counted [mm]."""
        low, high = 0.0, 0.0
        for k, span in enumerate(spans):
            least, most = _around(free[k], span)
            low += least - self.share
            whole = most == self._lengths(k)[-1]
            high += self.windows[k].longest if whole else most + self.share
        return low, high


LEVELS = ("told", "set_laid", "measured_again")
BEND, ROOM = 1, 2
FINEST = 241  # lengths of a window that are looked at
SPARE = 0.5  # by which room read between two lengths may be too large [mm]
LOOSE = 1.4  # a best radius on a much longer hose is a loop, not a line
WORTH = 0.03  # margin for which a cut off the step of the workshop is worth while


def _first_best(margin: Array) -> int:
    """Return the first position whose margin is as good as the best one, or next to it."""
    return int(np.argmax(margin >= margin.max() - ALIKE))


ALIKE = 2e-3


def _around(lengths: Array, length: float) -> tuple[float, float]:
    """Return the ends of the unbroken range of lengths in which one lies."""
    gap = 1.5 * float(np.diff(lengths).min()) if len(lengths) > 1 else math.inf
    breaks = np.flatnonzero(np.diff(lengths) > gap)
    place = int(np.abs(lengths - length).argmin())
    before, behind = breaks[breaks < place], breaks[breaks >= place]
    first = int(before[-1]) + 1 if len(before) else 0
    last = int(behind[0]) if len(behind) else len(lengths) - 1
    return float(lengths[first]), float(lengths[last])


def _steps(low: float, high: float, step: float) -> Array:
    """Return the multiples of a step from low to high [mm]."""
    first = float(round_up(np.array(low - CLOSE), step))
    return np.arange(first, high + CLOSE, step)


CLOSE = 1e-4


def _shared(
    missing: float, spans: Iterable[float], around: list[tuple[float, float]]
) -> list[float]:
    """Return the spans with what is missing of the cut, taken up from the last one back."""
    found = list(spans)
    for k in reversed(range(len(found))):
        low, high = around[k]
        given = min(missing, high - found[k]) if missing > 0 else max(missing, low - found[k])
        found[k] += given
        missing -= given
    found[-1] += missing
    return found
