"""A sheet of points that were tapped in a photo: read and written."""

from __future__ import annotations

import math
from pathlib import Path

from hoseselect.files.open_sheet import open_sheet
from hoseselect.files.sheet_line import SheetLine, decimal_sign
from hoseselect.files.text_sheet import Wording
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse
from hoseselect.photo.points import PhotoPoints

HEADINGS = ("kind", "x", "y")
KINDS = ("corner", "hose", "edge")
WORDING = Wording(expected="a file saved as UTF-8")
MOST_POINTS = 2000
"""Of a sheet; nobody taps as many."""


def read_points(path: Path) -> PhotoPoints:
    """Read the points of a photo.

    The sheet has the headings kind, x and y: a line is a corner of the sheet of paper, a point on
    the hose, or a further point on an edge of the paper; x and y count pixels of the picture as it
    is shown, from its upper left corner.

    Raises
    ------
    InputError
        when the sheet cannot be read, or some of its cells; its `faults` name every one by
        file:line:column.
    """
    sheet = open_sheet(path, strict=True, wording=WORDING)
    decimal = decimal_sign(sheet.separator)
    found: dict[str, list[tuple[float, float]]] = {kind: [] for kind in KINDS}
    complaints: list[HoseselectError] = []
    columns: list[int] | None = None
    for number, line in enumerate(line for line in sheet.lines() if not line.empty):
        if columns is None:
            columns = _columns(path.name, line)
            continue
        if number > MOST_POINTS:
            raise InputError(path.name, f"more than {MOST_POINTS} points", "fewer")
        cells = [line.cells[place].strip() if place < len(line.cells) else "" for place in columns]
        places = [f"{path.name}:{line.line}:{place + 1}" for place in columns]
        kind = cells[0].casefold()
        if kind not in KINDS:
            expected = ", ".join(KINDS[:-1]) + f" or {KINDS[-1]}"
            complaints.append(InputError(places[0], f"'{cells[0][:40]}'", expected))
            continue
        try:
            x, y = (_pixels(*one, decimal) for one in zip(cells[1:], places[1:], strict=True))
        except InputError as error:
            complaints.append(error)
            continue
        found[kind].append((x, y))
    if columns is None:
        raise InputError(f"{path.name}:1:1", "an empty sheet", ", ".join(HEADINGS))
    refuse(complaints)
    return PhotoPoints(tuple(found["corner"]), tuple(found["hose"]), tuple(found["edge"]))


def points_text(points: PhotoPoints) -> str:
    """Return points as the text of a sheet."""
    lines = [",".join(HEADINGS)]
    for kind, taps in zip(KINDS, (points.corners, points.hose, points.edges), strict=True):
        lines += [f"{kind},{x:.1f},{y:.1f}" for x, y in taps]
    return "\n".join(lines) + "\n"


def _columns(name: str, line: SheetLine) -> list[int]:
    """Return where each heading stands.

    Raises
    ------
    InputError
        when one is missing.
    """
    headings = [cell.strip().casefold() for cell in line.cells]
    for heading in HEADINGS:
        if heading not in headings:
            raise InputError(f"{name}:{line.line}:1", f"no heading '{heading}'", "kind, x, y")
    return [headings.index(heading) for heading in HEADINGS]


def _pixels(text: str, place: str, decimal: str) -> float:
    """Return a coordinate.

    Raises
    ------
    InputError
        when it is none.
    """
    plain = text.replace(",", ".") if decimal == "," else text
    try:
        value = float(plain)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or not plain.isascii():
        found = f"'{text[:40]}'" if text else "an empty cell"
        raise InputError(place, found, "pixels from the left or the upper border, such as 1204.5")
    return value
