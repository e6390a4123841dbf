"""The form of a job as the user writes it; its JSON Schema is the published form of a job file.

Every value may be "unknown". Strings carry units; bare numbers are mm, kPa gauge and degC.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    model_validator,
)

from hoseselect.domain.job import Duty, Features, HeatSource, Job, Nipple, OldHose, Route
from hoseselect.domain.pieces import Bend, Piece, Straight
from hoseselect.intake.door import (
    NAN,
    Angle,
    Bore,
    Diameter,
    Drips,
    Flow,
    Fluids,
    Length,
    Pressure,
    PublishedAs,
    Service,
    Temperature,
    Word,
    YesNo,
    quantity,
)
from hoseselect.intake.faults import complaint, faults_of, handed_on, in_one, shown
from hoseselect.intake.free_field import FreeField
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.quantities.read import read_quantity


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
                raise complaint(
                    f"{low} {getattr(self, low):g} above {high} {getattr(self, high):g}",
                    f"{low} at most {high}",
                    *(low, high),
                )
        return self


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
    def _bead_above_plain(self) -> NippleForm:
        if self.outside_diameter == 0:
            raise complaint("a nipple of 0 mm", "its outside diameter", "outside_diameter")
        if self.bead_diameter <= self.outside_diameter:
            raise complaint(
                f"bead_diameter {self.bead_diameter:g} not above outside_diameter"
                f" {self.outside_diameter:g}",
                "the nipple on the plain part and the bead on the bump: which is which?",
                *("bead_diameter", "outside_diameter"),
            )
        if self.measured_on == "bead" and self.bead == "no":
            raise complaint(
                "measured_on = bead together with bead = no", "one of them", "measured_on", "bead"
            )
        if self.measured_on == "bead" and not math.isnan(self.bead_diameter):
            raise complaint(
                "measured_on = bead beside bead_diameter",
                "outside_diameter of the plain part with bead_diameter, or measured_on = bead"
                " without it",
                *("measured_on", "bead_diameter"),
            )
        if self.bead == "no" and not math.isnan(self.bead_diameter):
            raise complaint(
                "bead = no together with bead_diameter", "one of them", "bead", "bead_diameter"
            )
        if self.engagement > self.usable_length:
            raise complaint(
                f"engagement {self.engagement:g} above usable_length {self.usable_length:g}",
                "at most that",
                *("engagement", "usable_length"),
            )
        return self

    def to_domain(self) -> Nipple:
        """Return the nipple; a bead diameter says that there is a bead."""
        values = self.model_dump()
        if not math.isnan(self.bead_diameter) or self.measured_on == "bead":
            values["bead"] = "yes"
        return Nipple(**values)


class BendForm(Form):
    """A bend of a run: angle [deg], centreline radius [mm], turn of plane [deg]."""

    bend: Annotated[float, quantity("angle", minimum=0.0, maximum=360.0)]
    radius: Length
    turn: Angle = 0.0


def _piece(value: Any) -> Any:
    """Return a straight as its length [mm], a bend as its form."""
    if not isinstance(value, Mapping | str | int | float) or isinstance(value, bool):
        raise complaint(shown(value), PIECE)
    if not isinstance(value, Mapping):
        try:
            return read_quantity(value, "length", "", minimum=0.0, maximum=LONGEST_PIECE)
        except HoseselectError as error:
            raise handed_on(error) from error
    try:
        return BendForm.model_validate(dict(value))
    except ValidationError as error:
        fault = in_one(error)
        if fault is not None:
            raise complaint(f"in {fault.place} {fault.found}", fault.expected) from None
        raise complaint(shown(dict(value)), PIECE) from None


LONGEST_PIECE = 100_000.0
PIECE_SCHEMA = PublishedAs(
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
PIECE = 'a straight such as "60 mm" or a bend such as {bend = "90 deg", radius = "110 mm"}'


class HeatSourceForm(Form):
    """Something hot nearby: distance from the hose's surface [mm]."""

    distance: Length = NAN
    shielded: YesNo = "unknown"


class RouteForm(Form):
    """How the hose runs: lengths and radii along the centreline [mm]."""

    run: tuple[Annotated[float | BendForm, BeforeValidator(_piece), PIECE_SCHEMA], ...] = ()
    measured: Length = NAN
    tightest_radius: Length = NAN
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
            raise complaint(
                "free beside run or measured",
                "one description of the route",
                *("free", "run", "measured"),
            )
        if self.run and not math.isnan(self.measured):
            raise complaint(
                "both run and measured", "one description of the route", "run", "measured"
            )
        for piece in self.run:
            number = piece.bend if isinstance(piece, BendForm) else piece
            if math.isnan(number) or (isinstance(piece, BendForm) and not piece.radius > 0):
                raise complaint(
                    "a run with an unknown or empty piece",
                    "every straight in mm and every bend with angle and radius, or leave run out",
                    "run",
                )
        return self

    def to_domain(self) -> Route:
        """Return the route."""
        pieces: list[Piece] = [
            Bend(p.bend, p.radius, p.turn) if isinstance(p, BendForm) else Straight(p)
            for p in self.run
        ]
        kind: Literal["measured", "run", "free", "clipped", "unknown"] = "unknown"
        if self.free is not None:
            kind = "clipped" if self.free.clip else "free"
        elif pieces:
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
            free=None if self.free is None else self.free.to_domain(),
        )


INSERTS = Literal["none", "restrictor", "check-valve", "flame-trap", "something", "unknown"]
END_FITTINGS = Literal["plain", "quick-connect", "crimped", "threaded", "unknown"]
PLACES = Literal["road-vehicle", "boat", "aircraft"]
CONDITIONS = Literal[
    "brittle", "soft", "swollen", "flattened", "rubbed", "split", "pulled-off", "unknown"
]


class FeaturesForm(Form):
    """What else decides whether this is a job for bulk hose."""

    insert: Annotated[INSERTS, Word] = "unknown"
    turbo: YesNo = "unknown"
    sees_boost: YesNo = "unknown"
    submerged: YesNo = "unknown"
    end_fitting: Annotated[END_FITTINGS, Word] = "unknown"
    place: Annotated[PLACES, Word] = "road-vehicle"


class OldHoseForm(Form):
    """The broken hose, as a hint only [mm]."""

    bore: Bore = NAN
    outside_diameter: Diameter = NAN
    length: Length = NAN
    condition: Annotated[CONDITIONS, Word] = "unknown"
    reuse: YesNo = "no"

    @model_validator(mode="after")
    def _bore_below_outside(self) -> OldHoseForm:
        if self.bore >= self.outside_diameter:
            raise complaint(
                f"bore {self.bore:g} not below outside_diameter {self.outside_diameter:g}",
                "a bore inside the hose",
                *("bore", "outside_diameter"),
            )
        return self


class JobForm(Form):
    """A job as the user writes it; every value may be "unknown"."""

    service: Service
    name: str = ""
    fluids: Fluids = ()
    drips: Drips = ("unknown",)
    original_bore: Bore = NAN
    cut_length: Length = NAN
    duty: DutyForm = DutyForm()
    nipples: NippleForm | None = Field(default=None, description="both nipples alike")
    nipple_a: NippleForm = NippleForm()
    nipple_b: NippleForm = NippleForm()
    route: RouteForm = RouteForm()
    features: FeaturesForm = FeaturesForm()
    old_hose: OldHoseForm = OldHoseForm()

    @model_validator(mode="after")
    def _merged(self) -> JobForm:
        for name in ("nipple_a", "nipple_b"):
            try:
                self.nipple(name)
            except ValidationError as error:
                fault = faults_of(error)[0]
                where = f"in {name} with what [nipples] says"
                keys = [f"{table}.{key}" for table in (name, "nipples") for key in fault.keys]
                raise complaint(fault.found, f"{fault.expected}, {where}", *keys) from None
        return self

    def nipple(self, name: str) -> Nipple:
        """Return one nipple: what both share, then its own.

        A bead of its own, or the lack of one, stands against the shared bead diameter; so do a
        usable length and an engagement of its own.
        """
        own = getattr(self, name).model_dump(exclude_unset=True)
        shared = {} if self.nipples is None else self.nipples.model_dump(exclude_unset=True)
        if own.get("bead") == "no":
            shared.pop("bead_diameter", None)
        if "usable_length" in own or "engagement" in own:
            shared.pop("usable_length", None)
            shared.pop("engagement", None)
        return NippleForm.model_validate({**shared, **own}).to_domain()

    def to_domain(self) -> Job:
        """Return the job."""
        return Job(
            service=self.service,
            name=self.name,
            fluids=self.fluids,
            drips=self.drips,
            duty=Duty(**self.duty.model_dump()),
            nipple_a=self.nipple("nipple_a"),
            nipple_b=self.nipple("nipple_b"),
            route=self.route.to_domain(),
            features=Features(**self.features.model_dump()),
            old_hose=OldHose(**self.old_hose.model_dump()),
            original_bore=self.original_bore,
            cut_length=self.cut_length,
        )
