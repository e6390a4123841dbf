"""Words that stand in the headings of suppliers' sheets, for each column of a catalogue.

Trade words only. A phrase counts when all of its words stand in the heading; the phrase with most
words wins, so that "min bore" is the least bore and not the bore.
"""

from __future__ import annotations

import re
from functools import lru_cache

from hoseselect.quantities.heading_units import is_unit

PHRASES: dict[str, str] = {
    "hose_type": "hose type|type|quality|series|grade|range|family|style",
    "description": "description|name|designation|text",
    "liner": "liner|tube|inner tube|lining|inner|tube material|liner material|material|polymer"
    "|compound|rubber",
    "reinforcement": "reinforcement|reinforcing|braid|textile|insert|ply|plies|carcass",
    "cover": "cover|outer|cover material|outer cover|jacket",
    "marking": "marking|standard|specification|spec|norm|approval|approvals|standards",
    "print_line": "print line|print|branding|print on hose|layline|lay line",
    "temperature_continuous_degc": "max temp|temp max|temperature max|continuous temperature"
    "|max temperature|temperature continuous|working temperature|max working temperature"
    "|temp|upper temperature",
    "temperature_short_time_degc": "short time temperature|short temp|peak temp|intermittent temp"
    "|minutes temp|momentary temp|brief temp|temporary temp|max temp short time",
    "temperature_cold_degc": "min temp|temp min|temperature min|min temperature|cold"
    "|lower temperature|low temperature|cold temperature|temperature cold|min working temperature",
    "hardness_shore_a": "hardness|shore|shore a|hardness shore a|durometer",
    "fluids_claimed": "fluids|media|medium|suitable for|fluids claimed",
    "made_for_clamps": "made for clamps|clamps|clampable|for clamps",
    "submersible": "submersible|in tank|immersible",
    "remark": "remark|remarks|note|notes|comment|comments",
    "hose_size": "hose size|part no|part number|part|article|article no|item|item no|item number"
    "|sku|code|order code|stock code|part code|product code|ref|reference",
    "bore_mm": "bore|id|i d|inside|inside dia|inside diameter|inner dia|inner diameter"
    "|internal dia|internal diameter|nominal bore|bore nominal|bore nom|nom bore",
    "bore_min_mm": "bore min|min bore|id min|min id|bore minimum|minimum bore|min inside diameter",
    "bore_max_mm": "bore max|max bore|id max|max id|bore maximum|maximum bore|max inside diameter",
    "outside_diameter_mm": "od|o d|outside|outside dia|outside diameter|outer dia|outer diameter"
    "|external dia|external diameter",
    "least_bend_radius_mm": "bend radius|min bend radius|minimum bend radius|least bend radius"
    "|bending radius|min bending radius|radius|mbr",
    "working_pressure_clamped_kpa": "working pressure|wp|w p|max working pressure"
    "|working pressure clamped|clamped pressure|pressure|max pressure|working pressure clamps",
    "working_pressure_crimped_kpa": "working pressure crimped|crimped pressure|wp crimped"
    "|w p crimped|max working pressure crimped",
    "suction_limit_cold_kpa": "vacuum|suction|max vacuum|suction limit|suction limit cold"
    "|vacuum limit|vacuum rating|vacuum cold",
    "suction_limit_hot_kpa": "suction limit hot|hot suction|hot vacuum|vacuum hot|suction hot",
    "roll_length_m": "roll length|roll|coil|coil length|length|reel|reel length|length per roll",
    "price_per_m": "price|price per m|price per metre|price per meter|price m|price ft"
    "|price per ft|price per foot|list price|net price",
    "clamp": "clamp|clamp code|part no|part number|article|item|sku|code|order code",
    "family": "family|clamp type|type|style",
    "range_min_mm": "range min|min range|min dia|min diameter|min|dia min|diameter min|from",
    "range_max_mm": "range max|max range|max dia|max diameter|max|dia max|diameter max|to",
    "band_width_mm": "band width|band|width",
    "fitting": "fitting|part no|part number|article|item|sku|code|order code",
    "kind": "kind|type|form|style|shape",
    "nipple_a_mm": "nipple a|end a|dia a|diameter a|spigot a|barb a|tail a",
    "nipple_b_mm": "nipple b|end b|dia b|diameter b|spigot b|barb b|tail b",
    "angle_deg": "angle",
    "centreline_radius_mm": "centreline radius|centerline radius|bend radius|radius",
    "material": "material",
    "suits": "suits|suitable for|use",
    "price": "price|list price|net price|price each",
    "roll": "roll|roll no|roll number|reel|reel no|coil|coil no|batch|label",
    "length_m": "length|length left|left|metres|meters|stock",
    "place": "place|location|rack|bin|shelf",
    "date_made": "date made|date|date of make|made|manufactured|production date",
}

_WORD = re.compile(r"[^\W_]+")
_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")
_MINUTES = re.compile(r"(?<=\d)\s*min(?:s|ute|utes)?\b")
_SAME = {
    "minimum": "min",
    "maximum": "max",
    "mins": "min",
    "temp": "temperature",
    "temps": "temperature",
    "temperatures": "temperature",
    **dict.fromkeys(("crimp", "crimps", "swaged", "ferrule", "ferrules"), "crimped"),
}


@lru_cache(maxsize=4096)
def heading_words(heading: str) -> frozenset[str]:
    """Return the words of a heading; what stands in brackets counts where it is no unit."""
    bare = _BRACKETS.sub(lambda found: " " if is_unit(found[1]) else f" {found[1]} ", heading)
    plain = _MINUTES.sub(" minutes", bare.replace("_", " ").replace(".", " ").casefold())
    return frozenset(_SAME.get(word, word) for word in _WORD.findall(plain))


def likeness(heading: str, column: str) -> float:
    """Return how well a heading fits a column: words of the best phrase, less what is left over.

    Parameters
    ----------
    heading : heading of a sheet
    column : heading of the catalogue

    Returns
    -------
    0 where no phrase fits
    """
    words = heading_words(heading)
    best = 0.0
    for phrase in (*PHRASES.get(column, "").split("|"), column.replace("_", " ")):
        asked = heading_words(phrase)
        if asked and asked <= words:
            best = max(best, len(asked) - 0.1 * len(words - asked))
    return best
