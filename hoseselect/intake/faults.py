"""What is wrong with a form: place, found and expected of every fault, kept to the end."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from hoseselect.knowledge.errors import HoseselectError, InputError

OWN = "input"
"""Type of the complaints that the forms make themselves."""

LONGEST_SHOWN = 60
NOISE = {"float", "BendForm"}
"""What the library adds to the place of a fault."""

RENAMED = {"cut_length": "piece, the length of a piece that is already cut"}
"""Keys that have another name now."""


def shown(value: Any) -> str:
    """Return a value for a complaint, cut short."""
    text = ascii(value)
    return text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}..."


def complaint(found: str, expected: str, *keys: str) -> PydanticCustomError:
    """Return what is wrong with a field or a table; the place is known to the form.

    Parameters
    ----------
    found, expected : as in an error
    keys : of the table, where several of them do not go together
    """
    return handed_on(InputError("", found, expected, keys=keys))


def handed_on(error: HoseselectError) -> PydanticCustomError:
    """Return an error as the form hands it on, without its place."""
    parts = {"found": error.found, "expected": error.expected, "error": error}
    return PydanticCustomError(OWN, "found {found}; expected {expected}", parts)


def faults_of(error: ValidationError, place: str = "", table: str = "") -> tuple[InputError, ...]:
    """Return every fault of a form once.

    Parameters
    ----------
    error : of the form
    place : name of the file or of the command line; empty = the keys alone
    table : which table of the job file the form is; empty = the whole job
    """
    details = error.errors(include_url=False)
    return tuple(dict.fromkeys(_fault(detail, place, table) for detail in details))


Form = TypeVar("Form", bound=BaseModel)


def read_part(form: type[Form], value: Mapping[str, Any], expected: str) -> Form:
    """Return a table inside a list, such as a bend of a run.

    Parameters
    ----------
    form : of the table
    value : as typed
    expected : what would be right in its place

    Raises
    ------
    PydanticCustomError
        when the form refuses it: for a complaint of a field, with the field's own words.
    """
    try:
        return form.model_validate(dict(value))
    except ValidationError as error:
        detail = error.errors(include_url=False)[0]
        if detail["type"] == OWN:
            fault = _fault(detail, "")
            raise complaint(f"in {fault.place} {fault.found}", fault.expected) from None
        raise complaint(shown(dict(value)), expected) from None


def _fault(detail: ErrorDetails, place: str, table: str = "") -> InputError:
    parts = [table] * bool(table) + [str(part) for part in detail["loc"] if str(part) not in NOISE]
    key = ".".join(parts)
    where = f"{place}: {key}" if place and key else place or key
    own = detail.get("ctx", {}).get("error")
    if isinstance(own, HoseselectError):
        own = own if isinstance(own, InputError) else InputError("", own.found, own.expected)
        keys = tuple(f"{key}.{name}" if key else name for name in own.keys)
        return replace(own, place=where, keys=keys or _keys(key))
    found, expected = _in_words(detail, parts)
    return InputError(where, found, expected, keys=_keys(key))


def _keys(key: str) -> tuple[str, ...]:
    return (key,) if key else ()


def _in_words(detail: ErrorDetails, parts: Sequence[str]) -> tuple[str, str]:
    """Return found and expected of a fault that the library found."""
    found = shown(detail.get("input"))
    match detail["type"]:
        case "extra_forbidden":
            known = RENAMED.get(".".join(parts), "one of the keys of a job file")
            return "a key that no job has", known
        case "missing":
            return "nothing", "a value"
        case "literal_error":
            return found, detail["ctx"]["expected"]
        case "model_type" | "dict_type" | "model_attributes_type":
            return found, f"a table of keys, such as [{'.'.join(parts)}]"
        case "tuple_type" | "list_type":
            pieces = parts[-1:] in (["run"], ["wire"])
            return found, "a list of straights and bends" if pieces else "a list in brackets"
        case "string_type":
            return found, "text"
        case _:
            return found, detail["msg"].lower()
