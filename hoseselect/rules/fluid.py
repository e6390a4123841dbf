"""Fluid rules: what touches the bore and what drips on the cover."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import YES, Array, HoseColumns, TypeColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.distinct import kinds_of
from hoseselect.judging.registry import rule
from hoseselect.judging.services import in_tank, service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import Row, table

NEEDED = np.array([[2.0]])


def weakest(demanded: Array, ratings: Array) -> Array:
    """Return the weakest rating over the demanded fluids, shape (n, t).

    Parameters
    ----------
    demanded : which fluids, shape (n, fluids)
    ratings : 0, 1, 2 or NaN, shape (t, fluids)
    """
    if len(demanded) > 1:  # few mixtures of fluids are asked for, each by many jobs
        kinds = kinds_of(demanded)
        if len(kinds) < len(demanded):
            return weakest(demanded[kinds.first], ratings)[kinds.kind]
    asked = demanded.astype(np.float32)
    refused = asked @ (ratings == 0).T.astype(np.float32)
    unrated = asked @ np.isnan(ratings).T.astype(np.float32)
    limited = asked @ (ratings == 1).T.astype(np.float32)
    return np.where(
        refused > 0, 0.0, np.where(unrated > 0, np.nan, np.where(limited > 0, 1.0, 2.0))
    )


def after_heat(
    rating: Array, demanded: Array, steady: Array, ratings: Array, hot_limits: Array
) -> Array:
    """Return the weakest rating once heat has taken one step from each rating it ends.

    Parameters
    ----------
    rating : weakest rating cold, shape (n, t)
    demanded : which fluids, shape (n, fluids)
    steady : temperature of the fluid, shape (n, 1) [degC]
    ratings, hot_limits : of the liner, shape (t, fluids), [-] and [degC]
    """
    for k in np.flatnonzero(np.isfinite(hot_limits).any(axis=0)):
        too_hot = demanded[:, k, None] & (steady > hot_limits[:, k])
        fallen = np.where(too_hot, np.maximum(ratings[:, k] - 1.0, 0.0), np.inf)
        refused = (rating == 0) | (fallen == 0)  # also beside what is not known
        rating = np.where(refused, 0.0, np.minimum(rating, fallen))
    return rating


def rating_comparison(rating: Array, **more: object) -> Comparison:
    """Return a comparison of a rating: 2 suits, 1 only within limits, 0 refused."""
    limit = np.where(rating > 0, 2.0, rating)
    return Comparison(NEEDED, limit, caution=rating, **more)  # type: ignore[arg-type]


def deciding(demanded: Array, ratings: Array, rating: float, hot: Array | None = None) -> list[str]:
    """Return the fluids that decide for one job and one hose.

    Parameters
    ----------
    demanded, ratings : shape (fluids,)
    rating : the weakest
    hot : where heat takes one step, shape (fluids,)
    """
    columns = service_columns()
    after = ratings if hot is None else np.where(hot, np.maximum(ratings - 1.0, 0.0), ratings)
    return [
        columns.fluids[k]
        for k in np.flatnonzero(demanded)
        if after[k] == rating or (np.isnan(after[k]) and np.isnan(rating))
    ]


def fluid_words(fluids: list[str], symbols: tuple[str, ...], rating: float) -> str:
    """Return the names of fluids, with what the table of resistance notes of a weak rating."""
    names = [table("fluids").row(fluid=fluid)["name"] for fluid in fluids]
    words = " and ".join(names) or "what flows in this line"
    notes = [row["note"] for row in _cells(fluids, symbols) if row["note"]]
    if rating < NEEDED[0, 0] and notes:
        return f"{words} ({'|'.join(symbols)}: {notes[0]})"
    return words


def fluid_source(fluids: list[str], symbols: tuple[str, ...]) -> str:
    """Return the sources of the cells that decide."""
    return "; ".join(dict.fromkeys(row.source for row in _cells(fluids, symbols)))


def _cells(fluids: list[str], symbols: tuple[str, ...]) -> list[Row]:
    resistance = table("resistance")
    return [
        resistance.row(symbol=symbol, fluid=fluid)
        for fluid in fluids
        for symbol in symbols
        if resistance.has(symbol=symbol, fluid=fluid)
    ]


def grounds(fluids: list[str], types: TypeColumns, column: int) -> str:
    """Return what the ratings of a liner rest on, strongest first, each named once."""
    index = service_columns().fluid_index
    named = [_ground(types, column, index[fluid]) for fluid in fluids]
    return " and ".join(words for words in GROUNDS if words in named)


GROUNDS = MARKED, MAKER, PUBLISHED, MEMORY = (
    "by its marking",
    "on the maker's claim",
    "published",
    "from memory: ask the maker",
)


def _ground(types: TypeColumns, column: int, fluid: int) -> str:
    if types.claimed[column, fluid]:
        return MARKED
    if types.claimed_by_maker[column, fluid]:
        return MAKER
    return PUBLISHED if types.liner_read[column, fluid] else MEMORY


@rule()
def fluid_liner(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Liner against every fluid that touches the bore.

    What it checks
        Every constituent of what flows is looked up for the liner; the weakest decides. A rating of
        2 suits where a marking covers the fluid, the maker claims it or a publication says so; from
        memory it suits on the maker's word only. A rating of 1 suits within limits of temperature,
        time or grade, 0 is refused. A marking that was read to cover the fluid, or the maker's
        claim, stands in for a liner that is not named or not rated, and makes 2 of a 1. A refusal
        that was published stands; of one from memory such a marking makes 1, and a claim nothing. A
        marking that covers the fluid by hearsay makes 1 where else nothing is known. Above the
        temperature up to which a rating of the table holds, that rating falls by one, whatever is
        claimed. Of a liner that may be one or the other, the weaker rating and the lower
        temperature count.
    Why it matters
        The wrong rubber swells, goes slack and closes the bore, or hardens and cracks; crumbs of
        it are drawn into the engine.
    Example
        Coolant hose (EPDM) on crankcase vapour: oil mist, rating 0, refused.
    Source
        The table of resistance; each cell names its own source.
    """
    types = hoses.types
    ratings, hot_limits = types.liner_rating, types.liner_hot_limit
    rating = weakest(jobs.fluids, ratings)
    rating = after_heat(rating, jobs.fluids, jobs.fluid_steady, types.liner_cell, hot_limits)

    def note(row: int, column: int) -> str:
        found, worst = fluids(row, column), rating[row, column]
        words = fluid_words(found, types.liner[column], worst)
        basis = grounds(found, types, column)
        if worst == 0 or np.isnan(worst):
            return words
        if worst == 1 and MEMORY not in basis:
            return f"{words} only within limits of temperature, time or grade"
        return f"{words} {basis}" if worst > 1 else f"{words}, {MEMORY}"

    def fluids(row: int, column: int) -> list[str]:
        hot = jobs.fluid_steady[row, 0] > hot_limits[column]
        return deciding(jobs.fluids[row], ratings[column], rating[row, column], hot)

    def source(row: int, column: int) -> str:
        return fluid_source(fluids(row, column), types.liner[column])

    return rating_comparison(rating, note=note, source=source)


@rule()
def fluid_not_for(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """What the maker excludes.

    What it checks
        A hose that its maker excludes from anything that flows here is refused, whatever it is made
        of. With a blend every harsher one that holds it is excluded, and no milder one; with a
        mixture all that it is made of; with what it is only made for, all else.
    Why it matters
        The maker knows what the print and the rubber do not tell: how thin the liner is, how it
        was bonded, what came back from service.
    Example
        Silicone tube for dry air only, on an oil drain: refused.
    Source
        The catalogue's own statement.
    """
    excluded = hoses.types.excluded
    met = jobs.fluids.astype(np.float32) @ excluded.T.astype(np.float32)

    def note(row: int, column: int) -> str:
        columns = service_columns()
        against = np.flatnonzero(jobs.fluids[row] & excluded[column])
        return " and ".join(table("fluids").row(fluid=columns.fluids[k])["name"] for k in against)

    return Comparison(np.ones((len(jobs.fluids), 1)), (met == 0).astype(float), note=note)


@rule()
def fluid_cover(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Cover against air, ozone and what drips on it.

    What it checks
        The cover is rated against the air round it, inside a tank against the fuel in its place,
        and against every fluid that is said to drip on it; the weakest decides. Where the cover is
        not named, or rated 1, a marking stands in for it as far as its standard goes: the open air
        where the whole hose is tested in ozone, the fuel where it is made to lie in it. Nothing
        that drips is covered so, and what was read against the cover stands.
    Why it matters
        A coolant hose rots from the outside under an oil leak while it looks sound.
    Example
        EPDM cover under an oil leak: rating 0, refused until the leak is mended.
    Source
        The table of resistance; each cell names its own source.
    """
    exposed = jobs.drips | jobs.bath
    exposed[:, service_columns().fluid_index["air"]] |= ~in_tank(jobs.service)[:, 0]
    rating = weakest(exposed, hoses.types.cover_rating)

    def fluids(row: int, column: int) -> list[str]:
        return deciding(exposed[row], hoses.types.cover_rating[column], rating[row, column])

    def note(row: int, column: int) -> str:
        found, cover = fluids(row, column), hoses.types.cover[column]
        words = fluid_words(found, cover, rating[row, column])
        if cover != ("unknown",) or not rating[row, column] > 0:
            return words
        return f"{words} {MARKED}" if rating[row, column] > 1 else f"{words} ({MEMORY})"

    def source(row: int, column: int) -> str:
        return fluid_source(fluids(row, column), hoses.types.cover[column])

    return rating_comparison(rating, note=note, source=source)


@rule()
def fluid_permeation(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Fuel vapour through the wall.

    What it checks
        On fuel lines the liner's rating against fuel vapour stands in for how much vapour it lets
        through, the maker's claim counted; a marking for low permeation counts as suitable. It
        refuses no hose: vapour rates 1 at least, also by a marking for petrol where nothing else is
        known.
    Why it matters
        A smell of fuel with nothing wet: vapour goes through ordinary rubber.
    Example
        Ordinary nitrile fuel hose on a petrol feed: conditional, low-permeation hose preferred.
    Source
        The table of resistance, column of fuel vapour; each cell names its own source.
    """

    def source(row: int, column: int) -> str:
        return fluid_source(["fuel-vapour"], hoses.types.liner[column])

    return rating_comparison(
        hoses.types.permeation_rating[None, :],
        applies=service_columns().permeation_matters[jobs.service],
        source=source,
    )


@rule()
def fluid_submerged(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Hose under fuel.

    What it checks
        A hose of which a part lies in fuel must be made for it; one that does not say so is not. On
        lines of fuel and diesel a hose that is not made for it suits where somebody has seen that
        no part of it lies in fuel; on others it counts where it is said.
    Why it matters
        Ordinary fuel hose is attacked from outside, softens and bursts in the tank.
    Example
        Injection hose inside the tank: refused; only hose for use in the tank is accepted.
    Source
        SAE J30, clause 8 (type R10, hose in the tank).
    """
    under = in_tank(jobs.service) | jobs.submerged.yes
    matters = under | jobs.submerged.possible
    made_for_it = (hoses.types.submersible == YES).astype(float)[None, :]
    demand = np.where(under, 1.0, np.where(jobs.submerged.no, 0.0, np.nan))
    return Comparison(demand, np.where(np.isnan(demand), np.nan, made_for_it), applies=matters)
