"""What a hose is for: its markings as far as its print bears them out, its family, its maker's no.

A marking counts only where nothing printed on the hose speaks against it: a print that bears other
markings and none of those claimed, or another type of the same standard.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np

from hoseselect.catalogue.columns import CatalogueTypes, Words
from hoseselect.judging.columns import Array
from hoseselect.judging.services import fluid_mask, service_columns
from hoseselect.knowledge.load import table

MADE_FOR, STAND_IN, REFUSED = 2.0, 1.0, 0.0
ANSWERS = {"made-for": MADE_FOR, "stand-in": STAND_IN, "refused": REFUSED}
MARKING_ANSWERS = {"yes": MADE_FOR, "over-specified": MADE_FOR, "in-part": STAND_IN, "no": REFUSED}


@cache
def printed(line: str) -> frozenset[str]:
    """Return the published markings that a print line bears."""
    return frozenset(
        row["marking"]
        for row in table("markings")
        if row["print_pattern"] and re.search(row["print_pattern"], line)
    )


def electrochemical(markings: tuple[Words, ...], lines: Words) -> Array:
    """Return which types claim a coolant marking and say in print that they are tested by J1684.

    Parameters
    ----------
    markings : of each type
    lines : the words printed along each
    """
    return np.array(
        [
            bool(TESTED.search(line))
            and any(mark.startswith(COOLANT_MARKINGS) for mark in printed(line) & set(own))
            for own, line in zip(markings, lines, strict=True)
        ],
        dtype=bool,
    )


COOLANT_MARKINGS = "j20-"
TESTED = re.compile(r"\bEC\b")
"""Letters for resistance to electrochemical attack in the print of coolant hose."""


@cache
def contradicted(markings: Words, line: str) -> Words:
    """Return the claimed markings in whose place the print bears another one.

    Parameters
    ----------
    markings : that are claimed
    line : the words printed along the hose
    """
    patterns = {row["marking"]: row["print_pattern"] for row in table("markings")}
    absent = [
        mark
        for mark in markings
        if line and patterns.get(mark) and re.search(patterns[mark], line) is None
    ]
    if not absent:
        return ()
    borne = printed(line)
    if borne and not borne & set(markings):
        return tuple(absent)
    return tuple(mark for mark in absent if any(_rivals(mark, other) for other in borne))


def _rivals(one: str, other: str) -> bool:
    """Return whether two markings are types of one standard, of which a hose can be only one."""
    stem, _, kind = one.rpartition("-")
    return kind != "silicone" and one != other and bool(stem) and other.rpartition("-")[0] == stem


def believed(types: CatalogueTypes) -> tuple[Words, ...]:
    """Return the markings of each type that its print does not contradict."""
    return tuple(
        tuple(mark for mark in own if mark not in contradicted(own, line)) if own else own
        for own, line in zip(types.marking, types.print_line, strict=True)
    )


def families(types: CatalogueTypes, markings: tuple[Words, ...]) -> tuple[Words, ...]:
    """Return the families of use of each type: of its markings, else the one its maker states."""
    own = families_of_markings(markings)
    return tuple(of_it or stated for of_it, stated in zip(own, types.family, strict=True))


def families_of_markings(markings: tuple[Words, ...]) -> tuple[Words, ...]:
    """Return the families of use that the markings of each type belong to."""
    of_marking = {row["marking"]: row["family"] for row in table("marking_families")}
    return tuple(
        tuple(dict.fromkeys(of_marking[mark] for mark in own if mark in of_marking))
        for own in markings
    )


def family_answers(markings: tuple[Words, ...], stated: tuple[Words, ...]) -> Array:
    """Return 2 made for, 1 may stand in, 0 refused, NaN no family known, shape (services, t).

    What is said of a marking goes before what is said of its family; the best of several counts.

    Parameters
    ----------
    markings : of each type
    stated : families of each type
    """
    kinds: dict[tuple[Words, Words], Array] = {}
    for own in zip(markings, stated, strict=True):
        if own not in kinds:
            kinds[own] = _answers_of(*own)
    columns = [kinds[own] for own in zip(markings, stated, strict=True)]
    return np.array(columns).reshape(len(columns), len(service_columns().names)).T


def _answers_of(markings: Words, stated: Words) -> Array:
    if markings:
        answers = [_of_marking(mark) for mark in markings]
    else:
        answers = [_of_family(family) for family in stated]
    best = np.full(len(service_columns().names), np.nan)
    for answer in answers:
        best = np.fmax(best, answer)
    return best


@cache
def _of_family(family: str) -> Array:
    index = service_columns().index
    made = np.zeros(len(index))  # a pair that is not listed is refused
    for row in table("service_families").where(family=family):
        made[index[row["service"]]] = ANSWERS[row["answer"]]
    return made


@cache
def _of_marking(marking: str) -> Array:
    index = service_columns().index
    rows = table("marking_families").where(marking=marking)
    made = _of_family(rows[0]["family"]).copy() if rows else np.full(len(index), np.nan)
    for row in table("service_markings").where(marking=marking):
        made[index[row["service"]]] = MARKING_ANSWERS[row["answer"]]
    return made


def excluded(types: CatalogueTypes) -> Array:
    """Return which fluids the maker excludes, shape (t, fluids)."""
    return np.array(
        [
            _mask(no) | (~fluid_mask(only) if only else False)
            for no, only in zip(types.not_for, types.only_for, strict=True)
        ]
    ).reshape(len(types), len(service_columns().fluids))


@cache
def _mask(words: Words) -> Array:
    """Return which fluids stand in words, each a fluid or a family of fluids."""
    columns = service_columns()
    known = {row["fluid"]: row["family"] for row in table("fluids")}
    mask = np.zeros(len(columns.fluids), dtype=bool)
    for word in words:
        if word in known:
            mask |= (
                fluid_mask((word,))
                if word not in columns.fluid_index
                else np.array([fluid == word for fluid in columns.fluids])
            )
        else:
            mask |= np.array([known[fluid] == word for fluid in columns.fluids])
    return mask


@cache
def covered(markings: Words, *, seen: bool) -> Array:
    """Return which fluids published markings cover, shape (fluids,).

    Parameters
    ----------
    markings : of one type
    seen : only where somebody read it
    """
    return fluid_mask(
        tuple(
            row["fluid"]
            for row in table("marking_fluids")
            if row["marking"] in markings
            and row.yes("covered")
            and (not seen or row["status"] == "read")
        )
    )
