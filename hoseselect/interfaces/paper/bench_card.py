"""The bench card on paper: one page to work from, then the bend template in full size."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.answer.summary import Summary
from hoseselect.domain.geometry import LengthCurve, RouteGeometry
from hoseselect.interfaces.drawing.svg import FONT
from hoseselect.interfaces.drawing.template_sheet import PAPERS
from hoseselect.interfaces.paper.bench_card_cut import cut_words
from hoseselect.interfaces.paper.bench_card_text import CardFrame, card_kind, card_text, slip_text
from hoseselect.interfaces.paper.plain_text import clean
from hoseselect.interfaces.paper.square import Square
from hoseselect.interfaces.paper.typeset import Format, typeset

CARD = Path(__file__).with_name("bench_card.typ")
SLIP = Path(__file__).with_name("customer_slip.typ")
BUNDLED_FONT = "Libertinus Serif"
STRIP_HEIGHT, EDGES = 92.0, 18.0
"""Height of the drawing on a card, and what the card leaves free at its sides together [mm]."""
MODULE, LONGEST_SQUARE = 0.42, 900
"""Side of a module of the square that holds the code [mm], and the longest code in one."""
SIZE = re.compile(r'<svg\b[^>]*?\bwidth="([\d.]+)mm"[^>]*?\bheight="([\d.]+)mm"')


@dataclass(frozen=True, eq=False)
class BenchCard:
    """A card for one job, ready to be printed.

    Parameters
    ----------
    answer : to the job, all hoses of the shelf in it
    summary : what is told first of the hose of the card
    hose : the one that the card is for; None where none suits or the job is stopped
    frame : code, date, units, paper, version
    least_radius : least bend radius of the hose on the centreline, NaN where not stated [mm]
    system_fonts : whether fonts of the computer help out where the own ones lack a letter
    """

    answer: Answer
    summary: Summary
    hose: HoseAnswer | None
    frame: CardFrame
    least_radius: float = math.nan
    system_fonts: bool = True

    @property
    def exit_code(self) -> int:
        """0 where the hose may be fitted, 1 where it may not."""
        return 0 if self.summary.offers else 1

    @cached_property
    def geometry(self) -> RouteGeometry | None:
        """The route of a hose whose length is known; None where no length may be given."""
        cut = card_kind(self.summary, self.hose) == "cut"
        return self.hose.geometry if cut and self.hose is not None else None

    @cached_property
    def curve(self) -> LengthCurve | None:
        """Radius and room against the cut; None where no length may be given, or not worked out."""
        return None if self.geometry is None or self.hose is None else self.hose.curve

    def pages(self, form: Format = "pdf", *, slip: bool = False) -> list[bytes]:
        """Return card and template, or the slip for the customer.

        Parameters
        ----------
        form : "pdf": one file of all pages; "svg" or "png": one for each page
        slip : whether the slip is wanted, which is one page
        """
        template = SLIP if slip else CARD
        inputs = self._slip_inputs if slip else self._inputs
        return typeset(template, inputs, self.frame.date, form, system_fonts=self.system_fonts)

    @property
    def _square(self) -> str:
        """The code of the job as a square to scan; empty where it would be too large."""
        code = self.frame.code
        return Square(code).svg(MODULE) if len(code) <= LONGEST_SQUARE else ""

    @cached_property
    def _slip_inputs(self) -> dict[str, str]:
        """What the template of the slip gets: words as data, never as markup."""
        words = slip_text(self.answer, self.summary, self.frame)
        words["title"] = f"{words['word']}: {words['name'] or words['service']}"
        return {"card": json.dumps(clean(words), ensure_ascii=False)}

    @cached_property
    def _inputs(self) -> dict[str, str]:
        """What the template gets: words, drawing and sheets as data, never as markup."""
        words = card_text(self.answer, self.summary, self.hose, self.frame)
        drawing, curve, sheets = "", "", list[str]()
        if self.geometry is not None and self.hose is not None and self.hose.cut is not None:
            from hoseselect.interfaces.drawing.bend_template import bend_template
            from hoseselect.interfaces.drawing.route_drawing import route_strip

            plan, units, paper = self.hose.cut, self.frame.units, self.frame.paper
            words["cut"] = cut_words(plan, units, self.geometry, self.least_radius)
            width = PAPERS[paper][0] - EDGES
            drawing = _own_font(route_strip(self.geometry, width, STRIP_HEIGHT, units))
            if self.curve is not None:
                curve = curve_of_card(self.curve, units, words["title"])
            sheets = bend_template(
                self.geometry, self.least_radius, plan, paper, units=units, title=words["job"]
            )
        return {
            "card": json.dumps(words, ensure_ascii=False),
            "drawing": drawing,
            "drawing_height": f"{STRIP_HEIGHT:g}",
            "curve": curve,
            "square": self._square,
            "sheets": json.dumps(full_size(sheets), ensure_ascii=False),
        }


def curve_of_card(curve: LengthCurve, units: str, title: str) -> str:
    """Return the sheet with the curves of a hose, in the fonts of the card.

    Parameters
    ----------
    curve : radius and room against length
    units : "mm" or "in"
    title : of the card
    """
    from hoseselect.interfaces.drawing.curve_drawing import curve_drawing

    return _own_font(curve_drawing(curve, units, title))


def full_size(sheets: Sequence[str]) -> list[dict[str, str | float]]:
    """Return sheets with the size at which they must be printed, as they state it [mm]."""
    sized: list[dict[str, str | float]] = []
    for sheet in sheets:
        found = SIZE.search(sheet)
        assert found is not None, "a sheet in full size states its width and height in mm"
        width, height = (float(edge) for edge in found.groups())
        sized.append({"svg": _own_font(sheet), "width": width, "height": height})
    return sized


def _own_font(svg: str) -> str:
    return svg.replace(f'font-family="{FONT}"', f'font-family="{BUNDLED_FONT}"', 1)
