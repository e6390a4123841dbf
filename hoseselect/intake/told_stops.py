"""Stops that a job has told once: no option and no later answer lifts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.intake.door import word
from hoseselect.rules.stop import END_FITTINGS, INSERTS, PLACES

STOPPING = (("end_fitting", END_FITTINGS), ("place", PLACES), ("insert", INSERTS))


def told_stops(values: Mapping[str, Any]) -> dict[str, str]:
    """Return the fields of a job, as typed, that say crimped or quick-connect ends, boat, aircraft.

    Parameters
    ----------
    values : keys as in a job file
    """
    features = values.get("features")
    if not isinstance(features, Mapping):
        return {}
    told = {}
    for key, stopping in STOPPING:
        typed = features.get(key)
        if isinstance(typed, str) and word(typed) in stopping:
            told[f"features.{key}"] = typed
    return told
