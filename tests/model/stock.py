"""Stock rules, and which clamps close on a hose."""

from __future__ import annotations

import math
from typing import Any

from .compare import ACCEPT, CONDITIONAL, NOTHING, REJECT, SAME, UNKNOWN, Said, banded
from .registry import Hose, Job, rule
from .tables import Row, by, limit, number, words


@rule("stock-roll", "piece, cut_length")
def stock_roll(job: Job, hose: Hose) -> Said:
    """The cut against the roll in which the hose is sold, and what is left on those in stock."""
    left = max((roll["length"] for roll in hose["rolls"]), default=None)
    sold, cut = hose["roll_length"], job["cut_length"]
    if job["piece"] is not None or cut is None or (sold is None and left is None):
        return NOTHING
    longest = math.inf if sold is None else max(sold, left or 0.0)
    return banded(cut, longest if left is None else left, longest)


def roll_to_take(cut: float | None, hose: Hose) -> dict[str, Any] | None:
    """Return the youngest roll that is long enough and bears a date; None where there is none."""
    dated = [roll for roll in hose["rolls"] if roll["age"] is not None]
    fit = [roll for roll in dated if cut is None or roll["length"] >= cut]
    return min(fit, key=lambda roll: roll["age"], default=None)


@rule("stock-age", "cut_length")
def stock_age(job: Job, hose: Hose) -> Said:
    """Age of the youngest roll that is long enough, against what its rubber keeps."""
    roll = roll_to_take(job["cut_length"], hose)
    if roll is None:
        return NOTHING
    return banded(roll["age"], roll["keeps"], math.inf)


def on_nipple(hose: Hose, nipple: float) -> float | None:
    """Return the outside diameter on a nipple; the area of the wall stays [mm]."""
    outside, bore = hose["outside_diameter"], hose["bore"]
    if outside is None or outside <= bore or nipple <= 0:
        return None
    return math.sqrt(outside**2 + nipple**2 - bore**2)


def narrowest_band(job: Job, hose: Hose, nipple: float | None) -> float | None:
    """Return the narrowest band of a clamp of the shop that suits and closes on the hose [mm].

    Infinite where none does; None where it is not known.
    """
    across = None if nipple is None else on_nipple(hose, nipple)
    if across is None:
        return None
    found = math.inf
    for clamp in hose["clamps"]:
        suits = job["group"] in clamp["suits"] and (clamp["soft_cover"] or not hose["soft_cover"])
        if suits and clamp["low"] * (1 - SAME) <= across <= clamp["high"] * (1 + SAME):
            found = min(found, clamp["width"])
    return found


def clamps_of(shop: list[Row]) -> list[dict[str, Any]]:
    """Return the clamps of a shop; a band of no stated width counts as its widest."""
    widths = [number(row["band_width_mm"]) for row in shop]
    widest = max((w for w in widths if w is not None), default=limit("band-width-least"))
    families = by("clamp_families", "family")
    return [
        {
            "low": float(row["range_min_mm"]),
            "high": float(row["range_max_mm"]),
            "width": widest if width is None else width,
            "suits": words(families[row["family"]]["suits"]),
            "soft_cover": families[row["family"]]["soft_cover"] == "yes",
        }
        for row, width in zip(shop, widths, strict=True)
        if row["family"] in families
    ]


@rule("stock-clamp", "service, nipple_a, nipple_b")
def stock_clamp(job: Job, hose: Hose) -> Said:
    """A clamp of the shop of a family that suits closes on the hose at both nipples."""
    if not hose["clamps"] or job["row"]["clamps_per_end"] == "0":
        return NOTHING
    nipples = [job[f"nipple_{end}"] for end in ("a", "b")]
    bands = [narrowest_band(job, hose, nipple) for nipple in nipples]
    if math.inf in bands:
        return Said(REJECT, 1.0, 0.0)
    if None in bands:
        return Said(CONDITIONAL if None in nipples else UNKNOWN, 1.0, None)
    return Said(ACCEPT, 1.0, 1.0)
