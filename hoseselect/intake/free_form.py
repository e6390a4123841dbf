"""The form of a free route: offsets, the flat case, a bent wire, clips and keep-outs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    model_validator,
)

from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Vector
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.intake.directions import AXES, read_direction, swung
from hoseselect.intake.door import (
    FIGURE,
    LONGEST,
    Length,
    Reads,
    guarded,
    once,
    quantity,
)
from hoseselect.intake.faults import complaint, read_part, shown
from hoseselect.intake.offsets import read_box, read_movement, read_offset
from hoseselect.intake.run_text import Listed
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.centreline import centreline
from hoseselect.mechanics.run import Run
from hoseselect.quantities.read import read_answer, read_quantity

Place = Annotated[Vector, guarded(once(read_offset), "place")]
Box = Annotated[Vector, guarded(once(read_box), "place")]
Movement = Annotated[Vector | None, guarded(once(read_movement), "place")]
Direction = Annotated[Vector, guarded(once(read_direction), "direction")]
STANDING_STILL: Vector = (0.0, 0.0, 0.0)


def known(kind: str, **bounds: Any) -> Reads:
    """Return a validator that reads a figure which must be known: no shape is solved without it."""

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise InputError("", shown(value), KNOWN[kind])
        figure = read_quantity(value, kind, "", **bounds)
        if math.isnan(figure):
            raise InputError("", f"'{value}'", KNOWN[kind])
        return figure

    return guarded(once(read), kind)


KNOWN = {"length": 'a length such as "60 mm"', "angle": 'an angle such as "90 deg"'}


def _hot(value: Any) -> bool:
    """Return whether a part is hot; one of which nobody knows it counts as hot."""
    if not isinstance(value, str | int | float):
        raise InputError("", shown(value), "yes, no or unknown")
    return value if isinstance(value, bool) else read_answer(value, "") != "no"


def _straight(value: Any) -> float:
    """Return a straight of the wire as its length [mm]."""
    if not isinstance(value, str | int | float) or isinstance(value, bool):
        raise complaint(shown(value), PART)
    try:
        length = read_quantity(value, "length", "", minimum=0.0, maximum=LONGEST)
    except HoseselectError as error:
        raise complaint(error.found, PART) from error
    if math.isnan(length) or 0 < length < SHORTEST:
        raise complaint(f"'{value}'", PART)
    return length


SHORTEST = 0.001  # mm: what is shorter is a slip of the finger


def _wire_part(value: Any) -> Any:
    """Return a straight of the wire as its length [mm], a bend as its form."""
    if not isinstance(value, Mapping):
        return _straight(value)
    return read_part(WireBend, value, PART)


PART = 'a straight such as "60 mm" or a bend such as {bend = "90 deg", radius = "60 mm"}'


class FreeBase(BaseModel):
    """Common settings: no other keys than those named."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class FlatForm(FreeBase):
    """Both nipples in one upright plane: distance [mm], angles to the line between them [deg].

    The line runs forward from nipple A to nipple B; an angle is how far the nipple points up from
    the line towards the other nipple; negative points down.
    """

    distance: Annotated[float, known("length", minimum=1.0, maximum=LONGEST), FIGURE]
    angle_a: Annotated[float, known("angle", minimum=-180.0, maximum=180.0), FIGURE]
    angle_b: Annotated[float, known("angle", minimum=-180.0, maximum=180.0), FIGURE]


class WireBend(FreeBase):
    """A bend read off the wire: angle [deg], radius [mm], turn of the bending plane [deg]."""

    bend: Annotated[float, known("angle", minimum=0.0, maximum=360.0), FIGURE]
    radius: Annotated[float, known("length", minimum=0.1, maximum=LONGEST), FIGURE]
    turn: Annotated[float, known("angle", minimum=-360.0, maximum=360.0), FIGURE] = 0.0


class KeepOutForm(FreeBase):
    """A ball, rod or box that the hose must keep clear of [mm]."""

    name: Annotated[str, Field(min_length=1)]
    ball: Place | None = None
    rod: tuple[Place, Place] | None = None
    box: Place | None = None
    diameter: Length = math.nan
    size: Box | None = None
    clearance: Length = math.nan
    growth: Length = math.nan
    shake: Annotated[float, known("length", minimum=0.0, maximum=LONGEST), FIGURE] = 0.0
    hot: Annotated[bool, guarded(_hot)] = False

    @model_validator(mode="after")
    def _one_body(self) -> KeepOutForm:
        if sum(body is not None for body in (self.ball, self.rod, self.box)) != 1:
            raise complaint("no body or two", "one of ball, rod, box", "ball", "rod", "box")
        if self.box is not None and self.size is None:
            raise complaint("a box without size", "its three edges", "box", "size")
        if self.box is None and not self.diameter >= 0:
            raise complaint("no diameter", "that of the ball or rod", "diameter")
        return self

    def to_domain(self) -> KeepOut:
        """Return the keep-out; a heat source gets the usual clearance and growth, and a floor."""
        usual = limit("heat-source-clearance") if self.hot else limit("keep-out-clearance")
        grown = limit("heat-source-growth") if self.hot else 0.0
        clearance = usual if math.isnan(self.clearance) else self.clearance
        if self.hot:  # nobody may bring a hose nearer to an exhaust than a shield would allow
            clearance = max(clearance, limit("heat-source-clearance-shielded"))
        growth = grown if math.isnan(self.growth) else self.growth
        places: tuple[Vector, ...]
        kind: Literal["ball", "rod", "box"]
        if self.rod is not None:
            kind, places, size = "rod", self.rod, (self.diameter, 0.0, 0.0)
        elif self.ball is not None:
            kind, places, size = "ball", (self.ball,), (self.diameter, 0.0, 0.0)
        else:
            kind, places = "box", (self.box or STANDING_STILL,)
            size = self.size or STANDING_STILL
        return KeepOut(self.name, kind, places, size, clearance, growth, self.shake, self.hot)


class ClipForm(FreeBase):
    """A clip: with `along` it holds the hose's direction, without it is a ring."""

    at: Place
    along: Direction | None = None


class FreeForm(FreeBase):
    """A route on which the hose bends naturally between two nipples."""

    offset: Place | None = Field(default=None, description="mouth of nipple B from that of A")
    nipple_a_points: Direction | None = None
    nipple_b_points: Direction | None = None
    flat: FlatForm | None = None
    wire: Annotated[
        tuple[Annotated[float | WireBend, BeforeValidator(_wire_part)], ...], Listed
    ] = ()
    wire_bends: Direction | None = None
    movement: Movement = STANDING_STILL
    tape_error: Length = math.nan
    angle_error: Annotated[float, quantity("angle", minimum=0.0, maximum=45.0)] = math.nan
    keep_out: tuple[KeepOutForm, ...] = ()
    clip: tuple[ClipForm, ...] = ()

    @model_validator(mode="after")
    def _one_description(self) -> FreeForm:
        ways = [self.offset is not None, self.flat is not None, bool(self.wire)]
        if sum(ways) != 1:
            raise complaint(
                f"{sum(ways)} descriptions", "one of offset, flat, wire", "offset", "flat", "wire"
            )
        if self.offset is not None and (
            self.nipple_a_points is None or self.nipple_b_points is None
        ):
            raise complaint(
                "an offset without directions",
                "nipple_a_points and nipple_b_points",
                "offset",
                *DIRECTIONS,
            )
        if self.flat is not None and (self.nipple_a_points or self.nipple_b_points):
            raise complaint("directions beside flat", "one of the two", *DIRECTIONS, "flat")
        self._wire_lies()
        mouth = self._ends()[0]
        if math.hypot(*mouth) < NEAREST:
            raise complaint("both nipples at one place", "how far B is from A")
        movement = self.movement or STANDING_STILL
        if all(abs(m) <= b + NEAREST for m, b in zip(mouth, movement, strict=True)):
            raise complaint("a movement that brings nipple B to nipple A", "a smaller movement")
        places = [STANDING_STILL, *(clip.at for clip in self.clip), mouth]
        if any(math.dist(a, b) < NEAREST for a, b in itertools.pairwise(places)):
            raise complaint("a clip at a nipple or at another clip", "clips in order from nipple A")
        return self

    def _wire_lies(self) -> None:
        """Refuse half of what says how a wire lies, and what needs it where nothing says so."""
        if self.wire and self.nipple_b_points:
            raise complaint(
                "where nipple B points beside a wire", "one of the two", DIRECTIONS[1], "wire"
            )
        if self.wire_bends is not None and not (self.wire and self.nipple_a_points):
            raise complaint("wire_bends alone", "the wire, and nipple_a_points", "wire", *WIRE_LIES)
        if not self.wire:
            return
        if self.nipple_a_points and self.wire_bends is None and not self._straight_wire:
            raise complaint("nipple_a_points beside a bent wire", FIRST_BEND, *WIRE_LIES)
        in_directions = {
            "keep_out": self.keep_out,
            "clip": self.clip,
            "movement": any(self.movement or STANDING_STILL),
        }
        needing = [key for key, said in in_directions.items() if said]
        if needing and not self.oriented:
            raise complaint(
                f"{', '.join(needing)} beside a wire of which nobody said how it lies",
                f"nipple_a_points, where nipple A points, and {FIRST_BEND}",
                *needing,
                *WIRE_LIES,
            )

    @property
    def _straight_wire(self) -> bool:
        return not any(isinstance(part, WireBend) and part.bend > 0 for part in self.wire)

    @property
    def oriented(self) -> bool:
        """Whether it is known how the route lies in the vehicle."""
        return not self.wire or self.nipple_a_points is not None

    def to_domain(self) -> FreeRoute:
        """Return the route in vehicle directions."""
        mouth, points_a, points_b = self._ends()
        return FreeRoute(
            mouth_b=mouth,
            points_a=points_a,
            points_b=points_b,
            movement=self.movement or STANDING_STILL,
            keep_outs=tuple(keep_out.to_domain() for keep_out in self.keep_out),
            clips=tuple(Clip(clip.at, clip.along) for clip in self.clip),
            tape_error=_or(self.tape_error, "tape-error"),
            angle_error=_or(self.angle_error, "angle-error"),
            movement_said=self._movement_said(),
            oriented=self.oriented,
        )

    def _movement_said(self) -> Literal["yes", "no", "unknown"]:
        if self.movement is None:
            return "unknown"
        return "yes" if "movement" in self.model_fields_set else "no"

    def _ends(self) -> tuple[Vector, Vector, Vector]:
        if self.flat is not None:
            forward, back, up = AXES["forward"], AXES["back"], AXES["up"]
            return (
                (self.flat.distance, 0.0, 0.0),
                swung(forward, up, math.radians(self.flat.angle_a)),
                swung(back, up, math.radians(self.flat.angle_b)),
            )
        if self.wire:
            return self._wire_ends()
        return (
            self.offset or STANDING_STILL,
            self.nipple_a_points or AXES["up"],
            self.nipple_b_points or AXES["up"],
        )

    def _wire_ends(self) -> tuple[Vector, Vector, Vector]:
        """Return the ends of the wire, by where nipple A points and the first bend goes.

        Where nobody said so, it leaves forward and bends up, and counts as not oriented.
        """
        run = Run(
            tuple(
                Bend(piece.bend, piece.radius, piece.turn)
                if isinstance(piece, WireBend)
                else Straight(piece)
                for piece in self.wire
            )
        )
        line = centreline(run)
        points_a = self.nipple_a_points or AXES["forward"]
        bends = self.wire_bends or next(
            word for word in (AXES["up"], AXES["back"]) if abs(np.dot(word, points_a)) < ALIKE
        )
        towards = swung(points_a, bends, math.pi / 2)
        turned = np.column_stack((points_a, towards, np.cross(points_a, towards)))
        mouth, arrival = turned @ line.points[-1], turned @ line.directions[-1]
        return _vector(mouth), points_a, _vector(-arrival)


DIRECTIONS = ("nipple_a_points", "nipple_b_points")
WIRE_LIES = ("nipple_a_points", "wire_bends")
FIRST_BEND = "wire_bends, to which side its first bend goes"
ALIKE = 0.9  # of the cosine: directions nearer than that are no two
NEAREST = 0.1  # mm: nipples nearer than this are at one place


def _or(value: float, name: str) -> float:
    return limit(name) if math.isnan(value) else value


def _vector(values: Any) -> Vector:
    x, y, z = (float(value) for value in values)
    return (x, y, z)
