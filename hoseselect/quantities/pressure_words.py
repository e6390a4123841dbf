"""What only pressures have: vacuum, gauge and absolute."""

from __future__ import annotations

import re

from hoseselect.knowledge.errors import InputError, SideNeededError
from hoseselect.quantities.conversion import convert, definition_figure
from hoseselect.quantities.kinds import Kind, strange_unit
from hoseselect.quantities.numerals import Figure
from hoseselect.quantities.spelling import unit_key

_SUCTION = re.compile(r"\b(?:of )?(?:vacuum|vac\.?|suction|depression)\b(?: of)?", re.IGNORECASE)
_GAUGE = ("gauge", "gage", "pressure", "g")
_ABSOLUTE = ("absolute", "abs", "a")
_SIDE_NEEDED = {
    "torr",
    "standard_atmosphere",
    "inch_of_mercury",
    "millimeter_of_mercury",
}


def pressure_unit(figure: Figure, asked: Kind, text: str) -> tuple[str, int]:
    """Return the unit of a pressure, and -1 where a word says suction.

    Parameters
    ----------
    figure : the figure with the words before and after it
    asked : the kind "pressure"
    text : what was typed

    Raises
    ------
    SideNeededError : it may be a vacuum or a pressure
    InputError : unit unknown, absolute pressure, or inches of nothing
    """
    front, tail = _SUCTION.sub(" ", figure.front), _SUCTION.sub(" ", figure.tail)
    suction = front != figure.front or tail != figure.tail
    if front.strip():
        raise InputError("", f"'{text}'", f"only a figure and a unit: {asked.example}")
    key, side = _unit_and_side(unit_key(tail), asked)
    if not key:
        if side == "absolute":
            _refuse_absolute(figure.value, asked.working, text)
        if suction:
            raise InputError("", f"'{text}', a vacuum without a unit", asked.example)
        return asked.working, 0
    if key not in asked.words:
        _refuse_unit(key, asked, text)
    unit = asked.words[key]
    if key.startswith("mpa") and tail.strip().startswith("m"):
        raise InputError(
            "", f"'{text}', where mPa is a millionth of a kPa", "'MPa' (1000 kPa) or 'kPa'"
        )
    if side == "absolute":
        _refuse_absolute(figure.value, unit, text)
    if unit in _SIDE_NEEDED and figure.value > 0 and not suction and not side:
        raise SideNeededError(
            "",
            f"'{text}', which may be a vacuum or a pressure",
            f"'{text} vacuum' or '{text} gauge'",
        )
    return unit, -1 if suction else 0


def _unit_and_side(key: str, asked: Kind) -> tuple[str, str]:
    if key in asked.words:
        return key, ""
    for side, endings in (("absolute", _ABSOLUTE), ("gauge", _GAUGE)):
        for ending in endings:
            stem = key.removesuffix(ending)
            if stem != key and (stem in asked.words or (not stem and len(ending) > 1)):
                return stem, side
    return key, ""


def _refuse_absolute(value: float, unit: str, text: str) -> None:
    atmosphere = definition_figure("standard_atmosphere")
    gauge = convert(value, unit, "kilopascal") - atmosphere
    raise InputError(
        "",
        f"'{text}', an absolute pressure",
        f"a gauge pressure: absolute less the air pressure of the place; with the standard"
        f" atmosphere of {atmosphere:g} kPa it is {gauge:.1f} kPa",
    )


def _refuse_unit(key: str, asked: Kind, text: str) -> None:
    if key in {"in", '"', "inch", "inches", "mm"}:
        raise InputError(
            "",
            f"'{text}', a column without saying of what",
            "mercury or water: 'inHg' or 'inH2O', 'mmHg' or 'mmH2O'",
        )
    raise InputError("", strange_unit(text, key), asked.example)
