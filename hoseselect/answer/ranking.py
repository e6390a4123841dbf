"""The order of the hoses for each job: verdict, made for it, in stock, conditions, margin."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from hoseselect.answer.judged import Judged
from hoseselect.answer.report import margins
from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table
from hoseselect.rules.stock import longest_left

Preference = Literal["margin", "price", "stock"]
MADE_FOR = 2  # of the columns of families
MARKED_GROUPS = ("coolant", "fuel", "diesel", "oil", "steering")
SNUG = ("fit-stretch", "fit-loose")


@dataclass(frozen=True, eq=False, repr=False)
class Ranking:
    """Hoses of each job, best first.

    Parameters
    ----------
    sizes : positions of hose sizes, job after job, shape (p,)
    start : where each job begins among them, shape (n + 1,)
    margins : worst relative margin of each, shape (p,)
    conditions : how many conditions of its own each has, shape (p,)
    """

    sizes: Array
    start: Array
    margins: Array
    conditions: Array

    @property
    def best(self) -> Array:
        """The first hose of each job, shape (n,)."""
        best: Array = self.sizes[self.start[:-1]]
        return best

    def of_job(self, row: int) -> Array:
        """Return the hoses of one job, best first."""
        sizes: Array = self.sizes[self.start[row] : self.start[row + 1]]
        return sizes


def rank(
    said: Judged, among: Array, catalogue: Catalogue, prefer: Preference = "margin"
) -> Ranking:
    """Return hoses of each job, best first.

    Of hoses with the same verdict the first is, in this order: made for the service; with a roll
    in stock that is long enough; without a grave condition (liner and wall weigh more than the
    cover, the cover more than the fit, the fit more than what is seen to on the way); ordinary,
    with no polymer for special purposes; with fewer conditions of its own; with the larger worst
    margin; cheaper; the first by its name, which is the last key, so that the order of a catalogue
    never decides. The price, where it is asked for, comes right after what the hose is made for,
    and so does the length in stock.

    Of refused hoses first comes that which the latest rule refuses, then that which the fewest
    rules refuse, then that whose bore misses the nipples by least.

    Parameters
    ----------
    said : n jobs on m sizes
    among : which sizes are ranked for each job, shape (n, m)
    catalogue : for prices and stock
    prefer : what ranks hoses of the same verdict: "margin" as above, "price", or "stock" length of
        rolls in stock
    """
    rows, sizes = np.nonzero(among)
    hoses, services = said.hoses, said.jobs.service[:, 0]
    worst = worst_margins(said, rows, sizes)
    own = own_conditions(said, rows, sizes)
    price = np.nan_to_num(catalogue.sizes.price_per_m, nan=np.inf)[sizes]
    nothing = np.zeros(len(rows))
    asked = {"price": price, "stock": -_stock(catalogue)[sizes]}.get(prefer, nothing)
    made_for_it = np.zeros(len(rows), dtype=bool)
    for service in np.unique(services):
        of_service = services[rows] == service
        made_for_it[of_service] = _made_for(int(service), hoses)[sizes[of_service]]
    codes = said.judgement.codes[rows, sizes]
    late = np.where(codes >= Verdict.UNKNOWN, -_lateness(said)[rows, sizes], 0)
    refused = (codes == Verdict.REJECT).any()
    keys = (
        hoses.sizes.name[sizes],
        price,
        -np.round(worst, ALIKE),
        own,
        hoses.types.special[hoses.sizes.type_index[sizes]],
        gravest(said, rows, sizes),
        ~_in_stock(said, rows, sizes),
        asked,
        ~made_for_it,
        _bore_misses(said, rows, sizes) if refused else nothing,
        said.refusals[rows, sizes] if refused else nothing,
        late,
        codes,
        rows,
    )
    order = np.lexsort(keys)
    start = np.concatenate([[0], np.cumsum(np.bincount(rows, minlength=len(services)))])
    return Ranking(sizes[order], start, worst[order], own[order])


ALIKE = 6  # decimals of a margin, below which hoses are alike


def leading(said: Judged, wanted: Array) -> Array:
    """Return for each job the sizes that suit, or the nearest where none does, shape (n, m).

    Parameters
    ----------
    said : n jobs on m sizes
    wanted : the sizes to look at, shape (m,)
    """
    codes, decided = said.judgement.codes, _lateness(said)
    codes = np.where(wanted, codes, np.int8(len(Verdict)))
    least = codes.min(axis=1, keepdims=True)
    late = np.where(codes == least, decided, -1).max(axis=1, keepdims=True)
    nearest = (codes == least) & (decided == late)
    return np.where(least <= Verdict.CONDITIONAL, codes <= Verdict.CONDITIONAL, nearest) & wanted


def _lateness(said: Judged) -> Array:
    """Return how late the rule stands that decides, shape (n, m); all rules of the bore as one."""
    decided, of_bore = said.judgement.decided_by.astype(np.int64), _of_bore(said)
    return np.where(np.isin(decided, of_bore), max(of_bore, default=-1), decided)


def _of_bore(said: Judged) -> list[int]:
    """Return the places of the rules that hold the bore against a nipple."""
    return [place for place, own in enumerate(said.results) if own.rule.code in SNUG]


def _bore_misses(said: Judged, rows: Array, sizes: Array) -> Array:
    """Return by how much the bore of pairs of job and size misses a nipple, shape (p,) [mm].

    It is 0 where the bore is not what the hose is refused for.
    """
    bores = said.hoses.sizes.bore[sizes]
    ends = (said.jobs.nipple_a[rows, 0], said.jobs.nipple_b[rows, 0])
    missed = np.fmax(*(np.abs(bores - nipple) for nipple in ends))
    decided = said.judgement.decided_by[rows, sizes]
    counts = np.isin(decided, _of_bore(said)) & (
        said.judgement.codes[rows, sizes] == Verdict.REJECT
    )
    return np.where(counts, np.round(np.nan_to_num(missed), ALIKE), 0.0)


def on_shelf(catalogue: Catalogue, shelf: tuple[str, ...]) -> Array:
    """Return which sizes the shelf names, by type or size; an empty shelf names all, shape (m,).

    Raises
    ------
    InputError
        when the shelf names a hose that the catalogue does not hold.
    """
    sizes = catalogue.sizes
    if not shelf:
        return np.ones(len(sizes), dtype=bool)
    wanted = np.zeros(len(sizes), dtype=bool)
    for typed in shelf:
        name = catalogue.spelled(typed, "shelf")
        wanted |= (sizes.hose_size == name) | (sizes.hose_type == name)
    return wanted


def worst_margins(said: Judged, rows: Array, sizes: Array) -> Array:
    """Return the worst relative margin of pairs of job and size over all rules with figures, (p,).

    Of the fit only stretch and looseness count: the rest is passed or not.
    """
    worst = np.full(len(rows), np.inf)
    for result in said.results:
        rule = result.rule
        if (rule.group != "fit" or rule.code in SNUG) and rule.row["scale"] != "none":
            worst = np.fmin(worst, margins(result, said.hoses, rows, sizes))
    return worst


def own_conditions(said: Judged, rows: Array, sizes: Array) -> Array:
    """Return how many conditions pairs of job and size keep once all is found out well, (p,).

    A hose that is stretched over its nipple has one; what is merely not known is none.
    """
    found = np.zeros(len(rows), dtype=np.int64)
    for result in said.results:
        if (result.end_codes == Verdict.CONDITIONAL).any():
            across = result.across(sizes, said.hoses)
            ends = (result.end_codes[at[rows], across] for at in (result.place, result.other_place))
            pairs = np.flatnonzero(np.minimum(*ends) == Verdict.CONDITIONAL)
            figures = result.comparison.at(result.place[rows[pairs]], across[pairs])
            found[pairs] += ~np.isnan(figures.demand[:, 0])
    return found


def gravest(said: Judged, rows: Array, sizes: Array) -> Array:
    """Return the gravity of the gravest condition of pairs of job and size, shape (p,).

    A condition counts where the hose does not stand the adverse end of what is not known.
    """
    found = np.zeros(len(rows), dtype=np.int64)
    for result in said.results:
        weight = gravity(result.rule.code, result.rule.group)
        if weight and (result.codes == Verdict.CONDITIONAL).any():
            across = result.across(sizes, said.hoses)
            ends = (result.end_codes[at[rows], across] for at in (result.place, result.other_place))
            holds = result.codes[result.kind[rows], across] == Verdict.CONDITIONAL
            holds &= np.maximum(*ends) > Verdict.ACCEPT
            found = np.maximum(found, weight * holds)
    return found


@cache
def gravity(code: str, group: str) -> int:
    """Return how grave a condition of a rule is: by its code or its group, else the gravest."""
    gravities = table("condition_gravity")
    named = [name for name in (code, group) if gravities.has(of=name)]
    if named:
        return int(gravities.row(of=named[0])["gravity"])
    return max(int(row["gravity"]) for row in gravities)


def _made_for(service: int, hoses: HoseColumns) -> Array:
    """Return which sizes bear a marking for the service, where hose for it has one, shape (m,)."""
    by_family = hoses.types.family_answer[service] == MADE_FOR
    if by_family.any():
        return by_family[hoses.sizes.type_index]
    if service_columns().group[service] not in MARKED_GROUPS:
        return np.zeros(len(hoses.sizes), dtype=bool)
    return hoses.types.marking_allows[service][hoses.sizes.type_index]


def _in_stock(said: Judged, rows: Array, sizes: Array) -> Array:
    """Return of which pairs of job and size a roll in stock is long enough, shape (p,)."""
    cut = said.jobs.cut_length
    cuts = cut[rows, sizes] if cut.shape[1] > 1 else cut[rows, 0]
    left = longest_left(said.hoses)[sizes]
    found: Array = ~np.isnan(left) & ~(left < cuts)
    return found


def _stock(catalogue: Catalogue) -> Array:
    stock = np.zeros(len(catalogue.sizes))
    np.add.at(stock, catalogue.rolls.size_index, catalogue.rolls.length_m)
    return stock
