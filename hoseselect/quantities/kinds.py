"""The kinds of figure that can be asked for, with their working units and natural limits."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.spelling import unit_key
from hoseselect.quantities.unit_words import OTHER_WORDS, UNIT_WORDS


@dataclass(frozen=True)
class Kind:
    """One kind of figure.

    Parameters
    ----------
    name : the kind
    described : with its article, as it stands in a sentence
    working : working unit, as in `units.txt`; empty where there is only one
    sign : working unit as it is printed
    example : what would be right, as it stands in a sentence
    minimum : least value that makes sense [working unit]
    maximum : greatest value that makes sense [working unit]
    words : unit for each way of writing it
    """

    name: str
    described: str
    working: str
    sign: str
    example: str
    minimum: float
    maximum: float
    words: dict[str, str] = field(repr=False)


def _words(name: str) -> dict[str, str]:
    return {
        unit_key(word): unit
        for unit, written in UNIT_WORDS[name].items()
        for word in written.split("|")
    }


_ABSOLUTE_ZERO = -273.15  # degC, SI Brochure: definition of the degree Celsius

_LISTED = (
    Kind(
        name="length",
        described="a length",
        working="millimeter",
        sign="mm",
        example="a length in mm, cm, m, in or ft, such as '9.5 mm' or '3/8 in'",
        minimum=0.0,
        maximum=math.inf,
        words=_words("length"),
    ),
    Kind(
        name="pressure",
        described="a pressure",
        working="kilopascal",
        sign="kPa",
        example="a gauge pressure in kPa, bar, psi, MPa, inHg or inH2O,"
        " such as '100 kPa', '15 psi' or '22 inHg vacuum'",
        minimum=-definition_figure("standard_atmosphere"),
        maximum=math.inf,
        words=_words("pressure"),
    ),
    Kind(
        name="temperature",
        described="a temperature",
        working="degree_Celsius",
        sign="°C",
        example="a temperature in °C, °F or K, such as '110 °C' or '230 °F'",
        minimum=_ABSOLUTE_ZERO,
        maximum=math.inf,
        words=_words("temperature"),
    ),
    Kind(
        name="angle",
        described="an angle",
        working="degree",
        sign="°",
        example="an angle in deg or rad, such as '90 deg'",
        minimum=-math.inf,
        maximum=math.inf,
        words=_words("angle"),
    ),
    Kind(
        name="flow",
        described="a volume flow",
        working="liter / minute",
        sign="L/min",
        example="a volume flow in L/min, L/s, L/h, m3/h, cfm, 'US gal/min' or"
        " 'imp gal/min', such as '50 L/min'",
        minimum=0.0,
        maximum=math.inf,
        words=_words("flow"),
    ),
    Kind(
        name="torque",
        described="a torque",
        working="newton * meter",
        sign="N m",
        example="a torque in N m, lbf ft, lbf in or kgf m, such as '4.5 N m'",
        minimum=0.0,
        maximum=math.inf,
        words=_words("torque"),
    ),
    Kind(
        name="force",
        described="a force",
        working="newton",
        sign="N",
        example="a force in N, kN, lbf or kgf, such as '20 N'",
        minimum=-math.inf,
        maximum=math.inf,
        words=_words("force"),
    ),
    Kind(
        name="hardness",
        described="a hardness",
        working="",
        sign="Shore A",
        example="a hardness Shore A from 0 to 100, such as '65'",
        minimum=0.0,
        maximum=100.0,
        words=_words("hardness"),
    ),
    Kind(
        name="count",
        described="a count",
        working="",
        sign="",
        example="a whole number, such as '4'",
        minimum=0.0,
        maximum=math.inf,
        words=_words("count"),
    ),
    Kind(
        name="money",
        described="an amount of money",
        working="",
        sign="",
        example="a plain number without a currency, such as '4.20'",
        minimum=0.0,
        maximum=math.inf,
        words=_words("money"),
    ),
)

KINDS: dict[str, Kind] = {kind.name: kind for kind in _LISTED}


def kind_named(name: str) -> Kind:
    """Return a kind of figure by its name.

    Raises
    ------
    KnowledgeError : there is no such kind
    """
    if name not in KINDS:
        raise KnowledgeError("kind of figure", f"'{name}'", "one of " + ", ".join(KINDS))
    return KINDS[name]


def strange_unit(text: str, key: str) -> str:
    """Return what was found where a unit does not fit, named if it can be.

    Parameters
    ----------
    text : what was typed
    key : the unit as it is looked up
    """
    if key.removesuffix("vacuum").removesuffix("suction") in KINDS["pressure"].words:
        return f"'{text}', a pressure"
    for kind in KINDS.values():
        if key in kind.words:
            return f"'{text}', {kind.described}"
    for described, written in OTHER_WORDS.items():
        if key in {unit_key(word) for word in written.split("|")}:
            return f"'{text}', {described}"
    if any(sign.isdigit() for sign in key):
        return f"'{text}', more than one figure"
    return f"'{text}', where '{key}' is no known unit"
