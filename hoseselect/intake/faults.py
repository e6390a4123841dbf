"""What is wrong with a job: the key, what was found, what was expected, kept apart to the end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from hoseselect.intake.door import shown
from hoseselect.knowledge.errors import InputError, ManyFaultsError

RENAMED = {"cut_length": "piece, the length of a piece that is already cut"}
"""Keys that have another name now."""

NOISE = {"float", "BendForm"}
"""What the library adds to the place of a fault."""


@dataclass(frozen=True)
class Fault:
    """What is wrong with one key of a job, or with some keys together.

    Parameters
    ----------
    key : dotted key of a job file, of a field or of a table; empty = the job as a whole
    found, expected : what stands there, and what would be right
    named : dotted keys that it is about, where the fault is not of one field
    """

    key: str
    found: str
    expected: str
    named: tuple[str, ...] = ()

    def at(self, place: str) -> InputError:
        """Return it as an error.

        Parameters
        ----------
        place : name of the file or of the command line
        """
        return InputError(f"{place}: {self.key}" if self.key else place, self.found, self.expected)


def faults_of(error: ValidationError, table: str = "") -> Iterator[Fault]:
    """Yield what a form refuses.

    Parameters
    ----------
    error : of the form
    table : which table of the job file the form is; empty = the whole job
    """
    for detail in error.errors(include_url=False):
        parts = [table, *(str(part) for part in detail["loc"] if str(part) not in NOISE)]
        key = ".".join(filter(None, parts))
        named = detail.get("ctx", {}).get("named", ())
        keys = tuple(f"{key}.{name}" if key else name for name in named)
        words = _words(detail, key)
        yield Fault(keys[0], *words) if len(keys) == 1 else Fault(key, *words, keys)


def many_faults(error: ValidationError, place: str) -> ManyFaultsError:
    """Return all that a form refuses as one error.

    Parameters
    ----------
    error : of the form of a job
    place : name of the file or of the command line
    """
    return ManyFaultsError(fault.at(place) for fault in faults_of(error))


def _words(detail: ErrorDetails, key: str) -> tuple[str, str]:
    """Return what was found and what was expected."""
    found = shown(detail.get("input"))
    match detail["type"]:
        case "input":
            return detail["ctx"]["found"], detail["ctx"]["expected"]
        case "extra_forbidden":
            known = RENAMED.get(key, "one of the keys of a job file")
            return "a key that no job has", known
        case "missing":
            return "nothing", "a value"
        case "literal_error":
            return found, detail["ctx"]["expected"]
        case "model_type" | "dict_type" | "model_attributes_type":
            return found, f"a table of keys, such as [{key}]"
        case "tuple_type" | "list_type":
            parts = key.endswith(("run", "wire"))
            return found, "a list of straights and bends" if parts else "a list in brackets"
        case "string_type":
            return found, "text"
        case _:
            return found, detail["msg"].lower()
