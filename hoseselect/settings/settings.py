"""What a shop has set: the values, and the form by which they are read."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, ValidationError

from hoseselect.domain.job import Usual
from hoseselect.files.settings_file import place_of
from hoseselect.intake.door import Fluids, Pressure, Temperature, Word, guarded
from hoseselect.intake.faults import complaint, faults_of, shown
from hoseselect.intake.plausibility import is_bare
from hoseselect.judging.services import family
from hoseselect.knowledge.errors import HoseselectError, InputError, ManyFaultsError
from hoseselect.knowledge.load import limit
from hoseselect.quantities.read import read_answer

LONGEST = 300


@dataclass(frozen=True)
class Settings:
    """What a shop has set, and what holds where it has set nothing.

    Parameters
    ----------
    usual : where a job is silent
    units : "mm" or "in", shown first
    paper : "a4" or "letter"
    currency : of prices
    catalog : folder of the shop's own catalogue; empty = the built-in one
    language : of the words
    book : whether a job book is kept
    book_file : its file; empty = in the user's folder of data
    """

    usual: Usual = field(default_factory=Usual)
    units: str = "mm"
    paper: str = "a4"
    currency: str = ""
    catalog: str = ""
    language: str = "en"
    book: bool = True
    book_file: str = ""


def _with_unit(value: Any) -> Any:
    """Refuse a bare figure: nobody is there to ask back."""
    if is_bare(value, degrees=True):
        raise complaint(shown(value), "a figure with its unit, such as '-20 degC' or '15 psi'")
    return value


def _known(value: float) -> float:
    if math.isnan(value):
        raise complaint("a figure that is not known", UNSET)
    return value


UNSET = "a value, or no such key: `hoseselect settings unset` takes it away"


def _coldest(value: float) -> float:
    mildest = limit("coldest-start-mildest")
    if value > mildest:
        raise complaint(f"{value:g} degC", f"a winter's coldest start, {mildest:g} degC at most")
    return value


def _cap(value: float) -> float:
    least = limit("cap-pressure-least")
    if value < least:
        raise complaint(f"{value:g} kPa", f"what the cap is stamped with, {least:g} kPa at least")
    return value


def _fuels(value: tuple[str, ...]) -> tuple[str, ...]:
    odd = [fluid for fluid in value if fluid == "unknown" or family(fluid) != "fuel"]
    if odd or not value:
        raise complaint(f"'{odd[0]}'" if odd else "nothing", "fuels such as petrol-e10, diesel-b7")
    return value


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise complaint(shown(value), "text in quotes")
    if not value.isprintable() or len(value) > LONGEST:
        raise complaint(shown(value), "short text without control characters")
    return value.strip()


def _kept(value: Any) -> bool:
    answer = "yes" if value is True else "no" if value is False else value
    words = {"on": "yes", "off": "no"}
    answer = words.get(str(answer).strip().casefold(), answer)
    known = read_answer(answer, "") if isinstance(answer, str) else "unknown"
    if known == "unknown":
        raise InputError("", shown(value), "on or off")
    return known == "yes"


Text = Annotated[str, BeforeValidator(_text)]
Unit, Known = BeforeValidator(_with_unit), AfterValidator(_known)


class SettingsForm(BaseModel):
    """The settings as they stand in the file."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    coldest_start: Annotated[
        Temperature, Unit, AfterValidator(_known), AfterValidator(_coldest)
    ] = math.nan
    fuel: Annotated[Fluids, AfterValidator(_fuels)] = ()
    cap_pressure: Annotated[Pressure, Unit, Known, AfterValidator(_cap)] = math.nan
    units: Annotated[Literal["mm", "in"], Word] = "mm"
    paper: Annotated[Literal["a4", "letter"], Word] = "a4"
    currency: Text = ""
    catalog: Text = ""
    language: Annotated[Literal["en"], Word] = "en"
    book: Annotated[bool, guarded(_kept)] = True
    book_file: Text = ""


MEANINGS = {
    "coldest_start": "coldest start of a winter, where a job does not tell it, e.g. '-20 degC'",
    "fuel": "worst fuels sold, where a job names none, e.g. 'petrol-e10, diesel-b7'",
    "cap_pressure": "highest pressure on the caps of cooling systems, e.g. '110 kPa' or '15 psi'",
    "units": "what is shown first, and the cut's step: mm or in",
    "paper": "a4 or letter",
    "currency": "written behind prices, e.g. EUR",
    "catalog": "folder of the shop's own catalogue",
    "language": "of the words: en, the only one there is",
    "book": "whether the job book is kept: on or off",
    "book_file": "file of the job book, where it is not in the user's folder of data",
}
"""Keys and what they mean, in the order in which they are shown."""


def read_settings(entries: Mapping[str, Any], path: Path, text: str = "") -> Settings:
    """Return the settings that the entries of a file describe.

    Parameters
    ----------
    entries : of the file
    path : of the file
    text : of the file, in which places are looked up

    Raises
    ------
    ManyFaultsError
        with file:line:column of every entry that cannot be used.
    """
    try:
        form = SettingsForm.model_validate(dict(entries))
    except ValidationError as error:
        faults = (_placed(fault, path, text) for fault in faults_of(error))
        raise ManyFaultsError(tuple(faults)) from None
    own = {name: getattr(form, name) for name in ALIKE}
    return Settings(Usual(form.coldest_start, form.cap_pressure, form.fuel), **own)


ALIKE = ("units", "paper", "currency", "catalog", "language", "book", "book_file")


def _placed(fault: HoseselectError, path: Path, text: str) -> HoseselectError:
    key = fault.place.partition(".")[0]
    where = f"{place_of(path, text, key)}: {key}"
    if key not in MEANINGS:
        return InputError(where, "a key that no setting has", f"one of {', '.join(MEANINGS)}")
    return fault.at(where)
