"""Route rules: length, low spots, fall, what sat in the old hose."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit

FREEZING = 0.0


def _across(hoses: HoseColumns) -> Array:
    return np.zeros((1, len(hoses.sizes)))


def given_and_needed(jobs: JobView) -> tuple[Array, Array]:
    """Return the length of a piece already cut, and the one needed; NaN where none is cut [mm]."""
    given = jobs.piece
    return given, np.where(np.isnan(given), np.nan, jobs.bare_length + jobs.movement)


def given_and_longest(jobs: JobView) -> tuple[Array, Array]:
    """Return the length of a piece already cut, and the longest; NaN where none is cut [mm]."""
    given = jobs.piece
    longest = jobs.longest_length + jobs.movement / (1 - limit("slack-max-share"))
    return given, np.where(np.isnan(given), np.nan, longest)


@rule(of=given_and_needed)
def route_length(piece: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Length of a piece that is already cut.

    What it checks
        A piece already cut, or the length of the hose that came off, against tip to tip plus
        engagement plus movement.
    Why it matters
        A hose that is taut at full engine roll pulls off or breaks the nipple. Clamps are no cure.
    Example
        350 mm cut where 375 mm is needed: refused, cut anew.
    Source
        The sum of the cut plan.
    """
    given, needed = piece
    return Comparison(given, needed + _across(hoses), sense="at_least", applies=~np.isnan(given))


@rule(of=given_and_longest)
def route_excess(piece: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Excess length of a piece that is already cut.

    What it checks
        A piece already cut against the longest that the published share of slack allows.
    Why it matters
        Too long is as bad as too short: the hose sags, rubs, kinks and holds water.
    Example
        900 mm cut for a line of 460 mm: conditional, trim it first.
    Source
        NAVEDTRA 14105, p. 5-11: slack of 5 to 8 % of the total length.
    """
    given, longest = piece
    return Comparison(
        given,
        _across(hoses) + np.inf,
        caution=longest + _across(hoses),
        applies=~np.isnan(given),
    )


def low_spot_in_frost(jobs: JobView) -> tuple[Array, Array]:
    """Return 1 for a low spot, 0 for none, NaN where it is not known, and whether it matters."""
    services = service_columns()
    frost = (jobs.coldest_start < FREEZING) | services.fall_required[jobs.service]
    return jobs.low_spot.as_float, services.low_spot_matters[jobs.service] & frost


@rule(of=low_spot_in_frost)
def route_low_spot(line: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Low spot in which water freezes or oil stands.

    What it checks
        On crankcase lines, breathers and vents that see frost, and on lines that must fall all the
        way, a low spot in the route.
    Why it matters
        Water in crankcase gas freezes in a sag, the crankcase is closed and the seals blow out.
    Example
        Breather with a sag, winter starts at -25 degC: conditional, take the sag out.
    Source
        Common practice, no source.
    """
    demand, matters = line
    return Comparison(demand, _across(hoses) + 1.0, caution=_across(hoses), applies=matters)


@rule()
def route_fall(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Steady fall of a line that drains by weight.

    What it checks
        Turbocharger drains and open drains must fall all the way.
    Why it matters
        Oil that stands in the drain floods the seals of the turbocharger: blue smoke.
    Example
        Turbocharger drain with a rise in it: refused.
    Source
        Common practice, no source.
    """
    needed = service_columns().fall_required[jobs.service]
    demand = 1.0 - jobs.fall.as_float
    return Comparison(demand, _across(hoses), applies=needed)


@rule()
def route_insert(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """What sat inside the old hose.

    What it checks
        Where restrictors, check valves or flame traps are usual, somebody must have looked inside
        the old hose. A part that was found goes into the new hose, same place and direction. One
        that nobody can name is shown to somebody who can, on any line, before a hose is chosen.
    Why it matters
        A lost restrictor bursts the heater core; a lost check valve lets boost into the crankcase.
    Example
        "Don't know": conditional, feel for a hard ring first.
    Source
        Common practice, no source.
    """
    matters = service_columns().insert_possible[jobs.service]
    unknown, unnamed = jobs.insert.unknown, jobs.insert.unnamed
    return Comparison(
        np.where(unknown | unnamed, np.nan, 0.0),
        _across(hoses),
        measurable=unknown,
        applies=matters | unnamed,
    )


@rule()
def route_movement(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Movement of the ends against the length of the line.

    What it checks
        Movement along the hose between engine and body, as a share of the free length, against the
        share above which a string measure no longer tells what the hose does, and the one from
        which no measured length serves. Where either is not known, it is looked at before the hose
        is fitted.
    Why it matters
        A short hose that must take up much movement kinks at one extreme and pulls at the other.
    Example
        25 mm of movement on 60 mm of free hose: conditional, describe the route as free.
    Source
        Common practice, no source.
    """
    share = jobs.movement / np.where(jobs.tip_length > 0, jobs.tip_length, np.nan)
    most = _across(hoses) + limit("movement-share-careful")
    return Comparison(
        share,
        _across(hoses) + limit("movement-share-reject"),
        caution=most,
        measurable=np.isnan(share),
        measured=lambda row, most: most * float(jobs.tip_length[row, 0]),
    )


@rule()
def route_clearance(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Clearance of a free route to keep-outs and heat sources.

    What it checks
        On a free route, the gap between cover and every keep-out, at rest and at all extremes of
        movement, less the clearance it wants, growth and shake included. The natural shape is
        taken: a hose that touches is not pushed aside, it needs a clip.
    Why it matters
        A hose that touches an edge is rubbed through; near the exhaust it chars.
    Example
        4 mm left of the 10 mm wanted from a bracket: refused, add a clip.
    Source
        The solved shape; the wanted clearance as stated, or common practice, no source.
    """
    return Comparison(
        jobs.clearance_left,
        _across(hoses),
        sense="at_least",
        applies=jobs.keep_outs.yes,
    )


@rule()
def route_measuring(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Errors of measuring with which a free route keeps clear.

    What it checks
        Places of nipples and of what is near are measured with a tape. The route is drawn with
        its errors many times: where more than a few come nearer than wanted, the gap is measured
        once the hose is fitted.
    Why it matters
        A hose that keeps clear on paper by 1 mm touches on the vehicle.
    Example
        Clears by 1 mm, tape within 5 mm: conditional, measure the gap.
    Source
        Drawn from the solved shape; errors of the tape as told, or common practice, no source.
    """
    across = np.zeros((1, len(hoses.sizes)))
    return Comparison(
        jobs.error_clear,
        across - np.inf,
        sense="at_least",
        caution=jobs.error_told + across,
        applies=jobs.keep_outs.yes & ~np.isnan(jobs.error_told),
    )
