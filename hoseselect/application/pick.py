"""Pick the hoses that suit a job, and say of every other one why not."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from hoseselect.answer.answer import Answer
from hoseselect.answer.ask_next import ask_next
from hoseselect.answer.assumptions import assumptions
from hoseselect.answer.hose_answer import AnswerMaker
from hoseselect.answer.report import margins
from hoseselect.answer.safety import cautions, checklist, old_hose
from hoseselect.answer.way_out import reducer_words, way_out
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.engine import RuleResult, combine_results, evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError
from hoseselect.rules.stop import stops

if TYPE_CHECKING:
    from hoseselect.cutplan.free_columns import FreePlan

Preference = Literal["margin", "price", "stock"]


def pick_hose(
    job: Job,
    catalogue: Catalogue,
    *,
    prefer: Preference = "margin",
    shelf: tuple[str, ...] = (),
    units: str = "mm",
) -> Answer:
    """Return the answer to a job: all hoses, best first.

    Parameters
    ----------
    job : as described
    catalogue : what the shop sells
    prefer : what ranks hoses of the same verdict: "margin" worst relative margin, "price", or
        "stock" length of rolls in stock
    shelf : hose types or sizes to look at; empty = all
    units : "mm" or "in": the workshop step of the cut

    Raises
    ------
    InputError
        when the shelf names a hose that the catalogue does not hold.
    """
    met = stops(job)
    if met:
        return Answer(
            job=job,
            stops=met,
            way_out=tuple(dict.fromkeys(f"{stop.name}: {stop.who}" for stop in met)),
            cautions=cautions(job.service),
            old_hose=old_hose(job),
        )
    columns = hose_columns(catalogue)
    free: FreePlan | None = None
    if job.route.free is not None:
        from hoseselect.cutplan.free_columns import plan_free, with_free

        free = plan_free(job, columns, units)
    if free is None:
        jobs = job_columns(job, *job_lengths(job, units))
    else:
        jobs = with_free(job_columns(job), free, job, columns)
    filled = assume(jobs)
    results = tuple(evaluate(jobs, columns, filled))
    judgement = combine_results(iter(results), columns)
    wanted = _on_shelf(catalogue, shelf)
    codes, decided = judgement.codes[0], judgement.decided_by[0]
    worst = worst_margins(results, columns)
    marked = made_for(job.service, columns)
    order = _ranked(catalogue, wanted, codes, decided, worst, prefer, marked)
    best = int(order[0]) if len(order) else -1
    maker = AnswerMaker(job, catalogue, columns, results, codes, decided, worst, units, free, best)
    answers = [maker.answer(int(size)) for size in order]
    nothing = not any(hose.verdict.suits for hose in answers)
    return Answer(
        job=job,
        assumptions=assumptions(filled, results),
        ask_next=ask_next(jobs, columns, results),
        hoses=tuple(answers),
        way_out=way_out(job, filled, columns, results, catalogue, free)
        if nothing
        else reducer_words(job, catalogue),
        cautions=cautions(job.service),
        checklist=checklist(job.service),
        old_hose=old_hose(job),
    )


def check_hose(hose: str, job: Job, catalogue: Catalogue, *, units: str = "mm") -> Answer:
    """Return the answer for one hose: a size, or all sizes of a type.

    Raises
    ------
    InputError
        when the catalogue does not hold the hose.
    """
    sizes = catalogue.sizes
    if not ((sizes.hose_size == hose) | (sizes.hose_type == hose)).any():
        raise InputError("HOSE", f"'{hose}'", "a hose type or size of the catalogue")
    return pick_hose(job, catalogue, shelf=(hose,), units=units)


def _on_shelf(catalogue: Catalogue, shelf: tuple[str, ...]) -> Array:
    sizes = catalogue.sizes
    if not shelf:
        return np.ones(len(sizes), dtype=bool)
    wanted = np.zeros(len(sizes), dtype=bool)
    for name in shelf:
        found = (sizes.hose_size == name) | (sizes.hose_type == name)
        if not found.any():
            raise InputError("shelf", f"'{name}'", "a hose type or size of the catalogue")
        wanted |= found
    return wanted


def worst_margins(results: tuple[RuleResult, ...], columns: HoseColumns) -> Array:
    """Return the worst relative margin of each size over all rules with figures, shape (m,).

    Of the fit only stretch and looseness count: the rest is passed or not.
    """
    worst = np.full(len(columns.sizes), np.inf)
    for result in results:
        counts = result.rule.group != "fit" or result.rule.code in SNUG
        if counts and result.rule.row["scale"] != "none":
            worst = np.fmin(worst, margins(result, columns)[0])
    return worst


def made_for(service: str, columns: HoseColumns) -> Array:
    """Return which types bear a marking for the service, where hose for it has one, shape (m,)."""
    services = service_columns()
    place = services.index[service]
    if services.group[place] not in MARKED_GROUPS:
        return np.zeros(len(columns.sizes), dtype=bool)
    return columns.types.marking_allows[place][columns.sizes.type_index]


MARKED_GROUPS = ("coolant", "fuel", "diesel", "oil", "steering")
SNUG = ("fit-stretch", "fit-loose")


def _ranked(
    catalogue: Catalogue,
    wanted: Array,
    codes: Array,
    decided: Array,
    worst: Array,
    prefer: Preference,
    made_for_it: Array,
) -> Array:
    """Return positions of the wanted sizes, best first; ties by name, never by catalogue order.

    Of hoses with the same verdict, one that is marked for the service comes first.
    """
    sizes = catalogue.sizes
    second: Array
    if prefer == "price":
        second = np.nan_to_num(sizes.price_per_m, nan=np.inf)
    elif prefer == "stock":
        second = -_stock(catalogue)
    else:
        second = -worst
    late = np.where(codes >= Verdict.UNKNOWN, -decided.astype(np.int64), 0)
    order = np.lexsort((sizes.hose_size, second, ~made_for_it, late, codes))
    return order[wanted[order]]


def _stock(catalogue: Catalogue) -> Array:
    stock = np.zeros(len(catalogue.sizes))
    np.add.at(stock, catalogue.rolls.size_index, catalogue.rolls.length_m)
    return stock
