"""The bench card on paper: one page to work from, then the bend template in full size."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import Literal

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.domain.geometry import LengthCurve, RouteGeometry
from hoseselect.interfaces.drawing.svg import FONT
from hoseselect.interfaces.paper.bench_card_text import CardFrame, card_kind, card_text

Format = Literal["pdf", "svg", "png"]

TEMPLATE = Path(__file__).with_name("bench_card.typ")
BUNDLED_FONT = "Libertinus Serif"
VIEWS = (5.0, 12.5, 136.5, 121.5)
"""Part of the drawing's sheet that the card shows: left, top, width, height [mm]."""
SIZE = re.compile(r'<svg\b[^>]*?\bwidth="([\d.]+)mm"[^>]*?\bheight="([\d.]+)mm"')
ROOT = re.compile(r'width="[\d.]+mm" height="[\d.]+mm" viewBox="[^"]*"')
PIXELS_PER_INCH = 150.0


@dataclass(frozen=True, eq=False)
class BenchCard:
    """A card for one job, ready to be printed.

    Parameters
    ----------
    answer : to the job, all hoses of the shelf in it
    hose : the one that the card is for; None where none suits or the job is stopped
    frame : code, date, units, paper, version
    least_radius : least bend radius of the hose on the centreline, NaN where not stated [mm]
    system_fonts : whether fonts of the computer help out where the own ones lack a letter
    """

    answer: Answer
    hose: HoseAnswer | None
    frame: CardFrame
    least_radius: float = math.nan
    system_fonts: bool = True

    @property
    def exit_code(self) -> int:
        """0 where the hose may be fitted, 1 where it may not."""
        return 0 if card_kind(self.answer, self.hose) in {"cut", "no-length"} else 1

    @cached_property
    def geometry(self) -> RouteGeometry | None:
        """The route of a hose whose length is known; None where no length may be given."""
        cut = card_kind(self.answer, self.hose) == "cut"
        return self.hose.geometry if cut and self.hose is not None else None

    @cached_property
    def curve(self) -> LengthCurve | None:
        """Radius and room against the cut; None where no length may be given, or not worked out."""
        return None if self.geometry is None or self.hose is None else self.hose.curve

    def pdf(self) -> bytes:
        """Return the card and its template as one PDF."""
        return self._pages("pdf")[0]

    def svg(self) -> list[bytes]:
        """Return the pages as SVG."""
        return self._pages("svg")

    def png(self) -> list[bytes]:
        """Return the pages as PNG at 150 pixels an inch."""
        return self._pages("png")

    def _pages(self, form: Format) -> list[bytes]:
        import typst

        made: bytes | list[bytes] = typst.compile(
            TEMPLATE.read_bytes(),
            format=form,
            ppi=PIXELS_PER_INCH,
            ignore_system_fonts=not self.system_fonts,
            sys_inputs=self._inputs,
            timestamp=_midnight(self.frame.date),
        )
        return [bytes(page) for page in made] if isinstance(made, list) else [bytes(made)]

    @cached_property
    def _inputs(self) -> dict[str, str]:
        """What the template gets: words, drawing and sheets as data, never as markup."""
        words = card_text(self.answer, self.hose, self.frame)
        drawing, curve, sheets = "", "", list[str]()
        if self.geometry is not None and self.hose is not None:
            from hoseselect.interfaces.drawing.bend_template import bend_template
            from hoseselect.interfaces.drawing.route_drawing import route_drawing

            plan, units = self.hose.cut, self.frame.units
            drawing = views_only(route_drawing(self.geometry, plan, words["title"], units))
            if self.curve is not None:
                curve = curve_of_card(self.curve, units, words["title"])
            sheets = bend_template(
                self.geometry, self.least_radius, plan, self.frame.paper, units=units
            )
        return {
            "card": json.dumps(words, ensure_ascii=False),
            "drawing": drawing,
            "curve": curve,
            "sheets": json.dumps(full_size(sheets), ensure_ascii=False),
        }


def views_only(drawing: str) -> str:
    """Return the part of a drawing's sheet that holds the views, in the fonts of the card."""
    left, top, width, height = VIEWS
    root = f'width="{width}mm" height="{height}mm" viewBox="{left} {top} {width} {height}"'
    return _own_font(ROOT.sub(root, drawing, count=1))


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


def _midnight(date: str) -> datetime:
    """Return the time that a file of a date bears, so that the same card is the same file."""
    return datetime.fromisoformat(date).replace(tzinfo=UTC)
