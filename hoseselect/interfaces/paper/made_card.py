"""The bench card of an answer, for the best hose or one that is named, for every interface."""

from __future__ import annotations

import math

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.application.pick import check_hose
from hoseselect.intake.hose_name import hoses_named
from hoseselect.interfaces.paper.bench_card import BenchCard
from hoseselect.interfaces.paper.bench_card_text import CardFrame
from hoseselect.knowledge.errors import InputError


def made_card(
    answer: Answer, frame: CardFrame, chosen: HoseAnswer | None, *, named: bool
) -> BenchCard:
    """Return a card.

    Parameters
    ----------
    answer : to the job
    frame : code, date, units, paper, version
    chosen : hose of the card; None where none suits or the job is stopped
    named : whether somebody named it, rather than that it is the best
    """
    radius, told = math.nan, answer.summary
    if chosen is not None:
        sizes = answer.catalogue.sizes
        radius = float(sizes.least_bend_radius[sizes.index_of(chosen.hose)])
        if named:
            alone = check_hose(chosen.hose, answer.job, answer.catalogue, units=answer.units)
            told = alone.summary
    return BenchCard(answer, told, chosen, frame, radius)


def hose_of(answer: Answer, name: str | None, place: str = "--hose") -> HoseAnswer | None:
    """Return the hose that a card is for: the best one, or the best of a size or type.

    Parameters
    ----------
    answer : to the job
    name : of a size or type, or its print; None = the best
    place : where it was named, for a complaint

    Raises
    ------
    InputError
        when the catalogue does not hold the hose that is named.
    """
    if answer.stops:
        return None
    if name is None:
        return next(iter(answer.suits), None)
    called = name.casefold()
    own = [(hose, {hose.hose.casefold(), hose.hose_type.casefold()}) for hose in answer.hoses]
    named = [hose for hose, names in own if called in names]
    if not named:
        among = hoses_named(name, answer.catalogue, place)
        named = [hose for hose in answer.hoses if {hose.hose, hose.hose_type} & set(among)]
    if not named:
        raise InputError(place, f"'{name}'", "a hose type or size of the catalogue")
    return named[0]
