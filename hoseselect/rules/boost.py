"""Which lines see boost, whatever they are called."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView


def boosted(jobs: JobView) -> Array:
    """Return where a crankcase, vacuum, servo or purge line sees boost, shape (n, 1).

    It does where that is said, where a pressure is stated that only boost explains, and in the
    service that is made for it.
    """
    services = service_columns()
    possible = services.boost_possible | np.isin(services.group, GROUPS)
    told = jobs.sees_boost.yes | jobs.boost_stated.yes
    return (possible[jobs.service] & told) | services.boost_usual[jobs.service]


GROUPS = ("crankcase", "vacuum")
"""Groups of lines that end at the intake of the engine."""
