"""Flow rules: pressure loss of the substitute against the original."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.flow import loss_ratio


@rule()
def flow_loss(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Pressure loss of the substitute bore against the original's.

    What it checks
        At equal flow the loss goes with the bore to the power of 4.75 in a smooth turbulent pipe.
        It counts where the bore of the original hose, when new, is known.
    Why it matters
        A breather that is too narrow pressurises the crankcase; the metering belongs to the valve.
    Example
        A bore one tenth smaller than the original loses 1.65 times as much: conditional.
    Source
        Blasius' friction law for smooth pipes; the limit of the ratio is common practice.
    """
    ratio = loss_ratio(hoses.sizes.bore[None, :], jobs.original_bore).high
    across = np.ones((1, len(hoses.sizes)))
    return Comparison(
        ratio,
        across * limit("flow-loss-ratio-reject"),
        caution=across * limit("flow-loss-ratio-accept"),
        applies=~np.isnan(jobs.original_bore),
    )
