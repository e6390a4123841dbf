"""Statements of a job that cannot both be true: asked about by name, never chosen between.

A gate looks at a job whose fields have been read one by one and yields a question for every
contradiction: the keys, both statements, and what to answer. All that are found are told at once,
before any rule runs.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from hoseselect.domain.job import Job, Nipple
from hoseselect.intake.line_gates import LINE_GATES
from hoseselect.intake.name_gate import name_of_a_stopped_line
from hoseselect.intake.questions import asked
from hoseselect.intake.route_gates import ROUTE_GATES
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import limit
from hoseselect.quantities.figure_text import format_quantity

Gate = Callable[[Job], Iterator[InputError]]


def contradictions(job: Job) -> tuple[InputError, ...]:
    """Return a question for everything in a job that contradicts itself."""
    return tuple(question for gate in GATES for question in gate(job))


def no_bead_worth_the_name(job: Job) -> Iterator[InputError]:
    """Ask about a bead that does not stand out of the nipple."""
    for name, nipple in (("nipple_a", job.nipple_a), ("nipple_b", job.nipple_b)):
        if nipple.bead_diameter - nipple.outside_diameter <= least_bead(nipple):
            yield asked(
                (f"{name}.bead_diameter", f"{name}.outside_diameter"),
                f"a bead of {format_quantity(nipple.bead_diameter, 'length', decimals=2)} on a"
                f" nipple of {format_quantity(nipple.outside_diameter, 'length', decimals=2)}",
                "bead = no where the nipple is plain, or the diameter over the bump",
            )


def least_bead(nipple: Nipple) -> float:
    """Return by how much a bead must stand out, on diameter [mm]; NaN unknown."""
    share = limit("bead-least-share") / PER_CENT * nipple.outside_diameter
    return math.nan if math.isnan(share) else max(limit("bead-least"), share)


PER_CENT = 100

GATES: tuple[Gate, ...] = (
    *ROUTE_GATES,
    *LINE_GATES,
    no_bead_worth_the_name,
    name_of_a_stopped_line,
)
"""Every gate, in the order in which questions are told."""
