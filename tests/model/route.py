"""Route rules."""

from __future__ import annotations

import math

from .compare import ACCEPT, CONDITIONAL, NOTHING, UNKNOWN, Said, banded, plain, to_measure
from .lengths import with_slack
from .registry import Hose, Job, rule
from .tables import limit

FREEZING = 0.0
NO_FALL = {"yes": 0.0, "no": 1.0, "unknown": None}


@rule("route-length", "movement, piece, bare_length")
def route_length(job: Job, hose: Hose) -> Said:
    """A piece already cut against tip to tip, engagement and movement."""
    if job["piece"] is None:
        return NOTHING
    bare, moved = job["bare_length"], job["movement"]
    needed = None if bare is None or moved is None else bare + moved
    return plain(job["piece"], needed, least=True)


@rule("route-excess", "movement, piece, longest_length")
def route_excess(job: Job, hose: Hose) -> Said:
    """A piece already cut against the longest that published slack allows."""
    if job["piece"] is None:
        return NOTHING
    still, moved = job["longest_length"], job["movement"]
    most = None if still is None or moved is None else still + with_slack(moved)
    return banded(job["piece"], most, float("inf"))


@rule("route-low-spot", "service, coldest_start, low_spot")
def route_low_spot(job: Job, hose: Hose) -> Said:
    """A low spot on a crankcase line that sees frost, and on the drain of a turbocharger."""
    if job["row"]["low_spot_matters"] != "yes":
        return NOTHING
    coldest = job["coldest_start"]
    if job["row"]["fall_required"] != "yes" and (coldest is None or coldest >= FREEZING):
        return NOTHING
    spot = {"yes": 1.0, "no": 0.0, "unknown": None}[job["low_spot"]]
    return banded(spot, 0.0, 1.0)


@rule("route-fall", "service, fall")
def route_fall(job: Job, hose: Hose) -> Said:
    """Drains fall all the way."""
    if job["row"]["fall_required"] != "yes":
        return NOTHING
    return plain(NO_FALL[job["fall"]], 0.0)


@rule("route-insert", "service, insert")
def route_insert(job: Job, hose: Hose) -> Said:
    """Somebody must have looked inside the old hose; what nobody can name is shown to somebody."""
    if job["insert"] == "something":
        return Said(UNKNOWN)
    if job["row"]["insert_possible"] != "yes":
        return NOTHING
    return Said(CONDITIONAL) if job["insert"] == "unknown" else Said(ACCEPT, 0.0)


@rule("route-movement", "tip_length, movement")
def route_movement(job: Job, hose: Hose) -> Said:
    """Movement along the hose as a share of the free length."""
    tip, moved = job["tip_length"], job["movement"]
    share = None if tip is None or moved is None else moved / tip if tip else None
    return to_measure(
        banded(share, limit("movement-share-careful"), limit("movement-share-reject"))
    )


@rule("route-clearance", "keep_outs, clearance_left")
def route_clearance(job: Job, hose: Hose) -> Said:
    """Gap to every keep-out of a free route, less the clearance it wants."""
    if job["keep_outs"] != "yes":
        return NOTHING
    return plain(job["clearance_left"], 0.0, least=True)


@rule("route-measuring", "keep_outs, error_clear, error_told")
def route_measuring(job: Job, hose: Hose) -> Said:
    """Errors of measuring with which a free route keeps clear."""
    if job["keep_outs"] != "yes" or job["error_told"] is None:
        return NOTHING
    return banded(job["error_clear"], job["error_told"], -math.inf, least=True)
