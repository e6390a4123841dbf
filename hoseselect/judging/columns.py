"""The columns that rules see: jobs down the rows, hose types or sizes across.

Job columns have shape (n, 1), hose type columns (t,), hose size columns (m,); NumPy broadcasting
makes (n, t) or (n, m) of them. Unknown numbers are NaN; answers are 1 yes, 0 no, -1 unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]
YES, NO, UNKNOWN = 1, 0, -1
NOT_NAMED = 2
"""An insert that was found, and that nobody can name."""


@dataclass(frozen=True, eq=False, repr=False)
class JobColumns:
    """Jobs as columns, each of shape (n, 1) unless said otherwise.

    Where a figure differs by hose size, as on a free route, a column has the shape (n, m).

    Parameters
    ----------
    service : index into the table of services
    fluids : which constituents flow, shape (n, fluids)
    drips : which fluids drip on the cover, shape (n, fluids)
    bath : which fluids the hose lies in: inside a tank what flows, else none, shape (n, fluids)
    fluids_known, drips_known : answers
    fluid_steady, fluid_peak, air_steady, air_peak, coldest_start : [degC]
    pressure_min, pressure_max, pressure_spike : [kPa gauge]
    flow : what flows through the line [L/min]
    boost_stated : answer: whether the user stated a pressure that only boost explains
    threaded : answer: whether the ends are threaded
    nipple_a, nipple_b : outside diameter on the plain part [mm]
    has_bead_a, has_bead_b : answers
    bead_a, bead_b : diameter over the bead [mm]
    measured_on_a, measured_on_b : 1 on the plain part, 0 on the bead, -1 unknown
    usable_a, usable_b : length of nipple for hose and clamp [mm]
    tip_length : nipple mouth to nipple mouth along the centreline [mm]
    tightest_radius : centreline radius of the tightest bend, shape (n, 1) or (n, m) [mm]
    lead : shorter of the two straight leads at the nipples [mm]
    movement : relative movement of the ends [mm]
    supports : largest distance between supports [mm]
    heat_source_distance, heat_source_shielded : [mm], answer
    window_width, window_needed : width of the window of lengths of a free route, and what the
        tolerance of the cut needs [mm]; NaN on other routes
    narrow_window, narrow_needed : the same of a measured route whose window is narrower [mm]; NaN
        on other routes
    other_radius : tightest radius of another way to lie [mm]; infinite none, NaN other routes
    keep_outs : answer: whether the route has any
    clearance_left : gap to the nearest keep-out less the wanted clearance [mm]; NaN none
    weight_number : weight against stiffness on a free route [-]
    error_stood, error_clear, error_told : errors of the tape that the bend of a free route stands,
        with which it keeps clear, and that were told [mm]; NaN other routes
    set_any_side : 1 where a free route holds to whichever side the set of the roll lies, 0 where
        it must lie in the bend; NaN other routes
    margin_wanted : share of the least radius by which a bend of a free route is wider; NaN others
    old_bore : bore of the hose that came off, as it was new or as measured [mm]
    original_bore, piece, bare_length, cut_length, longest_length : [mm]
    low_spot, fall, insert, turbo, sees_boost, submerged, print_lost : answers
    sucked_flat, heat_aged, attacked : answers: how the old hose failed
    usual_coldest_start, usual_cap_pressure : what the shop has set [degC], [kPa]; NaN = nothing,
        or of no meaning for the service
    usual_fluids : what flows at worst as the shop has set, (n, fluids); nothing = not set
    """

    service: Array
    fluids: Array
    drips: Array
    bath: Array
    fluids_known: Array
    drips_known: Array
    fluid_steady: Array
    fluid_peak: Array
    air_steady: Array
    air_peak: Array
    coldest_start: Array
    pressure_min: Array
    pressure_max: Array
    pressure_spike: Array
    flow: Array
    boost_stated: Array
    threaded: Array
    nipple_a: Array
    nipple_b: Array
    has_bead_a: Array
    has_bead_b: Array
    bead_a: Array
    bead_b: Array
    measured_on_a: Array
    measured_on_b: Array
    usable_a: Array
    usable_b: Array
    tip_length: Array
    tightest_radius: Array
    lead: Array
    movement: Array
    supports: Array
    heat_source_distance: Array
    heat_source_shielded: Array
    window_width: Array
    window_needed: Array
    narrow_window: Array
    narrow_needed: Array
    other_radius: Array
    keep_outs: Array
    clearance_left: Array
    weight_number: Array
    error_stood: Array
    error_clear: Array
    error_told: Array
    set_any_side: Array
    margin_wanted: Array
    original_bore: Array
    old_bore: Array
    piece: Array
    bare_length: Array
    cut_length: Array
    longest_length: Array
    low_spot: Array
    fall: Array
    insert: Array
    turbo: Array
    sees_boost: Array
    submerged: Array
    print_lost: Array
    sucked_flat: Array
    heat_aged: Array
    attacked: Array
    usual_coldest_start: Array
    usual_cap_pressure: Array
    usual_fluids: Array

    def __len__(self) -> int:
        """Return the number of jobs."""
        return len(self.service)

    def take(self, rows: Array | slice) -> JobColumns:
        """Return the jobs at the given row numbers or where a mask of shape (n,) is true."""
        return JobColumns(**{name: column[rows] for name, column in vars(self).items()})

    def change(self, **columns: Array) -> JobColumns:
        """Return a copy with some columns replaced."""
        return JobColumns(**{**vars(self), **columns})

    @staticmethod
    def stack(parts: list[JobColumns]) -> JobColumns:
        """Return the jobs of all parts, one below the other."""
        together = [vars(part) for part in parts]
        return JobColumns(
            **{name: np.concatenate([own[name] for own in together]) for name in together[0]}
        )


@dataclass(frozen=True, eq=False, repr=False)
class TypeColumns:
    """Hose types as columns of shape (t,), ratings (t, fluids).

    Parameters
    ----------
    name : id of the type
    liner, cover : per type the polymers, one or the other; ("unknown",) where not named
    liner_rating, cover_rating : 0 refuse, 1 limited, 2 suitable, NaN unknown; of the liner with
        what vouches for it
    liner_cell, liner_read : rating of the liner by the table of resistance alone, and whether it
        was read in a publication, (t, fluids)
    liner_hot_limit : temperature above which a rating is only "limited", (t, fluids) [degC]
    claimed, claimed_by_maker : whether a claimed marking covers the fluid, as was read; whether
        the maker claims it, (t, fluids)
    excluded : whether the maker excludes the fluid, (t, fluids)
    families : families of use of each type, of its markings or as its maker states
    family_answer : 2 made for the service, 1 may stand in, 0 refused, NaN no family known, shape
        (services, t)
    liner_named, marked : whether a liner is named, a marking claimed
    permeation_rating : rating against fuel vapour, claims for low permeation counted
    marking : ids of claimed markings per type
    marking_allows, marking_in_part, marking_denies : per service, shape (services, t)
    temperature_continuous, temperature_short_time, temperature_cold : as stated, no further than
        the claimed markings go [degC]
    temperature_usual, cold_usual : what liner and cover usually stand [degC]
    marking_pressure : pressure with clamps that the claimed markings cover [kPa]
    submersible : answer
    activation_energy : published least activation energy of the liner's ageing [kJ/mol]
    made_for_clamps : answer
    electrochemical : whether its print says that it is tested against electrochemical attack
    special : whether liner or cover is a polymer for special purposes
    """

    name: Array
    liner: tuple[tuple[str, ...], ...]
    cover: tuple[tuple[str, ...], ...]
    liner_rating: Array
    liner_cell: Array
    liner_read: Array
    cover_rating: Array
    liner_hot_limit: Array
    claimed: Array
    claimed_by_maker: Array
    excluded: Array
    families: tuple[tuple[str, ...], ...]
    family_answer: Array
    liner_named: Array
    marked: Array
    permeation_rating: Array
    marking: tuple[tuple[str, ...], ...]
    marking_allows: Array
    marking_in_part: Array
    marking_denies: Array
    temperature_continuous: Array
    temperature_short_time: Array
    temperature_cold: Array
    temperature_usual: Array
    cold_usual: Array
    marking_pressure: Array
    submersible: Array
    activation_energy: Array
    made_for_clamps: Array
    electrochemical: Array
    special: Array


@dataclass(frozen=True, eq=False, repr=False)
class SizeColumns:
    """Hose sizes as columns of shape (m,).

    Parameters
    ----------
    name : id of the size
    type_index : row of its type
    bore, bore_max, outside_diameter, least_bend_radius : [mm]
    kink_sure, kink_least : range of an estimated least bend radius [mm]
    working_pressure : with clamps; NaN not stated, or more than any hose holds so [kPa]
    suction_cold, suction_hot : stated suction limits [kPa gauge, negative]
    collapse_sure, collapse_most : range of an estimated suction limit, hot [kPa gauge, negative]
    roll_length : [mm]
    unreinforced, helix : whether the wall is plain rubber; whether a wire supports it
    reinforcement_known : whether the catalogue says what reinforces the wall
    soft_cover : whether a perforated band would cut the cover
    hardness_shore_a : [Shore A]
    """

    name: Array
    type_index: Array
    bore: Array
    bore_max: Array
    outside_diameter: Array
    least_bend_radius: Array
    kink_sure: Array
    kink_least: Array
    working_pressure: Array
    suction_cold: Array
    suction_hot: Array
    collapse_sure: Array
    collapse_most: Array
    roll_length: Array
    unreinforced: Array
    reinforcement_known: Array
    helix: Array
    soft_cover: Array
    hardness_shore_a: Array

    def __len__(self) -> int:
        """Return the number of sizes."""
        return len(self.bore)


@dataclass(frozen=True, eq=False, repr=False)
class RollColumns:
    """Rolls in stock as columns of shape (r,).

    Parameters
    ----------
    name : of the roll
    place : where it hangs, r texts
    size_index : row of the size on it
    length : left on it [mm]
    age : since it was made; NaN not known [years]
    keeps, keeps_at_most : life of its rubber in store, and with the years after a look [years]
    """

    name: Array
    place: tuple[str, ...]
    size_index: Array
    length: Array
    age: Array
    keeps: Array
    keeps_at_most: Array

    def __len__(self) -> int:
        """Return the number of rolls."""
        return len(self.length)


@dataclass(frozen=True, eq=False, repr=False)
class HoseColumns:
    """Hose types and sizes, and the rolls and clamps a shop keeps.

    Parameters
    ----------
    types : t types
    sizes : m sizes
    rolls : r rolls
    clamp_ranges, clamp_ranges_soft : per service, closing ranges and band widths, merged where
        the width is the same, each of shape (k, 3) [mm], for firm and for soft covers; empty
        tuples where the shop keeps no list of clamps
    """

    types: TypeColumns
    sizes: SizeColumns
    rolls: RollColumns
    clamp_ranges: tuple[Array, ...]
    clamp_ranges_soft: tuple[Array, ...]
