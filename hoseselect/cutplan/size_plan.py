"""The cut of each hose size on a free route: where the worst of bend and room is best."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from hoseselect.cutplan.free_lie import Lie, least_distance
from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.length_scan import TOLERANCE_TABLE, LengthScan, SpanScan
from hoseselect.cutplan.lengths import round_up
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Window

FINE_STEP = 1.0


@dataclass(frozen=True)
class SizePlan:
    """The lengths of one hose size on a free route.

    Parameters
    ----------
    radius : least bend radius that was asked for [mm]
    outside : outside diameter of the hose [mm]; NaN not known
    shortest, longest : window of tip-to-tip lengths in which it bends no tighter, and comes no
        nearer to anything than it may [mm]; NaN none, infinite open
    width : of the window of the bend, with clips that of the narrowest span times their number,
        since every span takes its share of the error [mm]; 0 where no practical length works, NaN
        where the radius is not known
    tolerance : of the cut, either way [mm]
    spans : chosen tip-to-tip length in each span [mm]; empty where none works
    cut : chosen cut length [mm]; NaN where none works
    lie : how the hose lies there
    room : least gap beyond the clearance wanted, within the tolerance of the cut; without a cut
        the most that a length in the window gives [mm]; NaN without keep-outs
    stood : largest error of the tape that the cut stands [mm]
    roomiest : lengths of the spans at which a hose without a cut has most room [mm]
    """

    radius: float
    outside: float
    shortest: float
    longest: float
    width: float
    tolerance: float
    spans: tuple[float, ...] = ()
    cut: float = math.nan
    lie: Lie | None = None
    room: float = math.nan
    stood: float = math.nan
    roomiest: tuple[float, ...] = ()

    @property
    def needed(self) -> float:
        """Width that a window must have for a cut in whole millimetres with its tolerance [mm]."""
        return 2 * self.tolerance + FINE_STEP

    @property
    def tip(self) -> float:
        """Chosen tip-to-tip length [mm]."""
        return sum(self.spans) if self.spans else math.nan


def size_plans(
    solution: FreeSolution,
    scan: LengthScan | None,
    sizes: Sequence[tuple[float, float | None, list[Window]]],
    engagements: float,
    step: float,
) -> list[SizePlan]:
    """Return the plan for every pair of least bend radius and outside diameter.

    Parameters
    ----------
    solution, scan : of the route
    sizes : least bend radius [mm], outside diameter [mm] or None, and the windows of its spans
    engagements : at both ends [mm]
    step : of the workshop [mm]
    """
    plans = [
        _SizeChoice(solution, scan, windows, outside, engagements, step).plan()
        for _, outside, windows in sizes
    ]
    planned = [plan for plan in plans if plan.spans]
    lies = dict(zip(map(id, planned), solution.lies([p.spans for p in planned]), strict=True))
    return [_with_lie(plan, lies.get(id(plan)), solution) for plan in plans]


def _with_lie(plan: SizePlan, lie: Lie | None, solution: FreeSolution) -> SizePlan:
    """Return a plan with how the hose lies; without a cut where no shape can be relied on."""
    if not plan.spans:
        return plan
    if lie is None:
        return replace(plan, spans=(), cut=math.nan, width=0.0, roomiest=plan.spans)
    half = 0.0 if math.isnan(plan.outside) else plan.outside / 2
    rooms = [least_distance(lie, part) - part.wanted - half for part in solution.route.keep_outs]
    room = min([plan.room, *rooms]) if rooms else math.nan
    return replace(plan, lie=lie, room=math.nan if math.isnan(plan.outside) else room)


def with_room(windows: list[Window], engagements: float) -> bool:
    """Return whether a cut with its tolerance fits into the windows of all spans."""
    plan = _bend_only(windows, None, engagements)
    return plan.width >= plan.needed


def cut_exists(
    solution: FreeSolution,
    scan: LengthScan | None,
    windows: list[Window],
    outside: float,
    engagements: float,
) -> bool:
    """Return whether any cut with its tolerance bends no tighter and keeps clear.

    Parameters
    ----------
    solution, scan : of the route
    windows : of all spans for one least radius
    outside : outside diameter of the hose [mm]
    engagements : at both ends [mm]
    """
    return _SizeChoice(solution, scan, windows, outside, engagements, FINE_STEP).exists()


def _bend_only(windows: list[Window], outside: float | None, engagements: float) -> SizePlan:
    """Return the plan as far as the bend decides it, without a cut."""
    shortest = sum(window.shortest for window in windows)
    longest = sum(window.longest for window in windows)
    radius = windows[0].radius
    diameter = math.nan if outside is None else outside
    if math.isnan(shortest) or any(window.big_loop_only for window in windows):
        return SizePlan(radius, diameter, math.nan, math.nan, 0.0, 0.0)
    tolerance = float(cut_length_tolerance(shortest + engagements, TOLERANCE_TABLE))
    width = len(windows) * min(window.width for window in windows)
    return SizePlan(radius, diameter, shortest, longest, width, tolerance)


class _SizeChoice:
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
        self.bare = _bend_only(windows, outside, engagements)
        self.engagements, self.step = engagements, step
        self.share = self.bare.tolerance / len(windows)
        self.chance = limit("error-chance") / len(windows)

    def plan(self) -> SizePlan:
        """Return the plan; no shape is solved yet."""
        if self.scan is None or not self.bare.width >= self.bare.needed:
            return self.bare
        scan, route = self.scan, self.solution.route
        free = [self._clear(k) for k in range(len(self.windows))]
        if any(not len(lengths) for lengths in free):
            return self._crowded()
        tries = [(scan.told, route.tape_error, True)]
        if scan.careful[0] < route.tape_error:
            tries.append((scan.measured_again, scan.careful[0], True))
        found = self.bare
        for scans, tape, near in (*tries, *((*one[:2], False) for one in tries)):
            found = self._chosen(scans, free, tape, near=near)
            if found.spans and (found.stood > 0 or not tape):
                return found
        return found

    def exists(self) -> bool:
        """Return whether any length works, with its tolerance; errors are not looked at."""
        if self.scan is None or not self.bare.width >= self.bare.needed:
            return False
        return all(len(self._clear(k)) for k in range(len(self.windows)))

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
        spans, margins = [], []
        for k, scan in enumerate(scans):
            margin = self._margin(scan, free[k])
            most = max(LOOSE * self.windows[k].bound, free[k][0]) if near else math.inf
            best = _first_best(np.where(free[k] <= most, margin, -np.inf))
            spans.append(float(free[k][best]))
        chosen = self._on_step(scans, free, spans, near=near)
        if chosen is None:
            return self.bare
        cut, spans = chosen
        for k, scan in enumerate(scans):
            margins.append(float(self._margin(scan, np.array([spans[k]]))[0]))
        rooms = [float(self._room(k, np.array([span]))[0]) for k, span in enumerate(spans)]
        low, high = self._range(free, spans)
        return replace(
            self.bare,
            shortest=low,
            longest=high,
            spans=tuple(spans),
            cut=cut,
            room=min(rooms) if self._crowd else math.nan,
            stood=tape if min(margins) >= 0 else 0.0,
        )

    def _margin(self, scan: SpanScan, lengths: Array) -> Array:
        """Return the margin that all but the chance of draws keep, no more than is enough, (n,)."""
        margin = scan.margins(self.bare.radius, self.half, self.chance)
        return np.minimum(np.interp(lengths, scan.length, margin), limit("margin-enough"))

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
                margin = self._margin(scans[0], cuts - self.engagements)
                cut = float(cuts[_first_best(margin)])
                best = float(self._margin(scans[0], np.array([wanted]))[0])
                if step > FINE_STEP and margin.max() < min(best, 0.0) - WORTH:
                    continue
            else:
                cut = float(cuts[np.abs(cuts - self.engagements - wanted).argmin()])
            return cut, _shared(cut - self.engagements - wanted, spans, around)
        return None

    def _range(self, free: list[Array], spans: list[float]) -> tuple[float, float]:
        """Return the lengths around the chosen ones that work, their tolerance not counted [mm]."""
        low, high = 0.0, 0.0
        for k, span in enumerate(spans):
            window = self.windows[k]
            least, most = _around(free[k], span)
            low += window.shortest if least <= free[k][0] else least - self.share
            full = most >= self._lengths(k)[-1] - NEAR
            high += window.longest if full else most + self.share
        if not self._crowd:
            return self.bare.shortest, self.bare.longest
        return low, high


FINEST = 241  # lengths of a window that are looked at
LOOSE = 1.4  # a best radius on a much longer hose is a loop, not a line
WORTH = 0.03  # margin for which a cut off the step of the workshop is worth while
NEAR = 1e-6


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
