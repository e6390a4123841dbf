"""The cut of each hose size on a free route: where the worst of bend and room is best."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoseselect.cutplan.free_lie import Lie
from hoseselect.cutplan.length_scan import TOLERANCE_TABLE
from hoseselect.cutplan.lengths import FINE_STEP
from hoseselect.knowledge.tolerances import cut_length_tolerance
from hoseselect.mechanics.rod import Window


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
    stood : error of the tape that its bend stands: as told, measured again with care, or none
        [mm]; NaN without a cut
    clear : error of the tape with which it keeps clear, likewise [mm]
    any_side : whether that holds to whichever side the set of the roll lies
    roomiest : lengths of the spans at which a hose without a cut has most room [mm]
    looked : whether it was looked at
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
    clear: float = math.nan
    any_side: bool = True
    roomiest: tuple[float, ...] = ()
    looked: bool = True

    @property
    def needed(self) -> float:
        """Width that a window must have for a cut in whole millimetres with its tolerance [mm]."""
        return 2 * self.tolerance + FINE_STEP

    @property
    def tip(self) -> float:
        """Chosen tip-to-tip length [mm]."""
        return sum(self.spans) if self.spans else math.nan

    @property
    def sound(self) -> bool:
        """Whether it keeps clear as solved, and bends no tighter in another way to lie."""
        tight = self.lie is not None and self.lie.other_radius < self.radius
        return not (self.room < 0 or tight)


def bend_only(windows: list[Window], outside: float | None, engagements: float) -> SizePlan:
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
