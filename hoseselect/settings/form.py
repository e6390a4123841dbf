"""The form of the file with what a shop has set: checked by the field types of a job."""

from __future__ import annotations

import math
from collections.abc import Mapping
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
from hoseselect.settings.settings import MEANINGS, Settings

LONGEST = 300


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


def read_settings(entries: Mapping[str, Any], path: Path, text: str = "") -> Settings:
    """Return the settings that the entries of a file describe.

    Parameters
    ----------
    entries : of the file
    path : of the file
    text : of the file, in which places are looked up; empty = typed by itself

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
    where = f"{place_of(path, text, key)}: {key}" if text else key
    if key not in MEANINGS:
        return InputError(where, "a key that no setting has", f"one of {', '.join(MEANINGS)}")
    return fault.at(where)
