"""Answers to jobs, one or many: stops, rules, order, questions and the way out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from hoseselect.answer.answer import Answer
from hoseselect.answer.ask_next import ask_next
from hoseselect.answer.judged import Judged, judged
from hoseselect.answer.lead import leads
from hoseselect.answer.ranking import Preference, leading, on_shelf, rank
from hoseselect.answer.two_pieces import TwoPieces, halves
from hoseselect.answer.way_out import ways_out
from hoseselect.catalogue.columns import NO_USUAL, Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.job import Job
from hoseselect.judging.columns import Array
from hoseselect.rules.stop import Stop, stops

AT_ONCE = 2000
"""Jobs that are judged together at most, a matter of memory and speed."""

PAIRS = 2_000_000
"""Pairs of a job and a size that are judged together at most, a matter of memory."""


def at_once(catalogue: Catalogue) -> int:
    """Return how many jobs are judged together against a catalogue; more would take more memory."""
    return max(1, min(AT_ONCE, PAIRS // max(1, len(catalogue.sizes))))


def answer_many(
    jobs: Sequence[Job],
    catalogue: Catalogue,
    *,
    units: str = "mm",
    prefer: Preference = "margin",
    shelf: tuple[str, ...] = (),
) -> list[Answer]:
    """Return the answer to each job.

    Parameters
    ----------
    jobs : as described; what a stop meets is answered by the stop alone
    catalogue : what the shop sells
    units : "mm" or "in": the workshop step of the cut
    prefer : what ranks hoses of the same verdict: "margin" worst relative margin, "price", or
        "stock" length of rolls in stock
    shelf : hose types or sizes to look at; empty = all

    Raises
    ------
    InputError
        when the shelf names a hose that the catalogue does not hold.
    SolveError
        when a free route has no shape.
    """
    if catalogue.usual != NO_USUAL:
        jobs = [replace(job, usual=catalogue.usual) for job in jobs]
    met = [stops(job) for job in jobs]
    answers: dict[int, Answer] = {
        row: _stopped(jobs[row], catalogue, found, units, prefer, shelf)
        for row, found in enumerate(met)
        if found
    }
    if not len(catalogue.sizes):
        nothing = (Answer(job, catalogue, units, prefer, shelf) for job in jobs)
        return [answers.get(row, answer) for row, answer in enumerate(nothing)]
    if len(answers) < len(jobs):
        hoses, wanted = hose_columns(catalogue), on_shelf(catalogue, shelf)
        for rows in _together(jobs, answers, at_once(catalogue)):
            some = [jobs[row] for row in rows]
            said = judged(some, hoses, units, wanted if shelf else None)
            told = answers_of(some, said, catalogue, wanted, units, prefer, shelf)
            answers.update(zip(rows, told, strict=True))
        answers.update(_in_two_pieces(answers, catalogue, units, prefer, shelf))
    return [answers[row] for row in range(len(jobs))]


def _in_two_pieces(
    answers: dict[int, Answer],
    catalogue: Catalogue,
    units: str,
    prefer: Preference,
    shelf: tuple[str, ...],
) -> Iterator[tuple[int, Answer]]:
    """Yield the answers to which two pieces and a reducer are a way out, with these."""
    stuck = [row for row, answer in answers.items() if not answer.stops and not answer.suiting]
    parted = {row: found for row in stuck if (found := halves(answers[row].job, catalogue))}
    if not parted:
        return
    both = [job for found in parted.values() for job in found.jobs]
    told = answer_many(both, catalogue, units=units, prefer=prefer, shelf=shelf)
    for place, (row, found) in enumerate(parted.items()):
        first, second = told[2 * place : 2 * place + 2]
        if first.suiting and second.suiting:
            pieces = TwoPieces(found.reducer, (first, second))
            old = answers[row]
            way_out = (pieces.words, *old.way_out)
            new = replace(old, way_out=way_out, two_pieces=pieces)
            kept = {name: value for name, value in vars(old).items() if name in KEPT}
            vars(new).update(kept)
            yield row, new


KEPT = ("columns", "judged")
"""What was worked out for an answer and need not be worked out again."""


def _together(jobs: Sequence[Job], answered: dict[int, Answer], most: int) -> Iterator[list[int]]:
    """Yield positions of jobs that are judged together; a free route stands alone."""
    left = [row for row in range(len(jobs)) if row not in answered]
    plain = [row for row in left if jobs[row].route.free is None]
    yield from ([row] for row in left if jobs[row].route.free is not None)
    yield from (plain[start : start + most] for start in range(0, len(plain), most))


def _stopped(
    job: Job,
    catalogue: Catalogue,
    met: tuple[Stop, ...],
    units: str,
    prefer: Preference,
    shelf: tuple[str, ...],
) -> Answer:
    who = tuple(dict.fromkeys(f"{stop.name}: {stop.who}" for stop in met))
    return Answer(job, catalogue, units, prefer, shelf, stops=met, way_out=who)


def answers_of(
    jobs: Sequence[Job],
    said: Judged,
    catalogue: Catalogue,
    wanted: Array,
    units: str = "mm",
    prefer: Preference = "margin",
    shelf: tuple[str, ...] = (),
) -> list[Answer]:
    """Return the answers to jobs that were judged together.

    Parameters
    ----------
    jobs : n jobs
    said : what the rules say of them
    catalogue : what the shop sells
    wanted : the sizes that the shelf names, shape (m,)
    units, prefer, shelf : as asked
    """
    ranking = rank(said, leading(said, wanted), catalogue, prefer)
    told = leads(said, ranking.best, units)
    suits = np.array([lead.verdict.suits for lead in told])
    ways = ways_out(jobs, said, suits, catalogue, wanted, units)
    questions = ask_next(said) if len(jobs) > 1 else [None]
    names = said.hoses.sizes.name
    answers = []
    for row, job in enumerate(jobs):
        suiting = tuple(names[ranking.of_job(row)].tolist()) if suits[row] else ()
        answer = Answer(
            job=job,
            catalogue=catalogue,
            units=units,
            prefer=prefer,
            shelf=shelf,
            lead=told[row],
            suiting=suiting,
            verdicts=said.judgement.codes[row].tobytes(),
            asked_with_others=questions[row],
            way_out=ways[row],
        )
        vars(answer)["columns"] = said.hoses
        answers.append(answer)
    if len(jobs) == 1:  # what was worked out need not be worked out again
        vars(answers[0])["judged"] = said
    return answers
