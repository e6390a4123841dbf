"""The door for jobs: what a user writes, with units and odd spelling, becomes a Job.

The published form of a job file is the JSON Schema of `JobForm`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    model_validator,
)
from pydantic_core import ErrorDetails, PydanticCustomError

from hoseselect.application.names import known_fluid, known_service
from hoseselect.domain.job import (
    Duty,
    Features,
    HeatSource,
    Job,
    Nipple,
    OldHose,
    Route,
)
from hoseselect.domain.pieces import Bend, Piece, Straight
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.knowledge.quantities import read_answer, read_quantity


def _guarded(read: Callable[[Any], Any]) -> BeforeValidator:
    """Return a validator that hands on what is wrong without the place, which pydantic knows."""

    def validate(value: Any) -> Any:
        try:
            return read(value)
        except HoseselectError as error:
            raise PydanticCustomError(
                "input",
                "found {found}; expected {expected}",
                {"found": error.found, "expected": error.expected},
            ) from error

    return BeforeValidator(validate)


def _quantity(kind: str, **bounds: Any) -> BeforeValidator:
    return _guarded(lambda value: read_quantity(value, kind, "", **bounds))


Length = Annotated[float, _quantity("length", minimum=0.0)]
Diameter = Annotated[float, _quantity("length", minimum=0.0, around_allowed=True)]
Temperature = Annotated[float, _quantity("temperature")]
Pressure = Annotated[float, _quantity("pressure", minimum=-101.325)]
Angle = Annotated[float, _quantity("angle")]
Flow = Annotated[float, _quantity("flow", minimum=0.0)]
YesNo = Annotated[Literal["yes", "no", "unknown"], _guarded(lambda value: read_answer(value, ""))]
NAN = math.nan
UNKNOWN_WORDS = ("", "unknown", "don't know", "dont know", "don\u2019t know", "?", "not known")


def _word(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    text = value.strip().lower()
    return "unknown" if text in UNKNOWN_WORDS else text.replace("_", "-").replace(" ", "-")


def _fluids(value: Any) -> Any:
    if isinstance(value, str):
        value = [part for part in value.replace(";", ",").split(",") if part.strip()]
    if not isinstance(value, list | tuple):
        raise InputError("", repr(value), 'a list of fluids, such as ["petrol-e10"]')
    return tuple(
        "unknown" if str(v).strip().lower() in UNKNOWN_WORDS else known_fluid(str(v)) for v in value
    )


Fluids = Annotated[tuple[str, ...], _guarded(_fluids)]


class Form(BaseModel):
    """Common settings: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class DutyForm(Form):
    """Conditions: temperatures [degC], pressures [kPa gauge, suction negative], flow [L/min]."""

    fluid_steady: Temperature = NAN
    fluid_peak: Temperature = NAN
    air_steady: Temperature = NAN
    air_peak: Temperature = NAN
    coldest_start: Temperature = NAN
    pressure_min: Pressure = NAN
    pressure_max: Pressure = NAN
    pressure_spike: Pressure = NAN
    flow: Flow = NAN

    @model_validator(mode="after")
    def _ordered(self) -> DutyForm:
        for low, high in (
            ("fluid_steady", "fluid_peak"),
            ("air_steady", "air_peak"),
            ("pressure_min", "pressure_max"),
            ("pressure_max", "pressure_spike"),
        ):
            if getattr(self, low) > getattr(self, high):
                raise PydanticCustomError(
                    "input",
                    "found {low} {a} above {high} {b}; expected {low} at most {high}",
                    {
                        "low": low,
                        "high": high,
                        "a": f"{getattr(self, low):g}",
                        "b": f"{getattr(self, high):g}",
                    },
                )
        return self


class NippleForm(Form):
    """What the hose is pushed on: diameters and lengths [mm]."""

    outside_diameter: Diameter = NAN
    bead: YesNo = "unknown"
    bead_diameter: Diameter = NAN
    measured_on: Annotated[Literal["plain", "bead", "unknown"], BeforeValidator(_word)] = "unknown"
    usable_length: Length = NAN
    engagement: Length = NAN
    material: Annotated[Literal["metal", "plastic", "unknown"], BeforeValidator(_word)] = "unknown"
    fixed_to: Annotated[Literal["engine", "body", "unknown"], BeforeValidator(_word)] = "unknown"

    @model_validator(mode="after")
    def _bead_above_plain(self) -> NippleForm:
        if self.outside_diameter == 0:
            raise PydanticCustomError(
                "input", "found a nipple of 0 mm; expected its outside diameter"
            )
        if self.bead_diameter <= self.outside_diameter:
            raise PydanticCustomError(
                "input",
                "found bead_diameter {bead} not above outside_diameter {plain}; expected the nipple on"
                " the plain part and the bead on the bump: which is which?",
                {"bead": f"{self.bead_diameter:g}", "plain": f"{self.outside_diameter:g}"},
            )
        if self.bead == "no" and not math.isnan(self.bead_diameter):
            raise PydanticCustomError(
                "input", "found bead = no together with bead_diameter; expected one of them"
            )
        if self.engagement > self.usable_length:
            raise PydanticCustomError(
                "input",
                "found engagement {a} above usable_length {b}; expected at most that",
                {"a": f"{self.engagement:g}", "b": f"{self.usable_length:g}"},
            )
        return self

    def to_domain(self) -> Nipple:
        """Return the nipple; a bead diameter says that there is a bead."""
        values = self.model_dump()
        if not math.isnan(self.bead_diameter):
            values["bead"] = "yes"
        return Nipple(**values)


class BendForm(Form):
    """A bend of a run: angle [deg], centreline radius [mm], turn of plane [deg]."""

    bend: Annotated[float, _quantity("angle", minimum=0.0, maximum=360.0)]
    radius: Length
    turn: Angle = 0.0


def _piece(value: Any) -> Any:
    return value if isinstance(value, Mapping) else read_quantity(value, "length", "", minimum=0.0)


class HeatSourceForm(Form):
    """Something hot nearby: distance from the hose's surface [mm]."""

    distance: Length = NAN
    shielded: YesNo = "unknown"


class RouteForm(Form):
    """How the hose runs: lengths and radii along the centreline [mm]."""

    run: tuple[Annotated[float | BendForm, _guarded(_piece)], ...] = ()
    measured: Length = NAN
    tightest_radius: Length = NAN
    movement: Length = NAN
    supports: Length = NAN
    low_spot: YesNo = "unknown"
    fall: YesNo = "unknown"
    heat_source: HeatSourceForm = HeatSourceForm()

    @model_validator(mode="after")
    def _one_kind(self) -> RouteForm:
        if self.run and not math.isnan(self.measured):
            raise PydanticCustomError(
                "input", "found both run and measured; expected one description of the route"
            )
        for piece in self.run:
            number = piece.bend if isinstance(piece, BendForm) else piece
            if math.isnan(number) or (isinstance(piece, BendForm) and not piece.radius > 0):
                raise PydanticCustomError(
                    "input",
                    "found a run with an unknown or empty piece; expected every straight in mm and"
                    " every bend with angle and radius, or leave run out",
                )
        return self

    def to_domain(self) -> Route:
        """Return the route."""
        pieces: list[Piece] = [
            Bend(p.bend, p.radius, p.turn) if isinstance(p, BendForm) else Straight(p)
            for p in self.run
        ]
        kind: Literal["run", "measured", "unknown"] = "unknown"
        if pieces:
            kind = "run"
        elif not math.isnan(self.measured):
            kind = "measured"
        return Route(
            kind=kind,
            measured=self.measured,
            pieces=tuple(pieces),
            tightest_radius=self.tightest_radius,
            movement=self.movement,
            supports=self.supports,
            low_spot=self.low_spot,
            fall=self.fall,
            heat_source=HeatSource(self.heat_source.distance, self.heat_source.shielded),
        )


INSERTS = Literal["none", "restrictor", "check-valve", "flame-trap", "something", "unknown"]
END_FITTINGS = Literal["plain", "quick-connect", "crimped", "threaded", "unknown"]
PLACES = Literal["road-vehicle", "boat", "aircraft"]
CONDITIONS = Literal[
    "brittle", "soft", "swollen", "flattened", "rubbed", "split", "pulled-off", "unknown"
]


class FeaturesForm(Form):
    """What else decides whether this is a job for bulk hose."""

    insert: Annotated[INSERTS, BeforeValidator(_word)] = "unknown"
    turbo: YesNo = "unknown"
    sees_boost: YesNo = "unknown"
    submerged: YesNo = "unknown"
    end_fitting: Annotated[END_FITTINGS, BeforeValidator(_word)] = "unknown"
    place: Annotated[PLACES, BeforeValidator(_word)] = "road-vehicle"


class OldHoseForm(Form):
    """The broken hose, as a hint only [mm]."""

    bore: Diameter = NAN
    outside_diameter: Diameter = NAN
    length: Length = NAN
    condition: Annotated[CONDITIONS, BeforeValidator(_word)] = "unknown"
    reuse: YesNo = "no"

    @model_validator(mode="after")
    def _bore_below_outside(self) -> OldHoseForm:
        if self.bore >= self.outside_diameter:
            raise PydanticCustomError(
                "input",
                "found bore {a} not below outside_diameter {b}; expected a bore inside the hose",
                {"a": f"{self.bore:g}", "b": f"{self.outside_diameter:g}"},
            )
        return self


class JobForm(Form):
    """A job as the user writes it; every value may be "unknown"."""

    service: Annotated[str, _guarded(lambda value: known_service(value))]
    name: str = ""
    fluids: Fluids = ()
    drips: Fluids = ("unknown",)
    original_bore: Diameter = NAN
    cut_length: Length = NAN
    duty: DutyForm = DutyForm()
    nipples: NippleForm | None = Field(default=None, description="both nipples alike")
    nipple_a: NippleForm = NippleForm()
    nipple_b: NippleForm = NippleForm()
    route: RouteForm = RouteForm()
    features: FeaturesForm = FeaturesForm()
    old_hose: OldHoseForm = OldHoseForm()

    def to_domain(self) -> Job:
        """Return the job."""
        fluids = () if "unknown" in self.fluids else self.fluids
        drips = ("unknown",) if "unknown" in self.drips else self.drips
        a = self._nipple("nipple_a")
        b = self._nipple("nipple_b")
        return Job(
            service=self.service,
            name=self.name,
            fluids=fluids,
            drips=drips,
            duty=Duty(**self.duty.model_dump()),
            nipple_a=a,
            nipple_b=b,
            route=self.route.to_domain(),
            features=Features(**self.features.model_dump()),
            old_hose=OldHose(**self.old_hose.model_dump()),
            original_bore=self.original_bore,
            cut_length=self.cut_length,
        )

    def _nipple(self, name: str) -> Nipple:
        """Return one nipple: what both share, then its own; a diameter of its own stands alone."""
        own = getattr(self, name).model_dump(exclude_unset=True)
        shared = {} if self.nipples is None else self.nipples.model_dump(exclude_unset=True)
        if "outside_diameter" in own or own.get("bead") == "no":
            shared.pop("bead_diameter", None)
        if "usable_length" in own or "engagement" in own:
            shared.pop("usable_length", None)
            shared.pop("engagement", None)
        return NippleForm.model_validate({**shared, **own}).to_domain()


def read_job(values: Mapping[str, Any], place: str = "job") -> Job:
    """Return the job that a mapping describes.

    Parameters
    ----------
    values : keys as in a job file
    place : name of the file or of the command line, for complaints

    Raises
    ------
    InputError
        with one sentence for every field that cannot be used.
    """
    try:
        return JobForm.model_validate(dict(values)).to_domain()
    except ValidationError as error:
        raise JobError(place, error.errors(include_url=False)) from error


class JobError(InputError):
    """A job that cannot be used: one sentence for every field.

    Parameters
    ----------
    place : name of the file or of the command line
    details : what the door found
    """

    def __init__(self, place: str, details: list[ErrorDetails]) -> None:
        self.sentences = tuple(dict.fromkeys(_sentence(place, detail) for detail in details))
        super().__init__(place, "what cannot be used", "a job")

    def __str__(self) -> str:
        return "\n".join(self.sentences)


def _sentence(place: str, detail: ErrorDetails) -> str:
    field = ".".join(str(part) for part in detail["loc"] if str(part) not in NOISE)
    where = f"{place}: {field}" if field else place
    found = repr(detail.get("input"))
    match detail["type"]:
        case "input":
            return f"{where}: {detail['msg']}"
        case "extra_forbidden":
            return f"{where}: found a key that no job has; expected one of the keys of a job file"
        case "missing":
            return f"{where}: found nothing; expected a value"
        case "literal_error":
            wanted = detail["ctx"]["expected"]
            return f"{where}: found {found}; expected {wanted}"
        case _:
            return f"{where}: found {found}; expected {detail['msg'].lower()}"


NOISE = {"float", "BendForm", "function-before[validate(), union[float,BendForm]]"}
