"""A folder of hoses as dictionaries: one a size, with all that is believed of it."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path
from typing import Any

from . import claims, limits
from .fluids import all_fluids, made_of, rated_up_to, rating, was_read, weakest
from .stock import clamps_of
from .tables import Row, limit, number, read_rows, rows, words

Hose = dict[str, Any]
MM_OF_M = 1000.0
NOT_NAMED = ("",)
STEADY = ("temperature-continuous", "temperature-maximum")
SHORT = ("temperature-short-time", "temperature-maximum")


def read_folder(folder: Path, today: datetime.date | None = None) -> dict[str, Hose]:
    """Return the sizes of a catalogue by name."""
    types = {row["hose_type"]: hose_type(row) for row in read_rows(folder / "hose_types.csv")}
    clamps = clamps_of(read_rows(folder / "clamps.csv"))
    rolls = read_rows(folder / "rolls.csv")
    made = {}
    for row in read_rows(folder / "hose_sizes.csv"):
        own = types[row["hose_type"]]
        hose = own | hose_size(row, own)
        hose["clamps"] = clamps
        lying = [roll for roll in rolls if roll["hose_size"] == row["hose_size"]]
        hose["rolls"] = [stock(roll, own, today) for roll in lying]
        made[row["hose_size"]] = hose
    return made


def hose_type(row: Row) -> Hose:
    """Return what is believed of a hose type."""
    line = row["print_line"]
    markings = claims.believed(words(row["marking"]), line)
    liner, cover = named(row["liner"]), named(row["cover"])
    stated = made_of((*words(row["fluids_claimed"]), *words(row["only_for"])))
    hottest = limits.usual((liner, cover), "temperature-continuous-highest")
    coldest = limits.usual((liner, cover), "temperature-cold-lowest")
    hose: Hose = {
        "type": row["hose_type"],
        "liner": liner,
        "cover": cover,
        "markings": markings,
        "claimed": stated,
        "covered_read": claims.covered(markings, read=True),
        "covered": claims.covered(markings, read=False),
        "families": claims.families(markings, words(row["family"])),
        "excluded": claims.excluded(row),
        "electrochemical": claims.electrochemical(markings, line),
        "reinforcement": row["reinforcement"] or "unknown",
        "hardness": number(row["hardness_shore_a"]),
        "made_for_clamps": row["made_for_clamps"] or "unknown",
        "submersible": row["submersible"] or "unknown",
        "continuous": limits.at_most(
            number(row["temperature_continuous_degc"]), limits.published(markings, line, STEADY)
        ),
        "short_time": limits.at_most(
            number(row["temperature_short_time_degc"]), limits.published(markings, line, SHORT)
        ),
        "cold": limits.at_least(
            number(row["temperature_cold_degc"]),
            limits.published(markings, line, ("temperature-cold",)),
        ),
        "usual_hottest": min(hottest, default=None),
        "usual_coldest": max(coldest, default=None),
        "marking_pressure": limits.clamped_pressure(markings, line),
        "tested_suction": limits.published(markings, line, ("suction", "suction-hot")),
        "soft_cover": any(("soft-cover") in figures_of(polymer) for polymer in cover),
    }
    hose["liner_rating"] = {fluid: liner_rating(hose, fluid) for fluid in all_fluids()}
    hose["cover_rating"] = {fluid: cover_rating(hose, fluid) for fluid in all_fluids()}
    hose["liner_by_table"] = {fluid: by_table(liner, fluid) for fluid in all_fluids()}
    hose["rated_up_to"] = {fluid: hot_limit(liner, fluid) for fluid in all_fluids()}
    hose["permeation"] = permeation(hose)
    return hose


def named(text: str) -> tuple[str, ...]:
    """Return the polymers that a part may be made of; none where it is not named."""
    return tuple(text.split("|")) if text else ()


@cache
def figures_of(polymer: str) -> set[str]:
    """Return the names of the figures that are known of a polymer."""
    return {row["figure"] for row in rows("polymer_figures") if row["symbol"] == polymer}


def by_table(polymers: tuple[str, ...], fluid: str) -> float | None:
    """Return how a part stands a fluid by the table alone: of what it may be, the weakest."""
    return weakest(rating(polymer, fluid) for polymer in polymers) if polymers else None


def liner_rating(hose: Hose, fluid: str, *, marked: bool = True) -> float | None:
    """Return what a liner is worth in a fluid, with what vouches for it.

    A marking that covers the fluid, as was read, or the word of the maker stands for a liner
    that is not named, not rated, or rated 1 or 2. Against a refusal the maker's word is nothing,
    and such a marking makes it 1 where nobody read the refusal. A rating of 2 that nobody read
    is 1 by itself. A marking that covers it by hearsay makes 1 where else nothing is known.
    """
    alone = by_table(hose["liner"], fluid)
    read = bool(hose["liner"]) and all(was_read(polymer, fluid) for polymer in hose["liner"])
    by_marking = marked and fluid in hose["covered_read"]
    if alone == 0:
        return 1.0 if by_marking and not read else 0.0
    if by_marking or fluid in hose["claimed"]:
        return 2.0
    if alone is None:
        return 1.0 if marked and fluid in hose["covered"] else None
    return 1.0 if alone == 2 and not read else alone


def cover_rating(hose: Hose, fluid: str) -> float | None:
    """Return what a cover is worth; under a bare braid the liner meets what touches it.

    A marking stands for it in the open air, and for hose made for the tank in every fluid.
    """
    if hose["cover"] == ("textile",):
        return rating("textile", "air") if fluid == "air" else hose["liner_rating"][fluid]
    alone = by_table(hose["cover"], fluid)
    if fluid == "air" or "fuel-in-tank" in hose["families"]:
        if fluid in hose["covered_read"] and alone != 0:
            return 2.0
        if alone is None and fluid in hose["covered"]:
            return 1.0
    return alone


def hot_limit(polymers: tuple[str, ...], fluid: str) -> float | None:
    """Return up to which temperature the rating of a liner holds [degC]; None = at any."""
    found = [rated_up_to(polymer, fluid) for polymer in polymers]
    return min((value for value in found if value is not None), default=None)


def permeation(hose: Hose) -> float | None:
    """Return the rating against fuel vapour, not below 1; 2 with a marking for low permeation."""
    if claims.LOW_PERMEATION & set(hose["markings"]):
        return 2.0
    alone = liner_rating(hose, "fuel-vapour", marked=False)
    if alone is None:
        return 1.0 if {"fuel-vapour", "petrol"} & hose["covered"] else None
    return max(alone, 1.0)


def hose_size(row: Row, own: Hose) -> Hose:
    """Return what is believed of one size."""
    bore, outside = float(row["bore_mm"]), number(row["outside_diameter_mm"])
    helix = own["reinforcement"] in ("wire", "textile-and-wire")
    sure, least = limits.kink(bore, outside)
    bears, most = limits.collapse(bore, outside, own["hardness"])
    tested = [limit("suction-beyond-marking") * value for value in own["tested_suction"]]
    return {
        "size": row["hose_size"],
        "bore": bore,
        "bore_max": number(row["bore_max_mm"]),
        "outside_diameter": outside,
        "helix": helix,
        "least_bend_radius": limits.credible_radius(
            number(row["least_bend_radius_mm"]), outside, least, helix=helix
        ),
        "kink_sure": sure,
        "kink_least": 0.0 if helix else least,
        "working_pressure": limits.credible_pressure(number(row["working_pressure_clamped_kpa"])),
        "suction_cold": limits.at_least(number(row["suction_limit_cold_kpa"]), tested),
        "suction_hot": limits.at_least(number(row["suction_limit_hot_kpa"]), tested),
        "collapse_sure": None if bears is None else -bears,
        "collapse_most": float("-inf") if helix else None if most is None else -most,
        "roll_length": None if not row["roll_length_m"] else float(row["roll_length_m"]) * MM_OF_M,
    }


def stock(roll: Row, own: Hose, today: datetime.date | None) -> dict[str, Any]:
    """Return a roll: what is left on it [mm], its age and how long its rubber keeps [years]."""
    keeps, further = storage_life((*(own["liner"] or NOT_NAMED), *(own["cover"] or NOT_NAMED)))
    made = made_on(roll["date_made"])
    age = None if today is None or made is None else (today - made).days / 365.25
    return {
        "name": roll["roll"],
        "length": float(roll["length_m"]) * MM_OF_M,
        "age": None if age is None or age < 0 else age,
        "keeps": keeps,
        "keeps_at_most": keeps + further,
    }


def made_on(text: str) -> datetime.date | None:
    """Return when a roll was made: a day, or the first one of the quarter on its label."""
    if "-Q" in text.upper():
        year, quarter = text.upper().split("-Q")
        return datetime.date(int(year), 3 * int(quarter) - 2, 1)
    return datetime.date.fromisoformat(text) if text else None


def storage_life(polymers: tuple[str, ...]) -> tuple[float, float]:
    """Return the years in store and after a look, of what keeps shortest; unknown = shortest."""
    lives = {
        row["symbol"]: (float(row["years"]), float(row["further_years"]))
        for row in rows("storage_life")
    }
    own = [lives.get(polymer) for polymer in polymers if polymer != "textile"]
    shortest = min(lives.values())
    return min((life or shortest for life in own), default=shortest)
