"""What a field may hold: its kind, its limits, and what else may stand for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.figure_text import figure_text
from hoseselect.quantities.kinds import KINDS, Kind
from hoseselect.quantities.numerals import Figure

# Units so fine that no workshop gauge shows their thousandth: "20,000 kPa" is twenty thousand.
_NEVER_TO_THE_THOUSANDTH = {"kilopascal", "pascal", "pound_per_square_inch"}


@dataclass(frozen=True)
class FigureField:
    """What may be typed in one field.

    Parameters
    ----------
    kind : name of the kind of figure
    minimum : least value allowed [working unit]
    maximum : greatest value allowed [working unit]
    around_allowed : the field is a diameter, and a length round it may stand for it
    dash_means : what a dash size must be: "bore", "tube", "either", or "nothing"
    decimal : "," where the decimal sign is known to be the comma, else "."
    """

    kind: str
    minimum: float
    maximum: float
    around_allowed: bool = False
    dash_means: str = "either"
    decimal: str = "."

    @property
    def asked(self) -> Kind:
        """The kind of figure."""
        return KINDS[self.kind]

    def within(self, value: float, text: str) -> float:
        """Return the value if the field may hold it; NaN, the unknown, always.

        Parameters
        ----------
        value : the figure [working unit]
        text : what was typed

        Raises
        ------
        InputError : the value lies outside the limits, is infinite, or a count is not whole
        """
        asked = self.asked
        if math.isnan(value):
            return value
        if math.isinf(value) or (asked.name == "count" and value != int(value)):
            raise InputError("", f"'{text}'", asked.example)
        if self.minimum <= value <= self.maximum:
            return value + 0.0  # never a negative zero
        if value < asked.minimum and asked.name == "temperature":
            raise InputError("", f"'{text}', below absolute zero", asked.example)
        if value < asked.minimum and asked.name == "pressure":
            vacuum = f"{figure_text(asked.minimum, asked.name)} {asked.sign}"
            raise InputError(
                "", f"'{text}', below a perfect vacuum ({vacuum} gauge)", asked.example
            )
        bound, word = (self.minimum, "least") if value < self.minimum else (self.maximum, "most")
        limit = f"{figure_text(bound, asked.name)} {asked.sign}".strip()
        raise InputError("", f"'{text}'", f"{asked.described} of at {word} {limit}")

    def choose(self, values: list[float], figure: Figure, unit: str, text: str) -> float:
        """Return the one value the field may hold; where a comma or a point leaves two, ask.

        Parameters
        ----------
        values : the readings of the figure, thousands first [working unit]
        figure : the figure
        unit : unit it was typed in
        text : what was typed

        Raises
        ------
        InputError : no reading is possible, or two are
        """
        possible = [value for value in values if self.minimum <= value <= self.maximum]
        if len(possible) < 2:
            return self.within(possible[0] if possible else values[0], text)
        if figure.thousands and unit in _NEVER_TO_THE_THOUSANDTH:
            return possible[0]
        larger, smaller = abs(figure.value), abs(figure.other)
        sign = "comma" if "," in text else "point"
        shown = f"{smaller:g}".replace(".", self.decimal)
        raise InputError(
            "",
            f"'{text}', where the {sign} may part thousands ({larger:g}) or decimals ({shown})",
            f"the figure without a {sign} before three digits: {larger:g} or {shown}",
        )
