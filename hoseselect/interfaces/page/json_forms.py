"""What the JSON interface takes and gives, as its OpenAPI document tells it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import Path
from pydantic import BaseModel, ConfigDict, Field

MOST_HOSES = 10
"""Hoses of an answer that are told in full where nobody asks for more."""
MOST_LETTERS = 200
"""Of a text beside the job: a hose, a length, a note."""
MOST_NAMES = 200

Text = Annotated[str, Field(max_length=MOST_LETTERS)]
Number = Annotated[int, Path(ge=1, le=10**12, description="Number of the job in the book.")]
Day = Annotated[str, Field(max_length=10, description="A day as 2031-05-30; empty = today.")]


class Asked(BaseModel):
    """A job and how it is to be answered."""

    model_config = ConfigDict(extra="forbid")

    job: dict[str, Any] = Field(
        description="Keys as in a job file; docs/reference/job-file.md names them."
    )
    units: Literal["mm", "in"] = Field("mm", description="Workshop step of the cut.")
    top: int | None = Field(
        MOST_HOSES, ge=0, description="Hoses that are told in full, best first; null = every one."
    )
    keep: bool = Field(False, description="Write the job into the job book.")
    note: Text = Field("", description="Of the job in the book.")


class PickAsked(Asked):
    """As the command `pick` takes it."""

    prefer: Literal["margin", "price", "stock"] = Field(
        "margin", description="What comes first among equals."
    )
    shelf: list[Text] = Field(
        [], max_length=MOST_NAMES, description="Only these hose types or sizes; empty = all."
    )


class CheckAsked(Asked):
    """As the command `check` takes it."""

    hose: Text = Field(description="Hose size or hose type of the catalogue, or its print.")


class CutAsked(Asked):
    """As the command `cut` takes it."""

    hose: Text | None = Field(None, description="Hose size of the catalogue.")
    radius: Text | None = Field(None, description="Least bend radius, without a hose.")
    outside_diameter: Text | None = Field(None, description="Of the hose, with a radius.")


class FittedAsked(BaseModel):
    """What was fitted on a job of the book."""

    model_config = ConfigDict(extra="forbid")

    fitted: bool = Field(description="Whether a hose was fitted.")
    hose: Text = Field("", description="Which; empty = the one that was offered.")
    on: Day = ""
    recheck: Day = Field("", description="Day of the re-check; empty = the usual time after it.")


class DoneAsked(BaseModel):
    """When a fitted hose was looked at again."""

    model_config = ConfigDict(extra="forbid")

    on: Day = ""


class NoteAsked(BaseModel):
    """Another note beside a job."""

    model_config = ConfigDict(extra="forbid")

    note: Text


class Answered(BaseModel):
    """The answer of `pick` and `check`; docs/answer.schema.json tells every part."""

    number: int | None = Field(description="Of the job in the book; null where it is not kept.")
    job: dict[str, Any]
    summary: dict[str, Any]
    stop: list[dict[str, Any]]
    assumptions: list[dict[str, Any]]
    ask_next: list[dict[str, Any]]
    hoses: list[dict[str, Any]]
    hoses_in_all: int = Field(description="Hoses that were looked at, told in full or not.")
    way_out: list[str]
    two_pieces: dict[str, Any] | None
    old_hose: list[str]
    cautions: list[dict[str, Any]]
    checklist: list[dict[str, Any]]
    sources: list[str]


class CutAnswered(BaseModel):
    """The answer of `cut`; docs/answer.schema.json tells every part."""

    number: int | None = Field(description="Of the job in the book; null where it is not kept.")
    job: dict[str, Any]
    stop: list[dict[str, Any]]
    hose: dict[str, Any] | None
    reasons: list[str]
    cut: dict[str, Any] | None


class Kept(BaseModel):
    """A line of the job book."""

    number: int
    asked_at: str
    job: dict[str, Any]
    command: str
    service: str
    verdict: str
    hose: str
    cut_mm: float | None
    options: dict[str, Any]
    units: str
    name: str
    note: str
    altered_from: int
    fitted: str
    fitted_hose: str
    fitted_on: str
    recheck_on: str
    done_on: str


class Roll(BaseModel):
    """A roll in stock."""

    roll: str
    hose_size: str
    length_m: float
    place: str
    date_made: str


class Fault(BaseModel):
    """Why a request cannot be answered."""

    error: str = Field(description="One sentence, or one for each fault.")
    keys: list[str] = Field(description="Keys of a job file that it is about.")


FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"model": Fault, "description": words}
    for status, words in (
        (400, "The body is no JSON."),
        (403, "No access key, or a form of another site."),
        (413, "The body is too large."),
        (422, "What was asked cannot be answered, with the reason."),
    )
}
