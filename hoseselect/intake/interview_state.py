"""How far an interview has come; every state is kept, so that one can go back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from hoseselect.domain.job import Job
from hoseselect.intake.counter_question import Asked
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table

UNKNOWN = "unknown"
FREE_KEY = "route.free."
MADE_UP = {
    f"{FREE_KEY}offset": "forward 100 mm",
    f"{FREE_KEY}nipple_a_points": "up",
    f"{FREE_KEY}nipple_b_points": "up",
}
"""Where the nipples of a free route are, as long as it is not told."""


@dataclass(frozen=True)
class State:
    """What was said so far, and what is to be asked before anything else.

    Parameters
    ----------
    said : dotted keys of a job file
    asked : questions that were put
    pending : questions that follow from a reply, the next one first
    finding : what was said of a line without a name: its ends, what is left in it, its candidates
    guesses : replies that are no measurement, by the input that they are about
    """

    said: Mapping[str, Any]
    asked: frozenset[str] = frozenset()
    pending: tuple[Asked, ...] = ()
    finding: Mapping[str, Any] = field(default_factory=dict)
    guesses: Mapping[str, str] = field(default_factory=dict)

    def saying(self, values: Mapping[str, Any]) -> State:
        """Return the state with more said."""
        return replace(self, said={**self.said, **values})

    def asking(self, *questions: Asked) -> State:
        """Return the state in which some questions come first, each once.

        Questions that read back different replies are different ones.
        """
        put = {(question.field, question.about) for question in questions}
        later = tuple(asked for asked in self.pending if (asked.field, asked.about) not in put)
        return replace(self, pending=(*questions, *later))

    @property
    def free(self) -> bool:
        """Whether the route is to find its own way."""
        return any(key.startswith(FREE_KEY) for key in self.said) or any(
            asked.field.startswith(FREE_KEY) for asked in self.pending
        )

    @property
    def service(self) -> str:
        """Id of the service or stop, "unknown" before it is said."""
        return str(self.said.get("service", UNKNOWN))

    @property
    def group(self) -> str:
        """Group of the service; an empty text where it is none."""
        rows = table("services").where(service=self.service)
        return rows[0]["group"] if rows else ""


def job_of(said: Mapping[str, Any], place: str = "answer", units: str = "mm") -> Job:
    """Return the job so far; where a free route is not told to the end, the rest is made up.

    Raises
    ------
    InputError
        when what was said cannot be used.
    """
    made_up = MADE_UP if _by_ends(said) else {}
    return read_job(nested({"service": UNKNOWN, **made_up, **said}), place, units)


def _by_ends(said: Mapping[str, Any]) -> bool:
    """Return whether a free route is told by what the interview asks of it, and no other way."""
    keys = {key for key in said if key.startswith(FREE_KEY)}
    return bool(keys) and keys <= {*MADE_UP, f"{FREE_KEY}movement"}


def finished(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was said as a job file; a free route without its ends is none."""
    whole = not _by_ends(said) or all(said.get(key, UNKNOWN) != UNKNOWN for key in MADE_UP)
    kept = {k: v for k, v in said.items() if whole or not k.startswith(FREE_KEY)}
    return nested(kept)


def flat(values: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the keys of a job file with dots, and their values."""
    for name, value in values.items():
        place = f"{above}.{name}".lstrip(".")
        if isinstance(value, Mapping):
            yield from flat(value, place)
        else:
            yield place, value


def nested(said: Mapping[str, Any]) -> dict[str, Any]:
    """Return dotted fields as the mapping of a job file.

    Raises
    ------
    InputError
        when a name is a table and a value at once.
    """
    values: dict[str, Any] = {}
    for dotted, value in said.items():
        *parents, last = dotted.split(".")
        inner: Any = values
        for name in parents:
            inner = inner.setdefault(name, {}) if isinstance(inner, dict) else None
        if not isinstance(inner, dict) or isinstance(inner.get(last), dict):
            raise InputError(ascii(dotted)[1:-1], "a table and a value of one name", "one of them")
        inner[last] = value
    return values
