"""Sizes that are unusual for a line, read back with what they may have been meant to be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from hoseselect.intake.counter_question import Choice
from hoseselect.intake.names import line_name
from hoseselect.intake.plausibility import is_bare
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.figure_text import format_quantity
from hoseselect.quantities.read import read_quantity

KEYS = ("nipple_a.outside_diameter", "nipple_b.outside_diameter")


def read_back(service: str, values: Mapping[str, object]) -> tuple[str, tuple[Choice, ...]] | None:
    """Return the question about a size that is unusual for a line, and what it may mean.

    Parameters
    ----------
    service : id of the service
    values : what one reply says, by dotted key

    Returns
    -------
    question and choices; None where nothing is unusual or nothing is known of the line
    """
    ends = _usual(service)
    for key in KEYS:
        text = str(values.get(key, "unknown"))
        if ends is None or text == "unknown":
            continue
        size = read_quantity(text, "length", key, around_allowed=True)
        if ends[0] <= size <= ends[1]:
            continue
        shown = format_quantity(size, "length")
        usual = f"{ends[0]:g} to {ends[1]:g} mm"
        question = f"{shown} across for this line ({line_name(service)})? Usual is {usual}."
        alike = [other for other in KEYS if values.get(other) == values[key]]
        as_said = Choice(f"yes, {shown} across", _sets(alike, f"{size:g} mm"), ("yes",))
        others = tuple(_others(alike, text, ends))
        return question, (as_said, *others)
    return None


def _usual(service: str) -> tuple[float, float] | None:
    """Return the usual sizes of a line, else those of its group, None where none is known."""
    rows = table("services").where(service=service)
    for line in (service, *(row["group"] for row in rows)):
        for row in table("usual_nipples").where(line=line):
            return row.number("least"), row.number("most")
    return None


def _sets(keys: list[str], text: str) -> tuple[tuple[str, str], ...]:
    return tuple((key, text) for key in keys)


def _others(keys: list[str], text: str, ends: tuple[float, float]) -> Iterator[Choice]:
    """Yield what the same figure would be round the nipple, or in another unit, where usual."""
    said = [f"{text} round"]
    if is_bare(text):
        said += [f"{text} in", f"{text} cm", f"{text} cm round"]
    for other in said:
        try:
            size = read_quantity(other, "length", keys[0], around_allowed=True)
        except InputError:
            continue
        if not math.isnan(size) and ends[0] <= size <= ends[1]:
            label = f"it is {other} ({format_quantity(size, 'length')} across)"
            yield Choice(label, _sets(keys, other))
