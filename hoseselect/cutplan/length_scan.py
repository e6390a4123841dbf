"""A free route over all its lengths: tightest bend and room, as measured and with errors.

Worked out once per route in stacks; every hose reads from it at which length the worst of bend and
room is best.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoseselect.cutplan.free_solution import FreeSolution
from hoseselect.cutplan.other_ways import OtherWays, other_ways
from hoseselect.cutplan.span_scan import PlainScan, SpanScan
from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import limit
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Errors, Window


def scan_of(
    solution: FreeSolution, windows: list[list[Window]], engagements: float
) -> LengthScan | None:
    """Return the scan of a route over all windows; None where there is none.

    Parameters
    ----------
    solution : of the route
    windows : of every least radius, those of its spans
    engagements : at both ends [mm]
    """
    usable = [
        spans for spans in windows if all(one.exists and not one.big_loop_only for one in spans)
    ]
    if not usable:
        return None
    ranges = []
    for k, (profile, span) in enumerate(zip(solution.profiles, solution.spans, strict=True)):
        practical = profile.practical + span.leads
        low = min(spans[k].shortest for spans in usable)
        high = max(min(spans[k].longest, practical) for spans in usable)
        ranges.append((low, max(high, low) * (1 + BEYOND)))
    cut = sum(low for low, _ in ranges) + engagements
    tolerance = float(cut_length_tolerance(cut, TOLERANCE_TABLE))
    share = 2 * tolerance / len(ranges)
    close = [_closely(usable, k) for k in range(len(ranges))]
    return LengthScan(solution, [(low - share, high) for low, high in ranges], tolerance, close)


def _closely(usable: list[list[Window]], span: int) -> Array:
    """Return lengths of a span in the narrowest of its windows, where little decides [mm]."""
    own = [spans[span] for spans in usable if np.isfinite(spans[span].width)]
    narrow = sorted(own, key=lambda window: window.width)[:NARROW]
    return np.array([np.linspace(one.shortest, one.longest, WITHIN) for one in narrow]).ravel()


NARROW, WITHIN = 3, 5  # windows, and lengths in each


TOLERANCE_TABLE = "iso-1307"
BEYOND = 0.06  # of the longest length, that is looked at beyond all windows


@dataclass(eq=False)
class LengthScan:
    """Spans of a free route over their lengths.

    Parameters
    ----------
    solution : of the route
    ranges : for every span, its shortest and longest length [mm]
    tolerance : of the cut, either way [mm]
    close : for every span, lengths to be looked at besides [mm]
    """

    solution: FreeSolution
    ranges: list[tuple[float, float]]
    tolerance: float
    close: list[Array]

    def errors(self, tape: float, angle: float, cut: float, *, laid: bool) -> Errors:
        """Return the errors that are counted.

        Parameters
        ----------
        tape, angle, cut : of measuring and cutting [mm], [deg], [mm]
        laid : whether the hose is turned until its set lies in the bend, where it does no harm
        """
        share = cut / len(self.solution.spans)
        return Errors(tape, angle, share, 0.0 if laid else 1.0 / limit("roll-set-radius"))

    @cached_property
    def told(self) -> list[SpanScan]:
        """Every span with the errors of the route, the set to a side left to chance."""
        return self._as_told(laid=False)

    @cached_property
    def set_laid(self) -> list[SpanScan]:
        """Every span with the errors of the route, the set laid in the bend."""
        return self._as_told(laid=True)

    def _as_told(self, *, laid: bool) -> list[SpanScan]:
        tape, angle = self.solution.route.tape_error, self.solution.route.angle_error
        return self._scanned(self.errors(tape, angle, self.tolerance, laid=laid))

    @cached_property
    def measured_again(self) -> list[SpanScan]:
        """Every span with the errors of somebody who measures, cuts and lays it with care."""
        cut = min(limit("careful-tape-error"), self.tolerance)
        return self._scanned(self.errors(*self.careful, cut, laid=True))

    @property
    def careful(self) -> tuple[float, float]:
        """Errors of the tape and of angles when measured again with care [mm], [deg]."""
        route = self.solution.route
        return (
            min(limit("careful-tape-error"), route.tape_error),
            min(limit("careful-angle-error"), route.angle_error),
        )

    @cached_property
    def other_ways(self) -> list[OtherWays]:
        """Other ways to lie of every span; worked out only where they stand against a cut."""
        keep_outs = self.solution.route.keep_outs
        return [other_ways(plain.span, plain.inner, keep_outs) for plain in self._plain]

    def _scanned(self, errors: Errors) -> list[SpanScan]:
        return [
            SpanScan(plain, errors, start_is_measured=k > 0) for k, plain in enumerate(self._plain)
        ]

    @cached_property
    def _plain(self) -> list[PlainScan]:
        each = zip(self.solution.spans, self.ranges, self.close, strict=True)
        return [PlainScan(span, *ends, close, self.solution) for span, ends, close in each]
