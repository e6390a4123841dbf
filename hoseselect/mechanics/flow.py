"""Pressure lost by a gas or a liquid in a hose, and how much blow-by an engine gives.

Gases are taken at constant density, which holds while the loss is a small share of the
absolute pressure.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from hoseselect.knowledge.constants import constant
from hoseselect.mechanics.arrays import Floats, Numbers, floats, where_known

CUBIC_METRES_PER_SECOND = 1 / 60_000  # of one L/min
METRES = 1e-3  # of one mm
KILOPASCALS = 1e-3  # of one Pa
STROKES_PER_REVOLUTION = 0.5  # a four-stroke engine draws in once in two revolutions


class Between(NamedTuple):
    """A figure known only to lie between two others.

    Parameters
    ----------
    low : smaller figure
    high : larger figure
    """

    low: Floats
    high: Floats


def reynolds_number(flow: Numbers, bore: Numbers, density: Numbers, viscosity: Numbers) -> Floats:
    """Reynolds number of a flow in a round bore.

    Parameters
    ----------
    flow : volume flow [L/min]
    bore : inside diameter [mm]
    density : density of the fluid [kg/m3]
    viscosity : dynamic viscosity of the fluid [Pa s]

    Returns
    -------
    Reynolds number [-]; NaN where the bore or the viscosity is not above zero
    """
    volume, inner, mass, shear = floats(flow, bore, density, viscosity)
    possible = (inner > 0) & (shear > 0)
    width = np.where(possible, inner, np.nan) * METRES
    speed = _speed(volume, width)
    number: Floats = mass * np.abs(speed) * width / np.where(possible, shear, np.nan)
    return number


def _speed(flow: Floats, width: Floats) -> Floats:
    """Mean speed of a flow [L/min] in a round bore [m], in [m/s]."""
    speed: Floats = flow * CUBIC_METRES_PER_SECOND / (np.pi / 4 * width**2)
    return speed


def friction_factor(reynolds: Numbers) -> Floats:
    """Darcy friction factor of a smooth round bore: 64/Re up to 2300, above it Blasius.

    Source: Blasius, 1913: f = 0.3164 / Re^(1/4).

    Parameters
    ----------
    reynolds : Reynolds number, above zero [-]

    Returns
    -------
    friction factor [-]; NaN where the Reynolds number is not above zero
    """
    (number,) = floats(reynolds)
    inside = np.where(number > 0, number, np.nan)
    smooth = constant("blasius-friction") / inside ** constant("blasius-exponent")
    laminar = constant("laminar-friction") / inside
    factor: Floats = np.where(inside <= constant("laminar-reynolds-up-to"), laminar, smooth)
    return factor


def pressure_loss(
    flow: Numbers,
    bore: Numbers,
    length: Numbers,
    connections: Numbers,
    *,
    density: Numbers,
    viscosity: Numbers,
) -> Floats:
    """Pressure lost along a hose and in its connections (Darcy and Weisbach).

    Parameters
    ----------
    flow : volume flow [L/min]
    bore : inside diameter [mm]
    length : length of the hose [mm]
    connections : loss factor of all connections together, in dynamic pressures [-]
    density : density of the fluid [kg/m3]
    viscosity : dynamic viscosity of the fluid [Pa s]

    Returns
    -------
    loss, zero without flow [kPa]; NaN where the bore or the viscosity is not above zero, or
    the flow or the length is negative
    """
    volume, inner, along, lost = floats(flow, bore, length, connections)
    number = reynolds_number(flow, bore, density, viscosity)
    width = where_known(inner > 0, inner) * METRES
    dynamic = np.asarray(density, dtype=np.float64) / 2 * _speed(volume, width) ** 2
    moving = number > 0
    factor = friction_factor(np.where(moving, number, 1.0))
    loss = (factor * along * METRES / width + lost) * dynamic * KILOPASCALS
    known = ~np.isnan(number) & (volume >= 0) & (along >= 0)
    return where_known(known, np.where(moving, loss, 0.0 * loss))


def loss_ratio(bore: Numbers, original_bore: Numbers) -> Between:
    """Pressure loss of a substitute bore over that of the original, at equal flow.

    Laminar flow and connections go with the fourth power of the bore, turbulent flow in a
    smooth bore with the power 4.75; the truth lies between.

    Parameters
    ----------
    bore : inside diameter of the substitute [mm]
    original_bore : inside diameter of the original [mm]

    Returns
    -------
    Between [-]; NaN where a bore is not above zero
    """
    ratio = _bore_ratio(bore, original_bore)
    laminar, smooth = ratio**-4.0, ratio ** -(5 - constant("blasius-exponent"))
    return Between(np.minimum(laminar, smooth), np.maximum(laminar, smooth))


def _bore_ratio(bore: Numbers, original_bore: Numbers) -> Floats:
    """Substitute bore over original bore, NaN where either is not above zero."""
    inner, original = floats(bore, original_bore)
    ratio: Floats = where_known(inner > 0, inner) / where_known(original > 0, original)
    return ratio


def blow_by(
    displacement: Numbers,
    speed: Numbers,
    filling: Numbers,
    share_low: Numbers,
    share_high: Numbers,
) -> Between:
    """Crankcase gas of a four-stroke engine in order, as shares of the air it draws in.

    Parameters
    ----------
    displacement : swept volume of the engine [L]
    speed : speed of the crankshaft [1/min]
    filling : volumetric efficiency [-]
    share_low : smallest share of the air that passes the rings [-]
    share_high : largest share of the air that passes the rings [-]

    Returns
    -------
    Between, of volume flows [L/min]
    """
    swept, turns, filled, low, high = floats(displacement, speed, filling, share_low, share_high)
    air = swept * turns * STROKES_PER_REVOLUTION * filled
    return Between(air * low, air * high)
