"""The form of a free route: offsets, the flat case, a bent wire, clips and keep-outs."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import BeforeValidator, Field, model_validator

from hoseselect.domain.free_route import Clip, FreeRoute, KeepOut, Rocking, Vector, vector
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.intake.directions import AXES, swung
from hoseselect.intake.door import FIGURE, LONGEST, Length, guarded, quantity
from hoseselect.intake.faults import complaint, read_part, shown
from hoseselect.intake.free_types import (
    STANDING_STILL,
    Box,
    Direction,
    FreeBase,
    Movement,
    Place,
    known,
)
from hoseselect.intake.parts import PartWord, Sits, moves_with_b
from hoseselect.intake.rocking import Rocks, RocksAt, meet, rocks
from hoseselect.intake.run_text import Listed
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.centreline import centreline
from hoseselect.mechanics.run import Run
from hoseselect.quantities.read import read_answer, read_quantity


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
    fixed_to: PartWord = "unknown"

    @property
    def is_hot(self) -> bool:
        """Whether it is a heat source: as it was told, else as its name says."""
        told = "hot" in self.model_fields_set
        plain = self.name.replace("_", " ").replace("-", " ")
        return self.hot if told else HOT_NAMES.search(plain) is not None

    @model_validator(mode="after")
    def _one_body(self) -> KeepOutForm:
        if sum(body is not None for body in (self.ball, self.rod, self.box)) != 1:
            raise complaint("no body or two", "one of ball, rod, box", "ball", "rod", "box")
        if self.box is not None and self.size is None:
            raise complaint("a box without size", "its three edges", "box", "size")
        if self.box is not None and not all(self.size or ()):
            found = "a box with an edge that is missing or nothing"
            raise complaint(found, "its three edges", "size")
        if self.box is None and not self.diameter >= 0:
            raise complaint("no diameter", "that of the ball or rod", "diameter")
        return self

    def to_domain(self, moves: bool | None) -> KeepOut:
        """Return the keep-out; a heat source gets the usual clearance and growth, and a floor.

        Parameters
        ----------
        moves : whether it moves with the other body; None where nobody knows
        """
        hot = self.is_hot
        usual = limit("heat-source-clearance") if hot else limit("keep-out-clearance")
        grown = limit("heat-source-growth") if hot else 0.0
        clearance = usual if math.isnan(self.clearance) else self.clearance
        if hot:  # nobody may bring a hose nearer to an exhaust than a shield would allow
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
        return KeepOut(self.name, kind, places, size, clearance, growth, self.shake, hot, moves)


HOT_NAMES = re.compile(
    r"\b(?:exhaust|exh\b|turbo|turbine|down ?pipe|tail ?pipe|headers?\b(?! tank)|cataly[stz]"
    r"|cats?\b|precat|dpf\b|egr\b|muffler|burner|heat ?shield|hot\b(?! ?(?:wire|film)))"
    r"|(?<!intake )\bsilencer",
    re.IGNORECASE,
)
"""Beginnings of names of parts that are hot; common practice, no source."""


class ClipForm(FreeBase):
    """A clip: with `along` it holds the hose's direction, without it is a ring."""

    at: Place
    along: Direction | None = None
    fixed_to: PartWord = "unknown"


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
    rocking: Rocks = None
    lead: Length = math.nan
    tape_error: Length = math.nan
    angle_error: Annotated[float, quantity("angle", minimum=0.0, maximum=45.0)] = math.nan
    keep_out: tuple[KeepOutForm, ...] = ()
    clip: tuple[ClipForm, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _movement_that_rocks(cls, values: Any) -> Any:
        """Return what is told, with a movement that says how the body rocks as rocking."""
        if not isinstance(values, Mapping) or not rocks(values.get("movement")):
            return values
        if "rocking" in values:
            raise complaint(
                "a movement that rocks beside rocking", "one of the two", "movement", "rocking"
            )
        told = {key: value for key, value in values.items() if key != "movement"}
        return {**told, "rocking": values["movement"]}

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
        if meet(mouth, movement, self._rocks(mouth), NEAREST):
            raise complaint("a movement that brings nipple B to nipple A", "a smaller movement")
        places = [STANDING_STILL, *(clip.at for clip in self.clip), mouth]
        if any(math.dist(a, b) < NEAREST for a, b in itertools.pairwise(places)):
            raise complaint("a clip at a nipple or at another clip", "clips in order from nipple A")
        if self.lead > (longest := LONGEST_LEAD * self._least_span(mouth)):
            raise complaint(
                f"a lead of {self.lead:g} mm, more than half the way to what is next",
                f"at most {longest:.0f} mm, how far the clamp and the stretched hose hold it"
                " straight beyond the mouth",
                "lead",
            )
        return self

    def _least_span(self, mouth: Vector) -> float:
        """Return the shorter of the distances from either mouth to what is next to it [mm]."""
        places = [STANDING_STILL, *(clip.at for clip in self.clip), mouth]
        return min(math.dist(*places[:2]), math.dist(*places[-2:]))

    def _rocks(self, mouth: Vector) -> Rocking | None:
        """Return the axis and angle of rocking; None where nothing rocks, or nobody knows."""
        if isinstance(self.rocking, RocksAt):
            return self.rocking.about(mouth)
        return self.rocking if isinstance(self.rocking, Rocking) else None

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
            "rocking": self.rocking not in (None, "unknown"),
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

    def to_domain(self, part_a: Sits = "unknown", part_b: Sits = "unknown") -> FreeRoute:
        """Return the route in vehicle directions.

        Parameters
        ----------
        part_a, part_b : on which the nipples sit: "engine", "body" or "unknown"
        """
        mouth, points_a, points_b = self._ends()
        moving = self._moves(part_a, part_b)
        lead = min(limit("free-lead"), DEFAULT_LEAD * self._least_span(mouth))

        def moves(form: KeepOutForm | ClipForm) -> bool | None:
            found = moves_with_b(form.fixed_to, part_a, part_b)
            return found if moving else bool(found)

        return FreeRoute(
            mouth_b=mouth,
            points_a=points_a,
            points_b=points_b,
            movement=self.movement or STANDING_STILL,
            keep_outs=tuple(keep_out.to_domain(moves(keep_out)) for keep_out in self.keep_out),
            clips=tuple(Clip(clip.at, clip.along, moves(clip)) for clip in self.clip),
            tape_error=max(_or(self.tape_error, "tape-error"), limit("tape-reading-step")),
            angle_error=max(_or(self.angle_error, "angle-error"), limit("angle-reading-step")),
            movement_said=self._movement_said(),
            oriented=self.oriented,
            rocking=self._rocks(mouth),
            mouth_moves=not part_a == part_b != "unknown",
            lead=lead if math.isnan(self.lead) else self.lead,
        )

    def _movement_said(self) -> Literal["yes", "no", "unknown"]:
        if self.movement is None or self.rocking == "unknown":
            return "unknown"
        told = "movement" in self.model_fields_set or self.rocking is not None
        return "yes" if told else "no"

    def _moves(self, part_a: Sits, part_b: Sits) -> bool:
        """Return whether anything moves, as told or as it usually does."""
        said = self._movement_said()
        if said == "yes":
            return self.rocking is not None or any(self.movement or STANDING_STILL)
        return said == "unknown" or {part_a, part_b} == {"engine", "body"}

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
        return vector(mouth), points_a, vector(-arrival)


DIRECTIONS = ("nipple_a_points", "nipple_b_points")
WIRE_LIES = ("nipple_a_points", "wire_bends")
FIRST_BEND = "wire_bends, to which side its first bend goes"
ALIKE = 0.9  # of the cosine: directions nearer than that are no two
DEFAULT_LEAD = 0.1  # of the distance to what is next to a nipple: the usual lead at most
LONGEST_LEAD = 0.5  # of the same: any lead at most, or the two ends pass each other
NEAREST = 0.1  # mm: nipples nearer than this are at one place


def _or(value: float, name: str) -> float:
    return limit(name) if math.isnan(value) else value
