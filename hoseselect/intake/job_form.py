"""The form of a job as the user writes it; its JSON Schema is the published form of a job file.

Every value may be "unknown". Strings carry units; bare numbers are mm, kPa gauge and degC.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    model_validator,
)
from pydantic_core import PydanticCustomError

from hoseselect.domain.job import Duty, Features, HeatSource, Job, Nipple, OldHose, Route
from hoseselect.domain.run_parts import Bend, RunPart, Straight
from hoseselect.intake.door import (
    LONGEST,
    NAN,
    Angle,
    Bore,
    Diameter,
    Drips,
    FailureWord,
    Flow,
    Fluids,
    Length,
    Pressure,
    PublishedAs,
    Radius,
    Service,
    Temperature,
    Word,
    YesNo,
    once,
    quantity,
)
from hoseselect.intake.faults import complaint, handed_on, read_part, shown
from hoseselect.intake.free_field import FreeField
from hoseselect.intake.nipple import nipple_of
from hoseselect.intake.run_text import Listed
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.quantities.read import read_quantity


class Form(BaseModel):
    """Common settings: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def told(form: Form) -> dict[str, Any]:
    """Return the values of a form without inner tables, by key."""
    return {name: getattr(form, name) for name in type(form).model_fields}


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
        for low, high in ORDERED:
            least, most = getattr(self, low), getattr(self, high)
            if least > most:
                raise complaint(
                    f"{low} {least:g} above {high} {most:g}", f"{low} at most {high}", low, high
                )
        return self

    @cached_property
    def domain(self) -> Duty:
        """The conditions."""
        return Duty(**told(self))


ORDERED = (
    ("fluid_steady", "fluid_peak"),
    ("air_steady", "air_peak"),
    ("pressure_min", "pressure_max"),
    ("pressure_max", "pressure_spike"),
)


class NippleForm(Form):
    """What the hose is pushed on: diameters and lengths [mm]."""

    outside_diameter: Diameter = NAN
    bead: YesNo = "unknown"
    bead_diameter: Diameter = NAN
    measured_on: Annotated[Literal["plain", "bead", "unknown"], Word] = "unknown"
    usable_length: Length = NAN
    engagement: Length = NAN
    material: Annotated[Literal["metal", "plastic", "unknown"], Word] = "unknown"
    fixed_to: Annotated[Literal["engine", "body", "unknown"], Word] = "unknown"

    @model_validator(mode="after")
    def _checked(self) -> NippleForm:
        _ = self.domain
        return self

    @property
    def given(self) -> dict[str, Any]:
        """What is told of it, by key; what is left out is not there."""
        return {name: getattr(self, name) for name in self.model_fields_set}

    @cached_property
    def domain(self) -> Nipple:
        """The nipple."""
        return nipple_of(self.given)


class BendForm(Form):
    """A bend of a run: angle [deg], centreline radius [mm], turn of plane [deg]."""

    bend: Annotated[float, quantity("angle", minimum=0.0, maximum=360.0)]
    radius: Radius
    turn: Angle = 0.0


def _run_part(value: Any) -> Any:
    """Return a straight as its length [mm], a bend as its form."""
    if not isinstance(value, Mapping | str | int | float) or isinstance(value, bool):
        raise complaint(shown(value), PART)
    if not isinstance(value, Mapping):
        try:
            return _straight(value)
        except HoseselectError as error:
            raise handed_on(error) from error
    return read_part(BendForm, value, PART)


@once
def _straight(value: Any) -> float:
    """Return a straight as its length [mm]."""
    return read_quantity(value, "length", "", minimum=0.0, maximum=LONGEST)


PART_SCHEMA = PublishedAs(
    {
        "anyOf": [
            {"type": "number"},
            {"type": "string"},
            {
                "type": "object",
                "required": ["bend", "radius"],
                "additionalProperties": False,
                "properties": {
                    name: {"anyOf": [{"type": "number"}, {"type": "string"}]}
                    for name in ("bend", "radius", "turn")
                },
            },
        ]
    }
)
PART = 'a straight such as "60 mm" or a bend such as {bend = "90 deg", radius = "110 mm"}'


class HeatSourceForm(Form):
    """Something hot nearby: distance from the hose's surface [mm]."""

    distance: Length = NAN
    shielded: YesNo = "unknown"


class RouteForm(Form):
    """How the hose runs: lengths and radii along the centreline [mm]."""

    run: Annotated[
        tuple[Annotated[float | BendForm, BeforeValidator(_run_part), PART_SCHEMA], ...], Listed
    ] = ()
    measured: Length = NAN
    tightest_radius: Radius = NAN
    movement: Length = NAN
    supports: Length = NAN
    low_spot: YesNo = "unknown"
    fall: YesNo = "unknown"
    heat_source: HeatSourceForm = HeatSourceForm()
    free: Annotated[Any, FreeField()] = Field(
        default=None, description="natural bend between two nipples"
    )

    @model_validator(mode="after")
    def _one_kind(self) -> RouteForm:
        if self.free is not None and (self.run or not math.isnan(self.measured)):
            raise complaint("free beside run or measured", ONE_ROUTE, "free", "run", "measured")
        if self.run and not math.isnan(self.measured):
            raise complaint("both run and measured", ONE_ROUTE, "run", "measured")
        if self.measured == 0:
            raise complaint("a measured length of nothing", MEASURED, "measured")
        for part in self.run:
            number = part.bend if isinstance(part, BendForm) else part
            if math.isnan(number) or (isinstance(part, BendForm) and not part.radius > 0):
                raise complaint(
                    "a run with an unknown or empty part",
                    "every straight in mm and every bend with angle and radius, or leave run out",
                    "run",
                )
        return self

    @cached_property
    def domain(self) -> Route:
        """The route, without its free ends."""
        parts: list[RunPart] = [
            Bend(p.bend, p.radius, p.turn) if isinstance(p, BendForm) else Straight(p)
            for p in self.run
        ]
        kind: Literal["measured", "run", "free", "clipped", "unknown"] = "unknown"
        if self.free is not None:
            kind = "clipped" if self.free.clip else "free"
        elif parts:
            kind = "run"
        elif not math.isnan(self.measured):
            kind = "measured"
        return Route(
            kind=kind,
            measured=self.measured,
            run=tuple(parts),
            tightest_radius=self.tightest_radius,
            movement=self.movement,
            supports=self.supports,
            low_spot=self.low_spot,
            fall=self.fall,
            heat_source=HeatSource(self.heat_source.distance, self.heat_source.shielded),
        )

    def between(self, nipple_a: Nipple, nipple_b: Nipple) -> Route:
        """Return the route between two nipples, whose parts say what moves on a free one."""
        if self.free is None:
            return self.domain
        free = self.free.to_domain(nipple_a.fixed_to, nipple_b.fixed_to)
        return replace(self.domain, free=free)


ONE_ROUTE = "one description of the route"
MEASURED = 'the length between the nipples such as "300 mm", or unknown'
INSERTS = Literal[
    "none", "restrictor", "check-valve", "flame-trap", "moulded-in", "something", "unknown"
]
END_FITTINGS = Literal["plain", "quick-connect", "crimped", "threaded", "flanged", "unknown"]
PLACES = Literal["road-vehicle", "boat", "aircraft"]
CONDITIONS = Literal[
    "hard-outside",
    "hard-inside",
    "swollen-inside",
    "swollen-outside",
    "swollen",
    "split",
    "inner-cracks",
    "flattened",
    "rubbed",
    "pulled-off",
    "burst",
    "brittle",
    "unknown",
]


class FeaturesForm(Form):
    """What else decides whether this is a job for bulk hose."""

    insert: Annotated[INSERTS, Word] = "unknown"
    turbo: YesNo = "unknown"
    sees_boost: YesNo = "unknown"
    submerged: YesNo = "unknown"
    end_fitting: Annotated[END_FITTINGS, Word] = "unknown"
    print_lost: YesNo = "no"
    place: Annotated[PLACES, Word] = "road-vehicle"

    @cached_property
    def domain(self) -> Features:
        """The features."""
        return Features(**told(self))


class OldHoseForm(Form):
    """The broken hose, as a hint only [mm]."""

    bore: Bore = NAN
    outside_diameter: Diameter = NAN
    length: Length = NAN
    condition: Annotated[CONDITIONS, FailureWord] = "unknown"
    reuse: YesNo = "no"

    @model_validator(mode="after")
    def _bore_below_outside(self) -> OldHoseForm:
        if self.bore >= self.outside_diameter:
            raise complaint(
                f"bore {self.bore:g} not below outside_diameter {self.outside_diameter:g}",
                "a bore inside the hose",
                "bore",
                "outside_diameter",
            )
        return self

    @cached_property
    def domain(self) -> OldHose:
        """The old hose."""
        return OldHose(**told(self))


class JobForm(Form):
    """A job as the user writes it; every value may be "unknown"."""

    service: Service
    name: str = ""
    fluids: Fluids = ()
    drips: Drips = ("unknown",)
    original_bore: Bore = NAN
    piece: Length = NAN
    duty: DutyForm = DutyForm()
    nipples: NippleForm | None = Field(default=None, description="both nipples alike")
    nipple_a: NippleForm = NippleForm()
    nipple_b: NippleForm = NippleForm()
    route: RouteForm = RouteForm()
    features: FeaturesForm = FeaturesForm()
    old_hose: OldHoseForm = OldHoseForm()

    @model_validator(mode="after")
    def _merged(self) -> JobForm:
        _ = self.ends
        return self

    @cached_property
    def ends(self) -> tuple[Nipple, Nipple]:
        """Both nipples: what they share, then what each has of its own."""
        return self._end("nipple_a"), self._end("nipple_b")

    def _end(self, name: str) -> Nipple:
        """Return one nipple.

        A bead of its own, or the lack of one, stands against the shared bead diameter; so do a
        usable length and an engagement of its own.
        """
        own: NippleForm = getattr(self, name)
        if self.nipples is None or not own.model_fields_set:
            return (self.nipples or own).domain
        given, shared = own.given, self.nipples.given
        if given.get("bead") == "no":
            shared.pop("bead_diameter", None)
        if "usable_length" in given or "engagement" in given:
            shared.pop("usable_length", None)
            shared.pop("engagement", None)
        try:
            return nipple_of({**shared, **given})
        except PydanticCustomError as error:
            fault: InputError = (error.context or {})["error"]
            raise complaint(
                fault.found,
                f"{fault.expected}, in {name} with what [nipples] says",
                *(f"{table}.{key}" for table in (name, "nipples") for key in fault.keys),
            ) from None

    def to_domain(self) -> Job:
        """Return the job."""
        nipple_a, nipple_b = self.ends
        return Job(
            service=self.service,
            name=self.name,
            fluids=self.fluids,
            drips=self.drips,
            duty=self.duty.domain,
            nipple_a=nipple_a,
            nipple_b=nipple_b,
            route=self.route.between(nipple_a, nipple_b),
            features=self.features.domain,
            old_hose=self.old_hose.domain,
            original_bore=self.original_bore,
            piece=self.piece,
        )
