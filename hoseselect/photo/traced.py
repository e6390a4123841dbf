"""What a photo measures of a hose, each figure with its error."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from hoseselect.domain.run_parts import Bend, RunPart, Straight
from hoseselect.knowledge.load import limit
from hoseselect.photo.points import Taps

RunWords = list[str | dict[str, str]]


@dataclass(frozen=True)
class Measured:
    """A figure with its error: in 95 of 100 photos the truth lies within it.

    Parameters
    ----------
    value : the likeliest, NaN if there is none
    error : by which the truth may be more or less, in the same unit
    """

    value: float
    error: float

    def as_json(self) -> dict[str, float | None]:
        """Return it for JSON; unknown is null."""
        return {"value": _known(self.value), "error": _known(self.error)}


@dataclass(frozen=True)
class TracedBend:
    """A bend as a photo shows it.

    Parameters
    ----------
    angle : through which the hose is turned [deg]
    radius : of the centreline [mm]
    turn : of the bending plane from that of the bend before; 180 bends to the other side [deg]
    """

    angle: Measured
    radius: Measured
    turn: Measured

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {
            "angle_deg": self.angle.as_json(),
            "radius_mm": self.radius.as_json(),
            "turn_deg": self.turn.as_json(),
        }


@dataclass(frozen=True)
class Caution:
    """What is doubtful about a measurement, and what would help.

    Parameters
    ----------
    code : by which it is known
    text : one sentence
    """

    code: str
    text: str


@dataclass(frozen=True)
class Traced:
    """A hose measured in a photo.

    Parameters
    ----------
    sheet : kind of the sheet beside it
    length : along the centreline from end to end [mm]
    tightest_radius : smallest radius of the bends that count; NaN where the hose is straight [mm]
    straights : one before each bend and one behind the last; none may be negative [mm]
    bends : in their order
    cautions : what is doubtful
    tilt : of the look from straight down [deg]
    scatter : standard deviation of the taps about what was fitted [px]
    middle_line : points of the fitted centreline as they are seen in the picture [px]
    side_line : the same in the photo from the side; empty where there is none [px]
    """

    sheet: str
    length: Measured
    tightest_radius: Measured
    straights: tuple[Measured, ...]
    bends: tuple[TracedBend, ...]
    cautions: tuple[Caution, ...]
    tilt: float
    scatter: float
    middle_line: Taps
    side_line: Taps = ()

    @property
    def parts(self) -> tuple[RunPart, ...]:
        """The run: straights and bends, rounded to what a job says; the length stays.

        A bend counts as tight as its error allows: a radius that is doubted lets no hose pass.
        What its arc loses, the straights on both sides of it gain.
        """
        bends = [
            Bend(
                float(round(bend.angle.value)),
                max(1.0, float(math.floor(bend.radius.value - bend.radius.error))),
                float(round(bend.turn.value)) % 360 if number else 0.0,
            )
            for number, bend in enumerate(self.bends)
        ]
        freed = [
            (bend.radius.value - own.radius) * math.radians(own.angle) / 2
            for bend, own in zip(self.bends, bends, strict=True)
        ]
        lengths = [
            float(round(straight.value + before + behind))
            for straight, before, behind in zip(
                self.straights, (0.0, *freed), (*freed, 0.0), strict=True
            )
        ]
        left = round(self.length.value - sum(lengths) - sum(bend.length for bend in bends))
        longest = lengths.index(max(lengths))
        lengths[longest] = max(lengths[longest] + left, 0.0)
        found: list[RunPart] = []
        for number, length in enumerate(lengths):
            if length > 0 or not bends:
                found.append(Straight(length))
            found += bends[number : number + 1]
        return tuple(found)

    @property
    def run(self) -> RunWords:
        """The run as a job file has it."""
        words: RunWords = []
        for part in self.parts:
            if isinstance(part, Straight):
                words.append(f"{part.length:.0f} mm")
                continue
            bend = {"bend": f"{part.angle:.0f} deg", "radius": f"{part.radius:.0f} mm"}
            words.append(bend | ({"turn": f"{part.turn:.0f} deg"} if part.turn else {}))
        return words

    @property
    def run_line(self) -> str:
        """The line of a job file that says the run."""
        texts = [
            f'"{part}"'
            if isinstance(part, str)
            else "{" + ", ".join(f'{key} = "{text}"' for key, text in part.items()) + "}"
            for part in self.run
        ]
        return f"run = [{', '.join(texts)}]"

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {
            "sheet": self.sheet,
            "length_mm": self.length.as_json(),
            "tightest_radius_mm": self.tightest_radius.as_json(),
            "straights_mm": [straight.as_json() for straight in self.straights],
            "bends": [bend.as_json() for bend in self.bends],
            "run": self.run,
            "run_line": self.run_line,
            "cautions": [{"code": one.code, "text": one.text} for one in self.cautions],
            "tilt_deg": round(self.tilt, 1),
            "scatter_px": round(self.scatter, 2),
            "middle_line_px": [[round(x, 1), round(y, 1)] for x, y in self.middle_line],
            "side_line_px": [[round(x, 1), round(y, 1)] for x, y in self.side_line],
        }


def tightest_of(bends: tuple[TracedBend, ...]) -> Measured:
    """Return the smallest radius of the bends that turn the hose by more than a slight angle."""
    counting = [bend.radius for bend in bends if bend.angle.value > limit("photo-slight-bend")]
    unknown = Measured(math.nan, math.nan)
    return min(counting, key=lambda radius: radius.value, default=unknown)


def _known(figure: float) -> float | None:
    return round(figure, 2) if math.isfinite(figure) else None
