"""Bend rules; those of a free route are judged on the solved shape, which is taken as told."""

from __future__ import annotations

from .compare import NOTHING, Said, banded, estimated, plain, to_measure
from .registry import Hose, Job, rule
from .tables import limit

INFINITE = float("inf")


@rule("bend-radius", "tightest_radius")
def bend_radius(job: Job, hose: Hose) -> Said:
    """Tightest bend against the least bend radius, stated or estimated."""
    tight, stated = job["tightest_radius"], hose["least_bend_radius"]
    if tight == INFINITE:
        return NOTHING
    if stated is not None:
        said = banded(tight, stated, stated, least=True)
    else:
        said = estimated(tight, hose["kink_sure"], hose["kink_least"], least=True)
    return to_measure(said) if tight is None and said.caution is not None else said


@rule("bend-lead", "lead")
def bend_lead(job: Job, hose: Hose) -> Said:
    """Shorter straight at the ends of a run against a multiple of the outside diameter."""
    if job["lead"] is None:
        return NOTHING
    outside = hose["outside_diameter"]
    wanted = None if outside is None else limit("lead-per-outside-diameter") * outside
    return banded(job["lead"], wanted, -INFINITE, least=True)


@rule("bend-window", "window_width, window_needed, narrow_window, narrow_needed")
def bend_window(job: Job, hose: Hose) -> Said:
    """Window of lengths of a free or a short measured route against the tolerance of the cut."""
    if job["window_needed"] is not None:
        return banded(job["window_width"], job["window_needed"], job["window_needed"], least=True)
    if job["narrow_window"] is None:
        return NOTHING
    return banded(job["narrow_window"], job["narrow_needed"], -INFINITE, least=True)


def least_radius(hose: Hose) -> float | None:
    """Return the radius that a hose surely takes: as stated, else as estimated."""
    stated = hose["least_bend_radius"]
    return hose["kink_sure"] if stated is None else stated


@rule("bend-margin", "tightest_radius, margin_wanted")
def bend_margin(job: Job, hose: Hose) -> Said:
    """Tightest bend of a free route, with its margin for flattening and twist."""
    if job["margin_wanted"] is None:
        return NOTHING
    least = least_radius(hose)
    wanted = None if least is None else least * (1 + job["margin_wanted"])
    return banded(job["tightest_radius"], wanted, -INFINITE, least=True)


@rule("bend-measuring", "error_stood, error_told")
def bend_measuring(job: Job, hose: Hose) -> Said:
    """Errors of measuring that the cut of a free route stands; measured with care at least."""
    if job["error_told"] is None:
        return NOTHING
    careful = min(limit("careful-tape-error"), job["error_told"])
    return banded(job["error_stood"], job["error_told"], careful, least=True)


@rule("bend-set", "error_told, set_any_side")
def bend_set(job: Job, hose: Hose) -> Said:
    """Whether the cut holds to whichever side the set of the roll lies."""
    if job["error_told"] is None:
        return NOTHING
    return banded(job["set_any_side"], 1.0, -INFINITE, least=True)


@rule("bend-second-shape", "other_radius")
def bend_second_shape(job: Job, hose: Hose) -> Said:
    """Another way in which a free route can lie must be wide enough as well."""
    if job["other_radius"] is None or job["other_radius"] == INFINITE:
        return NOTHING
    return plain(job["other_radius"], least_radius(hose), least=True)


@rule("bend-weight", "weight_number")
def bend_weight(job: Job, hose: Hose) -> Said:
    """Own weight against bending stiffness, above which the hose wants a clip."""
    if job["weight_number"] is None:
        return NOTHING
    return banded(job["weight_number"], limit("gravity-number-count"), INFINITE)
