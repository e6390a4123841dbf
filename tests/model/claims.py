"""What a hose says of itself, as far as it is believed: markings, families, exclusions.

A marking is believed unless the print bears another one in its place: the print bears markings,
and none of those that are claimed, or another type of the same standard.
"""

from __future__ import annotations

import re
from functools import cache

from .fluids import Fluids, all_fluids, family, made_of
from .tables import Row, by, pairs, rows, where, words

LOW_PERMEATION = {"j30-r11", "j30-r12", "j30-r14"}
MADE_FOR, STAND_IN, REFUSED = 2, 1, 0
OF_FAMILY = {"made-for": MADE_FOR, "stand-in": STAND_IN, "refused": REFUSED}
OF_MARKING = {"yes": MADE_FOR, "over-specified": MADE_FOR, "in-part": STAND_IN, "no": REFUSED}


@cache
def printed(line: str) -> frozenset[str]:
    """Return the markings that a print line bears."""
    return frozenset(
        row["marking"]
        for row in rows("markings")
        if row["print_pattern"] and re.search(row["print_pattern"], line)
    )


@cache
def believed(claimed: tuple[str, ...], line: str) -> tuple[str, ...]:
    """Return the claimed markings that the print does not contradict."""
    borne = printed(line)
    kept = []
    for mark in claimed:
        row = by("markings", "marking").get(mark)
        readable = row is not None and row["print_pattern"] != ""
        another = bool(borne) and not borne & set(claimed)
        another |= any(one_standard(mark, other) for other in borne)
        if not (line and readable and mark not in borne and another):
            kept.append(mark)
    return tuple(kept)


def one_standard(mark: str, other: str) -> bool:
    """Return whether two markings are types of one standard, of which a hose is only one.

    The silicone of a coolant hose is a material beside its type.
    """
    stem, _, kind = mark.rpartition("-")
    return kind != "silicone" and bool(stem) and mark != other and other.rpartition("-")[0] == stem


def electrochemical(markings: tuple[str, ...], line: str) -> bool:
    """Return whether the print has EC beside a coolant marking that is claimed."""
    coolant = any(mark.startswith("j20-") for mark in printed(line) & set(markings))
    return coolant and re.search(r"\bEC\b", line) is not None


@cache
def covered(markings: tuple[str, ...], *, read: bool) -> Fluids:
    """Return what markings cover; `read`: only where somebody read it."""
    return made_of(
        row["fluid"]
        for mark in markings
        for row in where("marking_fluids", "marking", mark)
        if row["covered"] == "yes" and (row["status"] == "read" or not read)
    )


def families(markings: tuple[str, ...], stated: tuple[str, ...]) -> tuple[str, ...]:
    """Return the families of use of the markings; where they have none, the maker's own."""
    table = by("marking_families", "marking")
    return tuple(table[mark]["family"] for mark in markings if mark in table) or stated


@cache
def made_for(markings: tuple[str, ...], stated: tuple[str, ...], service: str) -> int | None:
    """Return whether a hose is made for a service, may stand in, or is refused; None not known.

    What is said of a marking goes before what is said of its family. The best of several counts.
    """
    if markings:
        answers = [of_marking(mark, service) for mark in markings]
    else:
        answers = [of_family(name, service) for name in stated]
    return max((answer for answer in answers if answer is not None), default=None)


def of_family(name: str, service: str) -> int:
    """Return the answer of a family; a pair that is not listed is refused."""
    row = pairs("service_families", "service", "family").get((service, name))
    return OF_FAMILY[row["answer"]] if row else REFUSED


def of_marking(mark: str, service: str) -> int | None:
    """Return the answer of a marking: its own row, else that of its family."""
    row = pairs("service_markings", "service", "marking").get((service, mark))
    if row:
        return OF_MARKING[row["answer"]]
    own = by("marking_families", "marking").get(mark)
    return of_family(own["family"], service) if own else None


def marking_answers(markings: tuple[str, ...], service: str) -> set[str]:
    """Return what the table of services and markings answers of all markings of a hose."""
    table = pairs("service_markings", "service", "marking")
    return {table[service, mark]["answer"] for mark in markings if (service, mark) in table}


def excluded(row: Row) -> Fluids:
    """Return what the maker excludes: fluids, whole families, all but what it is made for."""
    out: set[str] = set()
    for word in words(row["not_for"]):
        if word in by("fluids", "fluid"):
            out |= excluded_by(word)
        else:
            out |= {fluid for fluid in all_fluids() if family(fluid) == word}
    if words(row["only_for"]):
        out |= set(all_fluids()) - made_of(words(row["only_for"]))
    return frozenset(out)


def excluded_by(fluid: str) -> Fluids:
    """Return what is excluded with a fluid: itself, and a mixture with all that it is made of.

    A fuel of a range holds the milder ones; who excludes it says nothing against those.
    """
    parts = made_of([fluid])
    return frozenset({fluid}) if fluid in parts else parts
