"""How time and memory grow with lines, hose sizes and workers, drawn as small pictures.

One picture shows two figures against one amount, both axes by powers of ten: what grows in
proportion is a line at 45 degrees, what stays is a level one.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from budgets import ONE, Amounts, Used, repeating, used, write_csv
from large_catalogue import repeat_catalogue

from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.interfaces.cli.workers import processors
from hoseselect.interfaces.drawing.svg import element, escaped

LEFT, LOW = 16.0, 14.0
"""Room for the figures of both axes [mm]."""

DECADE = 18.0
"""Width of a power of ten [mm], the same on both axes."""


class Curve(NamedTuple):
    """One figure against an amount.

    Parameters
    ----------
    name : with its unit
    colour, dash : of the line: told apart without colour as well
    values : for each amount
    """

    name: str
    colour: str
    dash: str
    values: list[float]


def draw_growth(amounts: Amounts, folder: Path) -> Iterator[Path]:
    """Measure and draw; yield the pictures."""
    folder.mkdir(parents=True, exist_ok=True)
    batch = (sys.executable, "-m", "hoseselect", "batch")
    with tempfile.TemporaryDirectory() as name:
        room = Path(name)
        out = ("-o", str(room / "answers.csv"))
        counts = [max(1, amounts.repeated // part) for part in (1000, 100, 10, 1)]
        found = []
        for count in counts:
            sheet = write_csv(room / "jobs.csv", repeating(count))
            found.append(used((*batch, str(sheet), *out, "--workers", "1")))
        yield drawn(folder / "growth-lines.svg", "lines of a distributor's list", counts, found)
        many = sorted({1, 2, 4, processors()})
        found = [used((*batch, str(sheet), *out, "--workers", str(count))) for count in many]
        clock = [one._replace(processor=one.wall) for one in found]
        words = "time [s of the clock]"
        yield drawn(folder / "growth-workers.svg", "workers on the same list", many, clock, words)
        source = find_catalogue(None, {})
        small, found, sizes = len(read_catalogue(source).sizes), [], []
        for part in (1000, 100, 10, 1):
            times = max(1, amounts.sizes // small // part)
            large = repeat_catalogue(source, room / f"large{part}", times)
            sizes.append(times * small)
            own = ("--catalog", str(large), "--json", "--top", "5", "--no-book")
            found.append(used((*ONE, *own)))
        yield drawn(folder / "growth-hoses.svg", "hose sizes that one pick looks at", sizes, found)


def drawn(
    path: Path,
    title: str,
    amounts: Sequence[int],
    found: Sequence[Used],
    time: str = "time [s of the processor]",
) -> Path:
    """Draw time and memory against an amount; return the picture."""
    curves = (
        Curve(time, "#1f5f8b", "none", [one.processor for one in found]),
        Curve("memory [MiB]", "#b5541c", "3 1.5", [one.memory for one in found]),
    )
    path.write_text(picture(title, amounts, curves), encoding="utf-8")
    return path


def picture(title: str, amounts: Sequence[int], curves: Sequence[Curve]) -> str:
    """Return a picture as SVG."""
    across = _decades([float(one) for one in amounts])
    up = _decades([value for curve in curves for value in curve.values])
    wide = LEFT + DECADE * (len(across) - 1) + 36
    high = LOW + DECADE * (len(up) - 1) + 12
    parts = [element("rect", width=wide, height=high, fill="white")]

    def x(value: float) -> float:
        return LEFT + DECADE * (math.log10(value) - across[0])

    def y(value: float) -> float:
        return high - LOW - DECADE * (math.log10(value) - up[0])

    def words(text: str, left: float, top: float, **style: str | float) -> str:
        return element("text", escaped(text), x=left, y=top, font_size=3.2, **style)

    for power in across:
        at = x(10.0**power)
        parts.append(_line(at, high - LOW, at, y(10.0 ** up[-1]), "#d8dde2"))
        parts.append(words(f"{10**power:,}", at, high - LOW + 5, text_anchor="middle"))
    for power in up:
        at = y(10.0**power)
        parts.append(_line(LEFT, at, x(10.0 ** across[-1]), at, "#d8dde2"))
        parts.append(words(f"{10.0**power:g}", LEFT - 2, at + 1.1, text_anchor="end"))
    for curve in curves:
        spots = [(x(amount), y(value)) for amount, value in zip(amounts, curve.values, strict=True)]
        line = " ".join(f"{left:.2f},{top:.2f}" for left, top in spots)
        style: dict[str, str | float] = {"stroke": curve.colour, "stroke_width": 0.6}
        style["stroke_dasharray"] = curve.dash
        parts.append(element("polyline", points=line, fill="none", **style))
        parts += [element("circle", cx=a, cy=b, r=0.9, fill=curve.colour) for a, b in spots]
        left, top = spots[-1]
        parts.append(words(curve.name, left + 2, top + 1.1, fill=curve.colour))
    parts.append(words(title, LEFT, 6, font_weight="bold"))
    size = {"width": f"{wide:g}mm", "height": f"{high:g}mm", "viewBox": f"0 0 {wide:g} {high:g}"}
    head = {"xmlns": "http://www.w3.org/2000/svg", "font_family": "Helvetica, Arial, sans-serif"}
    return element("svg", *parts, **head, **size) + "\n"


def _decades(values: Sequence[float]) -> list[int]:
    """Return the powers of ten that hold all values, two at least."""
    low, high = math.floor(math.log10(min(values))), math.ceil(math.log10(max(values)))
    return list(range(low, max(high, low + 1) + 1))


def _line(left: float, top: float, right: float, bottom: float, colour: str) -> str:
    return element("line", x1=left, y1=top, x2=right, y2=bottom, stroke=colour, stroke_width=0.3)
