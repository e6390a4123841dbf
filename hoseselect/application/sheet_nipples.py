"""Nipples of many lines at once, merged and checked as the form of a job file does for one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoseselect.intake.sheet_lines import Lines
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array
from hoseselect.judging.job_columns import CODES

NIPPLE_FIGURES = ("outside_diameter", "bead_diameter", "usable_length", "engagement")
NIPPLE_WORDS = ("bead", "measured_on", "material", "fixed_to")
MEASURED_ON = {"plain": YES, "bead": NO, "unknown": UNKNOWN}
MATERIALS = {"plastic": YES, "metal": NO, "unknown": UNKNOWN}
BODIES = {"engine": 1, "body": 0, "unknown": UNKNOWN}
WORDS = {"bead": CODES, "measured_on": MEASURED_ON, "material": MATERIALS, "fixed_to": BODIES}


@dataclass(frozen=True, eq=False)
class Nipples:
    """One nipple of each line, each of shape (n,).

    Parameters
    ----------
    figures : outside_diameter, bead_diameter, usable_length, engagement [mm]
    words : bead, measured_on, material, fixed_to as whole numbers
    given : which of them a cell gives
    """

    figures: dict[str, Array]
    words: dict[str, Array]
    given: dict[str, Array]

    def odd(self) -> Array:
        """Return where the form of a nipple would refuse, shape (n,)."""
        outside, bead = self.figures["outside_diameter"], self.figures["bead_diameter"]
        on_bead = self.words["measured_on"] == NO
        no_bead = self.words["bead"] == NO
        return (
            (outside == 0)
            | (bead <= outside)
            | (on_bead & (no_bead | ~np.isnan(bead)))
            | (no_bead & ~np.isnan(bead))
            | (self.figures["engagement"] > self.figures["usable_length"])
        )

    def below(self, shared: Nipples) -> Nipples:
        """Return this nipple with what both nipples share, as the form merges them."""
        no_bead = self.given["bead"] & (self.words["bead"] == NO)
        own_length = self.given["usable_length"] | self.given["engagement"]
        hidden = {"bead_diameter": no_bead, "usable_length": own_length, "engagement": own_length}
        figures = {}
        for name, own in self.figures.items():
            other = np.where(hidden.get(name, False), np.nan, shared.figures[name])
            figures[name] = np.where(self.given[name], own, other)
        words = {
            name: np.where(self.given[name], own, shared.words[name])
            for name, own in self.words.items()
        }
        return Nipples(figures, words, self.given)

    def has_bead(self) -> Array:
        """Return the answer whether there is a bead; a bead diameter says so."""
        told = ~np.isnan(self.figures["bead_diameter"]) | (self.words["measured_on"] == NO)
        return np.where(told, YES, self.words["bead"])


def nipples(lines: Lines, group: str) -> Nipples:
    """Return the nipples that the columns of one group give: nipples, nipple_a or nipple_b."""
    figures = {name: lines.figures(f"{group}.{name}") for name in NIPPLE_FIGURES}
    words = {name: lines.words(f"{group}.{name}", WORDS[name]) for name in NIPPLE_WORDS}
    given = {name: lines.given(f"{group}.{name}") for name in (*NIPPLE_FIGURES, *NIPPLE_WORDS)}
    return Nipples(figures, words, given)


def nipple_columns(a: Nipples, b: Nipples) -> dict[str, Array]:
    """Return the columns of the two nipples of each line, by name."""
    columns: dict[str, Array] = {}
    for end, nipple in (("a", a), ("b", b)):
        columns[f"nipple_{end}"] = nipple.figures["outside_diameter"]
        columns[f"has_bead_{end}"] = nipple.has_bead()
        columns[f"bead_{end}"] = nipple.figures["bead_diameter"]
        columns[f"measured_on_{end}"] = nipple.words["measured_on"]
        columns[f"usable_{end}"] = np.fmin(
            nipple.figures["usable_length"], nipple.figures["engagement"]
        )
    plastic = (a.words["material"] == YES) | (b.words["material"] == YES)
    not_known = (a.words["material"] == UNKNOWN) | (b.words["material"] == UNKNOWN)
    columns["plastic"] = np.where(plastic, YES, np.where(not_known, UNKNOWN, NO))
    return columns
