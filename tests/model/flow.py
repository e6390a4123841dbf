"""Flow rules."""

from __future__ import annotations

import math

from .compare import NOTHING, Said, banded
from .registry import Hose, Job, rule
from .tables import constant, limit

LAMINAR = 4.0  # power of the bore in laminar flow and in connections
CUBIC_METRES_PER_SECOND = 1 / 60_000  # of one L/min


@rule("flow-loss", "original_bore")
def flow_loss(job: Job, hose: Hose) -> Said:
    """Loss of the bore over that of the original, at equal flow, turbulent in a smooth pipe."""
    if job["original_bore"] is None:
        return NOTHING
    narrower = job["original_bore"] / hose["bore"]
    times = max(narrower ** (5 - constant("blasius-exponent")), narrower**LAMINAR)
    return banded(times, limit("flow-loss-ratio-accept"), limit("flow-loss-ratio-reject"))


@rule("flow-pressure", "service, flow, tip_length")
def flow_pressure(job: Job, hose: Hose) -> Said:
    """Pressure that crankcase gas loses in hose and connections at the stated flow."""
    if job["service"] != "crankcase-breather" or job["flow"] is None:
        return NOTHING
    lost = None if job["tip_length"] is None else loss(job["flow"], hose["bore"], job["tip_length"])
    return banded(lost, limit("crankcase-pressure-high"), limit("crankcase-pressure-highest"))


def loss(flow: float, bore: float, length: float) -> float:
    """Return the loss by Darcy and Weisbach, friction by Blasius or laminar [kPa]."""
    if flow == 0:
        return 0.0
    density, width = limit("crankcase-gas-density"), bore / 1000
    speed = flow * CUBIC_METRES_PER_SECOND / (math.pi / 4 * width**2)
    reynolds = density * speed * width / limit("crankcase-gas-viscosity")
    if reynolds <= constant("laminar-reynolds-up-to"):
        friction = constant("laminar-friction") / reynolds
    else:
        friction = constant("blasius-friction") / reynolds ** constant("blasius-exponent")
    along = friction * (length / 1000) / width
    return (along + limit("connections-loss")) * density / 2 * speed**2 / 1000
