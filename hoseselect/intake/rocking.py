"""A body that rocks: an axis and an angle, or the three words that a bench has for it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

import numpy as np

from hoseselect.domain.free_route import Rocking, Vector
from hoseselect.intake.directions import AXES
from hoseselect.intake.door import FIGURE, PublishedAs, guarded, once
from hoseselect.intake.faults import read_part, shown
from hoseselect.intake.free_types import STANDING_STILL, Direction, FreeBase, Place, known
from hoseselect.intake.offsets import BOTH_WAYS, EITHER_WAY, NONE
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.rod import placements
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import is_unknown, plain_text

LARGEST_TURN = 20.0  # deg: a part that turns further is no part that rocks
ROCKING = (
    '"rocks sideways", "rocks forward and back" or "twists" with how far at a nipple, such as'
    ' "rocks sideways, 8 mm at B", or {axis = "forward", at = "down 300 mm", angle = "2 deg"}'
)
ROCKS = {"left": AXES["forward"], "forward": AXES["left"]}
"""Axis about which a body turns that rocks so, by the way it goes."""

VERB = re.compile(r"^\s*(rock|twist|turn)(?:s|ing)?\b", re.IGNORECASE)
AT = re.compile(r"\s*,?\s*\bat (?:nipple )?([ab])(?![\w-])")
BEFORE = re.compile(r"^[\s,]*(?:(?:by|about)\s+)*")
LEVEL = 1e-6  # mm: nipples that stand above one another


class RockingForm(FreeBase):
    """An axis through a point, from the mouth of nipple A [mm], and the turn either way [deg]."""

    axis: Direction
    at: Place
    angle: Annotated[float, known("angle", minimum=0.0, maximum=LARGEST_TURN), FIGURE]


@dataclass(frozen=True)
class RocksAt:
    """A body of which is known how far a nipple on it moves as it rocks.

    Parameters
    ----------
    axis : direction about which it turns, unit vector
    far : movement of the nipple either way [mm]
    end : the nipple
    """

    axis: Vector
    far: float
    end: Literal["A", "B"]

    def about(self, mouth_b: Vector) -> Rocking:
        """Return the axis at the usual arm from the nipple.

        A body that rocks turns about an axis below the nipple. One that twists turns about an
        upright axis beside it, so that the nipple goes to the other one and away from it, which
        bends a hose more than going past it.
        """
        arm = limit("rocking-arm")
        x, y, z = STANDING_STILL if self.end == "A" else mouth_b
        angle = math.degrees(math.asin(self.far / arm))
        if self.axis != AXES["up"]:
            return Rocking((x, y, z - arm), self.axis, angle)
        level = math.hypot(mouth_b[0], mouth_b[1])
        left = (-mouth_b[1] / level, mouth_b[0] / level) if level > LEVEL else (0.0, 1.0)
        return Rocking((x + arm * left[0], y + arm * left[1], z), self.axis, angle)


Told = Rocking | RocksAt | Literal["unknown"] | None


def read_rocking(value: Any) -> Told:
    """Return how a body rocks; None where it does not.

    Raises
    ------
    InputError, PydanticCustomError
        when it cannot be read.

    Examples
    --------
    >>> read_rocking("rocks sideways, 8 mm at B")
    RocksAt(axis=(1.0, 0.0, 0.0), far=8.0, end='B')
    """
    if isinstance(value, Mapping):
        form = read_part(RockingForm, value, ROCKING)
        return Rocking(form.at, form.axis, form.angle) if form.angle > 0 else None
    if not isinstance(value, str):
        raise InputError("", shown(value), ROCKING)
    if is_unknown(value):
        return "unknown"
    plain = EITHER_WAY.sub("", plain_text(value).lower()).rstrip(".").strip()
    if plain in NONE or plain == "does not rock":
        return None
    ends = AT.findall(plain)
    axis, far = _way(AT.sub("", plain))
    if axis is None or len(ends) > 1:
        raise InputError("", f"'{value.strip()}'", ROCKING)
    return _rocks(value, axis, far, "A" if ends == ["a"] else "B")


def _way(plain: str) -> tuple[Vector | None, str]:
    """Return the axis about which a body turns, None where it is not said, and what is left."""
    verb = VERB.match(plain)
    if verb is None:
        return None, plain
    rest = plain[verb.end() :]
    if verb[1] != "rock":
        return AXES["up"], rest
    for way, axis in ROCKS.items():
        left, found = re.subn(rf"\b(?:{BOTH_WAYS[way]})\b", " ", rest)
        if found == 1:
            return axis, left
    return None, rest


def _rocks(text: str, axis: Vector, told: str, end: Literal["A", "B"]) -> RocksAt | None:
    """Return how far a nipple moves as the body rocks."""
    largest = limit("rocking-arm") * math.sin(math.radians(LARGEST_TURN))
    try:
        far = read_quantity(BEFORE.sub("", told).strip(" ,"), "length", "", minimum=0.0)
    except InputError:
        raise InputError("", f"'{text.strip()}'", ROCKING) from None
    if math.isnan(far):
        raise InputError("", f"'{text.strip()}'", ROCKING)
    if far > largest:
        raise InputError(
            "", f"'{text.strip()}'", f"at most {largest:.0f} mm, or an axis, its place and an angle"
        )
    return RocksAt(axis, far, end) if far > 0 else None


def rocks(text: Any) -> bool:
    """Return whether a movement is told as rocking."""
    return isinstance(text, str) and VERB.match(plain_text(text)) is not None


def meet(mouth_b: Vector, movement: Vector, rocking: Rocking | None, near: float) -> bool:
    """Return whether nipple B can come to nipple A as it moves within a box and rocks."""
    turns = placements(np.zeros(3))
    if rocking is not None:
        turns = placements(
            np.zeros(3), np.array(rocking.place), np.array(rocking.axis), rocking.angle
        )
    mouths = [turn.point(np.array(mouth_b)) for turn in turns]
    return any(bool((np.abs(mouth) <= np.array(movement) + near).all()) for mouth in mouths)


Rocks = Annotated[
    Told,
    guarded(once(read_rocking), "rocking"),
    PublishedAs(
        {
            "anyOf": [
                {"type": "string"},
                {
                    "type": "object",
                    "required": ["axis", "at", "angle"],
                    "additionalProperties": False,
                    "properties": {
                        "axis": {"type": "string"},
                        "at": {"anyOf": [{"type": "string"}, {"type": "object"}]},
                        "angle": {"anyOf": [{"type": "number"}, {"type": "string"}]},
                    },
                },
            ]
        }
    ),
]
