"""The five files of a catalogue and their columns."""

from __future__ import annotations

from hoseselect.catalogue.file_form import (
    FLUID_FAMILIES,
    YES_NO,
    CatalogueField,
    CatalogueFile,
    length,
    pressure,
    price,
    remark,
    suction,
    temperature,
)

HOSE_TYPES = CatalogueFile(
    "hose_types.csv",
    "Hose types: liner, reinforcement, cover, temperature limits, claimed markings",
    (
        CatalogueField("hose_type", "key", "name of the hose type", required=True),
        CatalogueField("description", "text", "what the hose is, in a few words", required=True),
        CatalogueField(
            "liner",
            "alternatives",
            "polymer symbol of the liner (ISO 1629); A|B means one or the other; empty = not named",
            knowledge="polymers:symbol",
        ),
        CatalogueField(
            "reinforcement",
            "choice",
            "what carries the pressure between liner and cover",
            choices=("none", "textile", "wire", "textile-and-wire"),
        ),
        CatalogueField(
            "cover",
            "alternatives",
            "polymer symbol of the cover (ISO 1629); textile = a braid "
            "without a cover; empty = not named",
            choices=("textile",),
            knowledge="polymers:symbol",
        ),
        CatalogueField(
            "marking",
            "listed",
            "published markings the hose claims, parted by ;",
            knowledge="markings:marking",
        ),
        CatalogueField("print_line", "text", "the words printed along the hose"),
        temperature("temperature_continuous_degc", "highest steady temperature"),
        temperature("temperature_short_time_degc", "highest temperature for a short time"),
        temperature("temperature_cold_degc", "lowest temperature at which it may be flexed"),
        CatalogueField(
            "hardness_shore_a",
            "number",
            "hardness of the wall",
            "Shore A",
            above=0.0,
            maximum=100.0,
        ),
        CatalogueField(
            "fluids_claimed",
            "listed",
            "fluids the hose claims by itself, parted by ;",
            knowledge="fluids:fluid",
        ),
        CatalogueField("made_for_clamps", "choice", "made to be held by clamps", choices=YES_NO),
        CatalogueField("submersible", "choice", "made to lie in fuel", choices=YES_NO),
        CatalogueField(
            "family",
            "listed",
            "families of use that the maker states, parted by ;, where it claims no marking",
            knowledge="families:family",
            optional=True,
        ),
        CatalogueField(
            "not_for",
            "listed",
            "fluids, or families of fluids, that the maker excludes, parted by ;",
            choices=FLUID_FAMILIES,
            knowledge="fluids:fluid",
            optional=True,
        ),
        CatalogueField(
            "only_for",
            "listed",
            "fluids that it is made for and nothing else, parted by ;",
            knowledge="fluids:fluid",
            optional=True,
        ),
        remark(),
    ),
)

HOSE_SIZES = CatalogueFile(
    "hose_sizes.csv",
    "Hose sizes: bore, outside diameter, bend radius, pressure and suction limits, price",
    (
        CatalogueField("hose_size", "key", "name of the hose size", required=True),
        CatalogueField(
            "hose_type",
            "reference",
            "the hose type it belongs to",
            required=True,
            refers_to="hose_types.csv",
        ),
        length("bore_mm", "nominal bore", required=True),
        length("bore_min_mm", "least bore"),
        length("bore_max_mm", "greatest bore"),
        length("outside_diameter_mm", "nominal outside diameter"),
        length("least_bend_radius_mm", "least bend radius on the centreline"),
        pressure("working_pressure_clamped_kpa", "working pressure held by clamps"),
        pressure("working_pressure_crimped_kpa", "working pressure with crimped ends"),
        suction("suction_limit_cold_kpa", "suction limit at 23 degC, negative gauge"),
        suction(
            "suction_limit_hot_kpa", "suction limit at the continuous temperature, negative gauge"
        ),
        CatalogueField("roll_length_m", "number", "length of a full roll", "m", above=0.0),
        price("price_per_m", "price of a metre"),
    ),
)

CLAMPS = CatalogueFile(
    "clamps.csv",
    "Clamps: family and range of outside diameters",
    (
        CatalogueField("clamp", "key", "name of the clamp", required=True),
        CatalogueField(
            "family", "choice", "family of clamp", required=True, knowledge="clamp_families:family"
        ),
        length("range_min_mm", "least outside diameter it closes on", required=True),
        length("range_max_mm", "greatest outside diameter it closes on", required=True),
        length("band_width_mm", "width of the band"),
        price("price", "price of one"),
    ),
    optional=True,
)

FITTINGS = CatalogueFile(
    "fittings.csv",
    "Fittings: reducers, elbows, joiners and tees",
    (
        CatalogueField("fitting", "key", "name of the fitting", required=True),
        CatalogueField(
            "kind",
            "choice",
            "what it is",
            required=True,
            choices=("reducer", "elbow", "joiner", "tee"),
        ),
        length("nipple_a_mm", "outside diameter of its first nipple", required=True),
        length("nipple_b_mm", "outside diameter of its second nipple", required=True),
        CatalogueField(
            "angle_deg",
            "number",
            "angle it turns the line by, 0 = straight",
            "deg",
            minimum=0.0,
            maximum=180.0,
        ),
        length("centreline_radius_mm", "centreline radius of its bend"),
        CatalogueField(
            "length_mm",
            "number",
            "length from mouth to mouth, for a reducer or joiner",
            "mm",
            above=0.0,
            optional=True,
        ),
        CatalogueField("material", "text", "what it is made of"),
        CatalogueField(
            "suits",
            "listed",
            "groups of services it is made for, parted by ;",
            knowledge="services:group",
        ),
        remark(),
        price("price", "price of one"),
    ),
    optional=True,
)

ROLLS = CatalogueFile(
    "rolls.csv",
    "Rolls in stock",
    (
        CatalogueField("roll", "key", "name of the roll", required=True),
        CatalogueField(
            "hose_size",
            "reference",
            "the hose size on the roll",
            required=True,
            refers_to="hose_sizes.csv",
        ),
        CatalogueField("length_m", "number", "length left on the roll", "m", True, above=0.0),
        CatalogueField("place", "text", "where it hangs"),
        CatalogueField(
            "date_made",
            "date",
            "date of make: year-month-day, or quarter of its label as 2021-Q3",
        ),
    ),
    optional=True,
)

TABLES = (HOSE_TYPES, HOSE_SIZES, CLAMPS, FITTINGS, ROLLS)
