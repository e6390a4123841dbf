"""A catalogue as columns: one array a property, one place in it a row of the file.

Working units: mm, kPa (gauge), degC. A number that is not stated is NaN, a word that is not
stated is "unknown", a list that is not stated is empty.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import numpy.typing as npt

from hoseselect.domain.job import Usual
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import without_unseen

NO_USUAL = Usual()
FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.intp]
WordArray = npt.NDArray[np.str_]
Words = tuple[str, ...]
WordLists = tuple[Words, ...]


def position(names: WordArray, name: str, place: str) -> int:
    """Place of a name in a column of names.

    Raises
    ------
    InputError
        when the name is not in the column.
    """
    places = np.flatnonzero(names == name)
    if places.size == 0:
        raise InputError(place, repr(name), "a name that is in the catalogue")
    return int(places[0])


@dataclass(frozen=True, eq=False, repr=False)
class CatalogueTypes:
    """Hose types, length t.

    Parameters
    ----------
    hose_type : name, (t,)
    description : what the hose is, t texts
    liner : t tuples of polymer symbols, one or the other; ("unknown",) = not named
    reinforcement : none, textile, wire, textile-and-wire or unknown, (t,)
    cover : t tuples of polymer symbols, as `liner`; ("textile",) = a braid without a cover
    marking : t tuples of markings claimed
    print_line : words printed along the hose, t texts
    temperature_continuous : highest steady temperature, (t,) [degC]
    temperature_short_time : highest temperature for a short time, (t,) [degC]
    temperature_cold : lowest temperature, (t,) [degC]
    hardness_shore_a : hardness of the wall, (t,) [Shore A]
    fluids_claimed : t tuples of fluids
    made_for_clamps : yes, no or unknown, (t,)
    submersible : yes, no or unknown, (t,)
    family : t tuples of families of use that the maker states
    not_for : t tuples of fluids and families of fluids that the maker excludes
    only_for : t tuples of the only fluids it is made for, () where it is not so limited
    remark : t texts
    """

    hose_type: WordArray
    description: Words
    liner: WordLists
    reinforcement: WordArray
    cover: WordLists
    marking: WordLists
    print_line: Words
    temperature_continuous: FloatArray
    temperature_short_time: FloatArray
    temperature_cold: FloatArray
    hardness_shore_a: FloatArray
    fluids_claimed: WordLists
    made_for_clamps: WordArray
    submersible: WordArray
    family: WordLists
    not_for: WordLists
    only_for: WordLists
    remark: Words

    def __len__(self) -> int:
        return int(self.hose_type.size)

    def index_of(self, hose_type: str) -> int:
        """Place of a hose type.

        Raises
        ------
        InputError
            when there is no such hose type.
        """
        return position(self.hose_type, hose_type, "hose type")


@dataclass(frozen=True, eq=False, repr=False)
class CatalogueSizes:
    """Hose sizes, length m.

    Parameters
    ----------
    hose_size : name, (m,)
    hose_type : name of its type, (m,)
    type_index : place of its type in the type columns, (m,)
    bore : nominal bore, (m,) [mm]
    bore_min : least bore, (m,) [mm]
    bore_max : greatest bore, (m,) [mm]
    outside_diameter : nominal outside diameter, (m,) [mm]
    least_bend_radius : least bend radius on the centreline, (m,) [mm]
    working_pressure_clamped : working pressure with clamps, (m,) [kPa]
    working_pressure_crimped : working pressure with crimped ends, (m,) [kPa]
    suction_limit_cold : suction limit at 23 degC, negative, (m,) [kPa]
    suction_limit_hot : suction limit at the continuous temperature, negative, (m,) [kPa]
    roll_length_m : length of a full roll, (m,) [m]
    price_per_m : price of a metre, (m,) [shop's money]
    """

    hose_size: WordArray
    hose_type: WordArray
    type_index: IntArray
    bore: FloatArray
    bore_min: FloatArray
    bore_max: FloatArray
    outside_diameter: FloatArray
    least_bend_radius: FloatArray
    working_pressure_clamped: FloatArray
    working_pressure_crimped: FloatArray
    suction_limit_cold: FloatArray
    suction_limit_hot: FloatArray
    roll_length_m: FloatArray
    price_per_m: FloatArray

    def __len__(self) -> int:
        return int(self.hose_size.size)

    @property
    def wall(self) -> FloatArray:
        """Nominal wall, half of outside diameter less bore, (m,) [mm]."""
        return 0.5 * (self.outside_diameter - self.bore)

    def index_of(self, hose_size: str) -> int:
        """Place of a hose size.

        Raises
        ------
        InputError
            when there is no such hose size.
        """
        return position(self.hose_size, hose_size, "hose size")


@dataclass(frozen=True, eq=False, repr=False)
class CatalogueClamps:
    """Clamps, length c.

    Parameters
    ----------
    clamp : name, (c,)
    family : family of clamp, (c,)
    range_min : least outside diameter it closes on, (c,) [mm]
    range_max : greatest outside diameter it closes on, (c,) [mm]
    band_width : width of the band, (c,) [mm]
    price : price of one, (c,) [shop's money]
    """

    clamp: WordArray
    family: WordArray
    range_min: FloatArray
    range_max: FloatArray
    band_width: FloatArray
    price: FloatArray

    def __len__(self) -> int:
        return int(self.clamp.size)


@dataclass(frozen=True, eq=False, repr=False)
class CatalogueFittings:
    """Reducers, elbows, joiners and tees, length f.

    Parameters
    ----------
    fitting : name, (f,)
    kind : reducer, elbow, joiner or tee, (f,)
    nipple_a : outside diameter of the first nipple, (f,) [mm]
    nipple_b : outside diameter of the second nipple, (f,) [mm]
    angle_deg : angle it turns the line by, (f,) [deg]
    centreline_radius : centreline radius of its bend, (f,) [mm]
    length : from mouth to mouth, (f,) [mm]
    material : what it is made of, f texts
    suits : f tuples of groups of services
    remark : f texts
    price : price of one, (f,) [shop's money]
    """

    fitting: WordArray
    kind: WordArray
    nipple_a: FloatArray
    nipple_b: FloatArray
    angle_deg: FloatArray
    centreline_radius: FloatArray
    length: FloatArray
    material: Words
    suits: WordLists
    remark: Words
    price: FloatArray

    def __len__(self) -> int:
        return int(self.fitting.size)


@dataclass(frozen=True, eq=False, repr=False)
class CatalogueRolls:
    """Rolls in stock, length r.

    Parameters
    ----------
    roll : name, (r,)
    hose_size : name of the hose size on it, (r,)
    size_index : place of that size in the size columns, (r,)
    length_m : length left, (r,) [m]
    place : where it hangs, r texts
    date_made : date of make as year-month-day, quarter as 2021-Q3, or "", r texts
    """

    roll: WordArray
    hose_size: WordArray
    size_index: IntArray
    length_m: FloatArray
    place: Words
    date_made: Words

    def __len__(self) -> int:
        return int(self.roll.size)


@dataclass(frozen=True, eq=False, repr=False)
class Catalogue:
    """What a shop sells.

    Parameters
    ----------
    folder : where it was read
    types : hose types
    sizes : hose sizes
    clamps : clamps, none when the file is missing
    fittings : fittings, none when the file is missing
    rolls : rolls in stock, none when the file is missing
    today : to which the age of rolls is counted; None = their age is not asked about
    usual : what is usual in the shop where a job is silent
    currency : of its prices, as the shop writes it
    """

    folder: Path
    types: CatalogueTypes
    sizes: CatalogueSizes
    clamps: CatalogueClamps
    fittings: CatalogueFittings
    rolls: CatalogueRolls
    today: date | None = None
    usual: Usual = NO_USUAL
    currency: str = ""

    def spelled(self, hose: str, place: str = "HOSE") -> str:
        """Return a hose type or size as the catalogue spells it; capitals do not matter.

        Raises
        ------
        InputError
            when the catalogue holds no such hose, or several that differ in capitals alone.
        """
        hose = without_unseen(hose)  # of which no name of a catalogue has any
        names = dict.fromkeys((*self.types.hose_type, *self.sizes.hose_size))
        alike = [str(name) for name in names if str(name).casefold() == hose.casefold()]
        if hose in names:
            return hose
        if len(alike) != 1:
            raise InputError(place, f"'{hose}'", "a hose type or size of the catalogue")
        return alike[0]
