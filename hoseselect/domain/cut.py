"""The cut plan: how long, made of which parts, held by which clamps."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from hoseselect.domain.finding import number_or_null


@dataclass(frozen=True)
class Part:
    """One part of the sum that makes the cut length.

    Parameters
    ----------
    name : what it is
    length : its share [mm]
    source : where the figure comes from
    """

    name: str
    length: float
    source: str


@dataclass(frozen=True)
class ClampChoice:
    """A clamp for one end, or the reason why a clamp will not do.

    Parameters
    ----------
    clamp : id in the catalogue
    family : kind of clamp
    number : clamps at this end
    range_min, range_max : diameters it closes on [mm]
    hose_diameter : outside diameter of the hose when on the nipple [mm]
    position : where it sits
    torque_new, torque_again : first and later tightening [N m]
    source : where the torque comes from
    """

    clamp: str
    family: str
    number: int
    range_min: float
    range_max: float
    hose_diameter: float
    position: str
    torque_new: float
    torque_again: float
    source: str


@dataclass(frozen=True)
class OtherLength:
    """A length to cut under a circumstance that is not known.

    Parameters
    ----------
    length : the length to cut then [mm]
    circumstance : in words, such as "if both ends sit on the engine"
    """

    length: float
    circumstance: str


@dataclass(frozen=True)
class CutPlan:
    """Tip to tip, plus engagement at each end, plus movement and trim, rounded up.

    Where a part of the sum is a guess, the cut is the longest length that it may come to, and no
    headline: see `believed`.

    Parameters
    ----------
    tip : path along the centreline from nipple mouth to nipple mouth [mm]
    bare : tip and both engagements [mm]
    cut : the length to cut [mm]
    parts : the sum
    tolerance : plus or minus on the cut [mm]
    tolerance_source : table it comes from
    squareness : how far out of square the cut may be [mm]
    window : shortest and longest cut that works [mm]; NaN where not known
    tightest_radius : of the centreline [mm]
    tightest_at : where, along the tip-to-tip path from nipple A [mm]
    clamps_a, clamps_b : clamps for each end
    clamps_refused : clamps that must not be used, each with the reason
    supports : clips needed along the run
    support_spacing : largest distance between them [mm]
    end_angles : between hose and nipple axis at each end [deg]
    notes : what to mind
    least : the shortest length that it may come to [mm]; NaN = the cut, nothing is guessed
    others : the lengths of single circumstances that are not known
    measure : what to find out to know the length
    """

    tip: float
    bare: float
    cut: float
    parts: tuple[Part, ...]
    tolerance: float
    tolerance_source: str
    squareness: float
    window: tuple[float, float]
    tightest_radius: float
    tightest_at: float
    clamps_a: tuple[ClampChoice, ...] = ()
    clamps_b: tuple[ClampChoice, ...] = ()
    clamps_refused: tuple[tuple[str, str], ...] = ()
    supports: int = 0
    support_spacing: float = math.nan
    end_angles: tuple[float, float] = (0.0, 0.0)
    notes: tuple[str, ...] = field(default_factory=tuple)
    least: float = math.nan
    others: tuple[OtherLength, ...] = ()
    measure: tuple[str, ...] = ()

    @property
    def range(self) -> tuple[float, float]:
        """Shortest and longest length that it may come to, by what is not known [mm]."""
        return (self.cut if math.isnan(self.least) else self.least), self.cut

    @property
    def believed(self) -> bool:
        """Whether no guess in it may shift the cut by more than its tolerance."""
        least, most = self.range
        return believed(least, most, self.tolerance)

    def as_json(self) -> dict[str, object]:
        """Return the plan as plain values; NaN and infinity become null."""

        def clamp(choice: ClampChoice) -> dict[str, object]:
            return {
                "clamp": choice.clamp,
                "family": choice.family,
                "number": choice.number,
                "range_mm": [choice.range_min, choice.range_max],
                "hose_diameter_mm": number_or_null(choice.hose_diameter, 2),
                "position": choice.position,
                "torque_new_nm": number_or_null(choice.torque_new),
                "torque_again_nm": number_or_null(choice.torque_again),
                "source": choice.source,
            }

        return {
            "tip_mm": number_or_null(self.tip, 3),
            "bare_mm": number_or_null(self.bare, 3),
            "cut_mm": number_or_null(self.cut, 3) if self.believed else None,
            "range_mm": [number_or_null(bound, 3) for bound in self.range],
            "others": [
                {"length_mm": number_or_null(o.length, 3), "circumstance": o.circumstance}
                for o in self.others
            ],
            "measure": list(self.measure),
            "parts": [
                {"name": p.name, "length_mm": number_or_null(p.length, 3), "source": p.source}
                for p in self.parts
            ],
            "tolerance_mm": number_or_null(self.tolerance),
            "tolerance_source": self.tolerance_source,
            "squareness_mm": number_or_null(self.squareness),
            "window_mm": [number_or_null(bound, 3) for bound in self.window],
            "tightest_radius_mm": number_or_null(self.tightest_radius, 3),
            "tightest_at_mm": number_or_null(self.tightest_at, 3),
            "end_angles": list(self.end_angles),
            "clamps_a": [clamp(choice) for choice in self.clamps_a],
            "clamps_b": [clamp(choice) for choice in self.clamps_b],
            "clamps_refused": [
                {"clamp": name, "reason": reason} for name, reason in self.clamps_refused
            ],
            "supports": self.supports,
            "support_spacing_mm": number_or_null(self.support_spacing),
            "notes": list(self.notes),
        }


def believed(least: float, most: float, tolerance: float) -> bool:
    """Return whether lengths a cut may come to lie within its tolerance of one another.

    Parameters
    ----------
    least, most : shortest and longest of them [mm]; NaN = no guess
    tolerance : plus or minus on the cut [mm]
    """
    return not most - least > tolerance
