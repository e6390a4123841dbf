"""Stops that a job has told once: no option and no later answer lifts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.intake.door import word
from hoseselect.intake.names import known_service
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import FEATURES


def told_stops(values: Mapping[str, Any]) -> dict[str, str]:
    """Return the line and the features of a job, as typed, each of which is a stop by itself.

    Parameters
    ----------
    values : keys as in a job file
    """
    told = {"service": values["service"]} if _is_stopped(values.get("service")) else {}
    features = values.get("features")
    if not isinstance(features, Mapping):
        return told
    for key, stopping in FEATURES.items():
        typed = features.get(key)
        if isinstance(typed, str) and word(typed) in stopping:
            told[f"features.{key}"] = typed
    return told


def _is_stopped(typed: Any) -> bool:
    """Return whether a line is known for sure, and is a stop whatever else is told."""
    try:
        line = known_service(typed)
        return table("stops").has(stop=line) and line not in LIFTED_BY_KNOWING
    except HoseselectError:  # its own field says what is wrong with it
        return False


LIFTED_BY_KNOWING = ("unknown-service", "steering-unknown-side", "injection-pressure-unknown")
"""Stops that stand only as long as somebody does not know which line it is."""
