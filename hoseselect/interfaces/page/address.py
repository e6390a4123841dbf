"""The state of a job is its address: replies and keys in their order, and a code to begin with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import QueryParams

from hoseselect.application.ask_on import Interviewing, Pair, interviewing
from hoseselect.intake.interview_state import FREE_KEY
from hoseselect.intake.job_code import decode_job
from hoseselect.interfaces.page.around import around, is_around
from hoseselect.knowledge.errors import InputError

CODE, UNITS, NUMBER, ASK, HOSE = "code", "units", "number", "ask", "hose"
FIELD, REPLY, CHANGED, LENGTH, WAY = "field", "reply", "changed", "length", "way"
NOTE, UNSAID = "note", "unsaid"
OWN = (CODE, UNITS, NUMBER, ASK, HOSE, FIELD, REPLY, CHANGED, LENGTH, WAY, NOTE, UNSAID, "key")
"""Names in an address that say nothing of the job."""
MOST_PAIRS = 200


@dataclass(frozen=True)
class Address:
    """A job as its address tells it.

    Parameters
    ----------
    pairs : replies and keys of a job file, in order
    code : job to begin with; empty = none
    units : "mm" or "in"
    number : of the job in the book; empty = none
    hose : size that is looked at; empty = the one that is offered
    """

    pairs: tuple[Pair, ...] = ()
    code: str = ""
    units: str = "mm"
    number: str = ""
    hose: str = ""

    @cached_property
    def interviewing(self) -> Interviewing:
        """The interview after all replies.

        Raises
        ------
        InputError
            when one of them cannot be used.
        """
        places = [place for place, pair in enumerate(self.pairs) if not is_around(pair[0])]
        near = {f"{FREE_KEY}{name}": listed for name, listed in around(self.pairs).items()}
        found = interviewing([self.pairs[k] for k in places], self.before, self.units, near)
        said = tuple(replace(one, place=places[one.place]) for one in found.said)
        return replace(found, said=said)

    @property
    def before(self) -> dict[str, Any]:
        """The job of the code; empty without one."""
        return decode_job(self.code) if self.code else {}

    def saying(self, field: str, reply: str) -> Address:
        """Return the address with one thing more said; it is another job of the book then."""
        return replace(self, pairs=(*self.pairs, (field, reply)), number="")

    def putting(self, pairs: Iterable[Pair]) -> Address:
        """Return the address in which some keys have other values, or none where they are empty."""
        told = dict(pairs)
        kept = tuple(pair for pair in self.pairs if pair[0] not in told)
        new = tuple((field, value) for field, value in told.items() if value)
        return replace(self, pairs=(*kept, *new), number="")

    def up_to(self, place: int) -> Address:
        """Return the address as it was before something was said."""
        return replace(self, pairs=self.pairs[:place], number="")

    def looking_at(self, hose: str) -> Address:
        """Return the address that looks at another hose: in the book it is another answer."""
        return replace(self, hose=hose, number="")

    def in_units(self, units: str) -> Address:
        """Return the address in other units."""
        return replace(self, units=units)

    @property
    def fields(self) -> tuple[Pair, ...]:
        """Names and values of a form that keeps the state."""
        own = ((CODE, self.code), (UNITS, self.units), (NUMBER, self.number), (HOSE, self.hose))
        return (*((name, value) for name, value in own if value), *self.pairs)

    @property
    def query(self) -> str:
        """The address as it stands behind the question mark."""
        return urlencode(self.fields)


def address_of(parameters: QueryParams | Sequence[Pair], units: str = "mm") -> Address:
    """Return what an address tells.

    Parameters
    ----------
    parameters : names and values in their order
    units : of the shop, where the address names none

    Raises
    ------
    InputError
        when there are too many of them.
    """
    items = parameters.multi_items() if isinstance(parameters, QueryParams) else parameters
    own = {name: value for name, value in items if name in OWN}
    pairs = tuple((name, value) for name, value in items if name not in OWN)
    if len(pairs) > MOST_PAIRS:
        raise InputError("address", f"{len(pairs)} inputs", f"at most {MOST_PAIRS}")
    named = own.get(UNITS, units)
    return Address(
        pairs=pairs,
        code=own.get(CODE, ""),
        units=named if named in {"mm", "in"} else units,
        number=own.get(NUMBER, ""),
        hose=own.get(HOSE, "").strip(),
    )
