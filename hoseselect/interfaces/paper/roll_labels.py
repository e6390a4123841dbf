"""Labels for the pieces of a cut list, as a PDF to print and cut apart."""

from __future__ import annotations

import json
import re
from typing import Literal

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.shown import AT_LEAST, shown
from hoseselect.rolls.plan import RollPlan

Paper = Literal["a4", "letter"]

LONGEST_WORD = 14
"""Longer words may be broken, so that no name runs out of its label."""

BREAK_HERE = "\u200b"
NO_BREAK = "\u00a0"

TEMPLATE = """
#set document(title: "Hose labels", date: none)
#set page(paper: sys.inputs.paper, margin: 10mm)
#set par(spacing: 0pt, leading: 0.4em)
#let fitted(height, largest, place, words) = block(height: height, width: 100%, clip: true,
  layout(room => {
    let size = largest
    let tall(size) = measure(block(width: room.width, text(size: size, words))).height
    while size > 5pt and tall(size) > room.height { size -= 0.5pt }
    set text(size: size)
    align(place, words)
  }))
#let label(piece) = block(height: 31mm, width: 100%, inset: 3mm, breakable: false, stack(
  spacing: 1mm,
  grid(columns: (1fr, 1fr), column-gutter: 2mm,
    fitted(5mm, 11pt, start + top, strong(piece.hose_size)),
    fitted(5mm, 9pt, end + top, piece.roll)),
  grid(columns: (3fr, 2fr), column-gutter: 1mm,
    fitted(10mm, 24pt, start + bottom, strong(piece.length)),
    fitted(10mm, 9pt, end + bottom, piece.inches)),
  fitted(5.5mm, 10pt, start + top, piece.job),
  fitted(3mm, 7pt, start + bottom, piece.step),
))
#let pieces = json(bytes(sys.inputs.pieces))
#grid(columns: (1fr, 1fr, 1fr), stroke: (thickness: 0.4pt, paint: gray, dash: "dashed"),
  ..pieces.map(label))
"""


def label_texts(plan: RollPlan) -> list[dict[str, str]]:
    """Texts of the labels, one for each piece, in cutting order.

    Parameters
    ----------
    plan : plan of all hose sizes

    Returns
    -------
    hose_size, roll, length, inches, job and step of each piece
    """
    return [
        {
            "hose_size": _printable(roll.stock.hose_size),
            "roll": _printable(roll.stock.roll),
            "length": f"{round(cut.length, 3):.12g} mm",
            "inches": f"about {shown(cut.length, 'mm', 'in', AT_LEAST)}".replace(" ", NO_BREAK),
            "job": _printable(cut.job),
            "step": f"cut {step} of {len(roll.cuts)}",
        }
        for roll in plan.rolls
        for step, cut in enumerate(roll.cuts, start=1)
    ]


def labels_pdf(plan: RollPlan, paper: Paper = "a4") -> bytes:
    """Labels of all pieces as a PDF: hose size, length large, roll, job, place in cutting order.

    Parameters
    ----------
    plan : plan of all hose sizes
    paper : size of the sheets

    Returns
    -------
    PDF file

    Raises
    ------
    InputError : there is no piece to label
    """
    import typst

    pieces = label_texts(plan)
    if not pieces:
        raise InputError("labels", "no piece to cut", "at least one")
    named = {"a4": "a4", "letter": "us-letter"}[paper]
    inputs = {"paper": named, "pieces": json.dumps(pieces)}
    return bytes(typst.compile(TEMPLATE.encode(), format="pdf", sys_inputs=inputs))


def _printable(text: str) -> str:
    """Text without line ends and control characters, with places to break long words."""
    plain = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return re.sub(rf"(\S{{{LONGEST_WORD}}})(?=\S)", rf"\1{BREAK_HERE}", plain)
