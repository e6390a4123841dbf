"""The door for the fields of a job: typed text with units becomes numbers and words."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator

from hoseselect.intake.faults import handed_on, shown
from hoseselect.intake.names import known_failure, known_fluid, known_service
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.quantities.length_words import without_radius
from hoseselect.quantities.read import read_answer, read_quantity
from hoseselect.quantities.spelling import BREAKS, is_unknown, without_unseen

NAN = math.nan
UNKNOWN = "unknown"
VACUUM = -101.325  # kPa gauge: no suction is deeper than the standard atmosphere
LONGEST = 100_000.0  # mm: a whole drum of hose
NO_DIAMETER: dict[str, Any] = {"minimum": 0.0, "maximum": LONGEST, "dash_means": "nothing"}
WIDEST = 1_000.0  # mm
HOTTEST = 2_000.0  # degC
STRONGEST = 1_000_000.0  # kPa
FASTEST = 1_000_000.0  # L/min
NOTHING = {"nothing", "none", "no"}


MOST_KEPT = 50_000
"""Distinct texts of one kind of field that are kept at once, a matter of memory."""


@dataclass(frozen=True, slots=True)
class Reads(BeforeValidator):
    """A validator that says what it reads.

    Parameters
    ----------
    kind : length, temperature, pressure, angle, flow, answer, fluids, service, word, run, place,
        direction or rocking
    """

    kind: str = ""


def guarded(read: Callable[[Any], Any], kind: str = "") -> Reads:
    """Return a validator that hands on what is wrong without the place, which the form knows."""

    def validate(value: Any) -> Any:
        try:
            return read(value)
        except HoseselectError as error:
            raise handed_on(error) from error

    return Reads(validate, kind=kind)


def once(read: Callable[[Any], Any]) -> Callable[[Any], Any]:
    """Return a reader that reads each distinct text once; its values must be frozen."""
    kept = lru_cache(maxsize=MOST_KEPT)(read)

    def read_once(value: Any) -> Any:
        return kept(value) if type(value) is str else read(value)

    return read_once


def quantity(kind: str, **bounds: Any) -> Reads:
    """Return a validator that reads a figure with its unit."""

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise InputError("", shown(value), EXAMPLES[kind])
        return read_quantity(value, kind, "", **bounds)

    return guarded(once(read), kind)


def radius() -> Reads:
    """Return a validator that reads a radius, with or without the word for it."""
    plain: Any = quantity("length", **NO_DIAMETER).func
    return Reads(lambda value: plain(without_radius(value)), kind="length")


EXAMPLES = {
    "length": 'a length such as "60 mm"',
    "temperature": 'a temperature such as "110 degC"',
    "pressure": 'a pressure such as "-65 kPa"',
    "angle": 'an angle such as "90 deg"',
    "flow": 'a flow such as "50 L/min"',
}


def word(value: Any) -> Any:
    """Return a word as it is compared: small letters, hyphens; "don't know" is unknown."""
    if not isinstance(value, str):
        return value
    if is_unknown(value):
        return UNKNOWN
    return value.strip().lower().replace("_", "-").replace(" ", "-")


def _answer(value: Any) -> str:
    if not isinstance(value, str | int | float):
        raise InputError("", shown(value), "yes, no or unknown")
    return read_answer(value, "")


def fluid_texts(value: Any) -> list[str]:
    """Return the names in what is said of fluids, each as typed.

    Raises
    ------
    InputError
        when it is neither text nor a list of texts.
    """
    if isinstance(value, str):
        value = [UNKNOWN] if is_unknown(value) else value.replace(";", ",").split(",")
    if not isinstance(value, list | tuple) or not all(isinstance(v, str) for v in value):
        raise InputError("", shown(value), 'a list of fluids, such as ["petrol-e10"]')
    return [UNKNOWN if is_unknown(text) else text.strip() for text in value]


def _fluids(value: Any) -> tuple[str, ...]:
    return tuple(text if text == UNKNOWN else known_fluid(text) for text in fluid_texts(value))


def _drips(value: Any) -> tuple[str, ...]:
    texts = fluid_texts(value)
    nothing = [text for text in texts if text.lower() in NOTHING]
    if nothing and len(texts) > 1:
        raise InputError("", f"'{nothing[0]}' beside something that drips", "one of the two")
    return () if nothing else _fluids(texts)


def _service(value: Any) -> str:
    if not isinstance(value, str):
        raise InputError("", shown(value), 'what the line does, such as "PCV hose"')
    return known_service(value)


class PublishedAs:
    """Says how a field stands in the published schema.

    Parameters
    ----------
    schema : JSON Schema of the field
    """

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> dict[str, Any]:
        """Return the schema that is published."""
        return dict(self.schema)


FIGURE = PublishedAs({"anyOf": [{"type": "number"}, {"type": "string"}]})
"""A figure in the published schema: a number in the working unit, or text with its unit."""

Length = Annotated[float, quantity("length", **NO_DIAMETER), FIGURE]
Radius = Annotated[float, radius(), FIGURE]
Diameter = Annotated[
    float, quantity("length", minimum=0.0, maximum=WIDEST, around_allowed=True), FIGURE
]
Bore = Annotated[
    float,
    quantity("length", minimum=0.0, maximum=WIDEST, around_allowed=True, dash_means="bore"),
    FIGURE,
]
Temperature = Annotated[float, quantity("temperature", maximum=HOTTEST), FIGURE]
Pressure = Annotated[float, quantity("pressure", minimum=VACUUM, maximum=STRONGEST), FIGURE]
Angle = Annotated[float, quantity("angle", minimum=-360.0, maximum=360.0), FIGURE]
Flow = Annotated[float, quantity("flow", minimum=0.0, maximum=FASTEST), FIGURE]
YesNo = Annotated[Literal["yes", "no", "unknown"], guarded(once(_answer), "answer")]
Fluids = Annotated[tuple[str, ...], guarded(once(_fluids), "fluids")]
Drips = Annotated[tuple[str, ...], guarded(once(_drips), "fluids")]
Service = Annotated[str, guarded(once(_service), "service")]
Word = Reads(once(word), kind="word")
FailureWord = guarded(once(known_failure), "word")


def checked_text(values: Any, place: str = "", depth: int = 0) -> Any:
    """Return what a job says without unseen breaks; refuse what no terminal and no paper can show.

    The name of a job may be written in any script, with joiners. Tables within tables without end
    are refused as well.

    Raises
    ------
    InputError
        naming the field.
    """
    if depth > DEEPEST:
        raise InputError(shown(place)[1:-1], f"more than {DEEPEST} tables in one another", A_KEY)
    if isinstance(values, Mapping):
        for key in values:
            _refuse_unseen(key, place)
        return {
            key: checked_text(value, f"{place}.{ascii(str(key))[1:-1]}".lstrip("."), depth + 1)
            for key, value in values.items()
        }
    if isinstance(values, list | tuple):
        return [checked_text(value, place, depth + 1) for value in values]
    if not isinstance(values, str):
        return values
    kept = without_unseen(values, BREAKS) if place == "name" else without_unseen(values)
    _refuse_unseen(without_unseen(kept), place)
    return kept


def _refuse_unseen(text: Any, place: str) -> None:
    if isinstance(text, str) and not text.isprintable():
        raise InputError(place or "job", ascii(text), "text without control characters")


DEEPEST = 10
"""Tables and lists in one another; a job has half as many."""

A_KEY = "one of the keys of a job file"
