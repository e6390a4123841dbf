"""Stops that a job has told once: no option and no later answer lifts them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.intake.door import word
from hoseselect.rules.stop import FEATURES


def told_stops(values: Mapping[str, Any]) -> dict[str, str]:
    """Return the features of a job, as typed, each of which is a stop by itself.

    Parameters
    ----------
    values : keys as in a job file
    """
    features = values.get("features")
    if not isinstance(features, Mapping):
        return {}
    told = {}
    for key, stopping in FEATURES.items():
        typed = features.get(key)
        if isinstance(typed, str) and word(typed) in stopping:
            told[f"features.{key}"] = typed
    return told
