"""How a job that was answered is asked again with one answer more."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoseselect.intake.interview_state import flat, nested
from hoseselect.quantities.spelling import is_unknown


def asked_again(values: Mapping[str, Any], units: str = "mm") -> str:
    """Return the command that goes on with a job; what was not known is asked once more.

    Parameters
    ----------
    values : what was said, with keys as in a job file
    units : as shown
    """
    from hoseselect.intake.job_code import encode_job

    known = {key: value for key, value in flat(values) if not is_unknown(str(value))}
    shown = "" if units == "mm" else f"--units {units} "
    return f"hoseselect ask {shown}--code '{encode_job(nested(known))}'"
