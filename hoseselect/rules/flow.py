"""Flow rules: pressure loss of the substitute against the original, and at the stated flow."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.flow import loss_ratio, pressure_loss


@rule()
def flow_loss(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Pressure loss of the substitute bore against the original's.

    What it checks
        At equal flow the loss goes with the bore to the power of 4.75 in a smooth turbulent pipe,
        of 4 in slow flow: the greater loss counts. It counts where the bore of the original hose,
        when new, is known.
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


def breather_flow(jobs: JobView) -> tuple[Array, Array]:
    """Return the flow through a crankcase breather [L/min] and the length [mm], NaN elsewhere."""
    breathers = np.array([name in BREATHERS for name in service_columns().names])
    flow = np.where(breathers[jobs.service], jobs.flow, np.nan)
    return flow, np.where(np.isnan(flow), np.nan, jobs.tip_length)


BREATHERS = ("crankcase-breather",)


@rule(of=breather_flow)
def flow_pressure(stated: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Pressure lost in a crankcase breather at the stated flow.

    What it checks
        The pressure that crankcase gas loses in the hose and its two connections, against the
        usual pressure in a crankcase: that of a petrol engine, and the highest, that of a closed
        diesel system. It counts where a flow is stated.
    Why it matters
        The crankcase bears what the breather loses; too much blows oil past the seals.
    Example
        100 L/min through 0.5 m of 9.5 mm bore lose 1.1 kPa: conditional.
    Source
        Darcy and Weisbach with Blasius' friction law; pressures, gas and loss of the connections
        are common practice.
    """
    flow, length = stated
    loss = pressure_loss(
        flow,
        hoses.sizes.bore[None, :],
        length,
        limit("connections-loss"),
        density=limit("crankcase-gas-density"),
        viscosity=limit("crankcase-gas-viscosity"),
    )
    across = np.ones((1, len(hoses.sizes)))
    return Comparison(
        loss,
        across * limit("crankcase-pressure-highest"),
        caution=across * limit("crankcase-pressure-high"),
        applies=~np.isnan(flow),
    )
