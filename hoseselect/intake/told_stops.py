"""Stops that a job has told once: no option and no later answer lifts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.intake.door import UNKNOWN, fluid_texts, word
from hoseselect.intake.names import known_fluid, known_service
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import FEATURES, STOP_FLUID


def told_stops(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the line, fluids and features of a job, as typed, each a stop by itself.

    Parameters
    ----------
    values : keys as in a job file
    """
    told = {"service": values["service"]} if _is_stopped(values.get("service")) else {}
    told |= {key: values[key] for key in FLUIDS if _holds_a_stop(values.get(key))}
    features = values.get("features")
    if not isinstance(features, Mapping):
        return told
    for key, stopping in FEATURES.items():
        typed = features.get(key)
        if isinstance(typed, str) and word(typed) in stopping:
            told[f"features.{key}"] = typed
    return told


FLUIDS = ("fluids", "drips")


def _holds_a_stop(typed: Any) -> bool:
    """Return whether one of some fluids is named only in a stop, such as gas fuel."""
    try:
        texts = [] if typed is None else fluid_texts(typed)
    except HoseselectError:  # its own field says what is wrong with it
        return False
    return any(map(_is_stop_fluid, texts))


def _is_stop_fluid(text: str) -> bool:
    try:
        fluid = UNKNOWN if text == UNKNOWN else known_fluid(text)
    except HoseselectError:
        return False
    stop = fluid.removeprefix(STOP_FLUID)
    return fluid.startswith(STOP_FLUID) and stop not in LIFTED_BY_KNOWING


def _is_stopped(typed: Any) -> bool:
    """Return whether a line is known for sure, and is a stop whatever else is told."""
    try:
        line = known_service(typed)
        return table("stops").has(stop=line) and line not in LIFTED_BY_KNOWING
    except HoseselectError:  # its own field says what is wrong with it
        return False


LIFTED_BY_KNOWING = ("unknown-service", "steering-unknown-side", "injection-pressure-unknown")
"""Stops that stand only as long as somebody does not know which line it is."""
