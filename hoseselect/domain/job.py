"""What a user describes: service, fluids, duty, nipples, route, features.

Unknown numbers are NaN, unknown words are "unknown". Lengths in mm, pressures in kPa gauge
(suction negative), temperatures in degC, angles in degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.run_parts import RunPart

Answer = Literal["yes", "no", "unknown"]
UNKNOWN = "unknown"
NAN = math.nan


@dataclass(frozen=True)
class Duty:
    """The conditions the hose lives in.

    Parameters
    ----------
    fluid_steady, fluid_peak : temperature of what flows, for hours and for minutes [degC]
    air_steady, air_peak : temperature of the air round the hose [degC]
    coldest_start : lowest temperature at which the engine is started [degC]
    pressure_min, pressure_max : gauge pressure in the line, suction negative [kPa]
    pressure_spike : short highest pressure, as at a cold start [kPa]
    flow : what flows through the line [L/min]
    """

    fluid_steady: float = NAN
    fluid_peak: float = NAN
    air_steady: float = NAN
    air_peak: float = NAN
    coldest_start: float = NAN
    pressure_min: float = NAN
    pressure_max: float = NAN
    pressure_spike: float = NAN
    flow: float = NAN


@dataclass(frozen=True)
class Nipple:
    """What the hose is pushed on.

    Parameters
    ----------
    outside_diameter : on the plain part, behind the bead [mm]
    bead : whether there is a bead
    bead_diameter : over the bead [mm]
    measured_on : "plain" or "bead": where the caliper sat
    usable_length : length that hose and clamp can use [mm]
    engagement : length of hose over the nipple [mm]
    material : "metal" or "plastic"
    fixed_to : "engine" or "body"
    """

    outside_diameter: float = NAN
    bead: Answer = "unknown"
    bead_diameter: float = NAN
    measured_on: Literal["plain", "bead", "unknown"] = "unknown"
    usable_length: float = NAN
    engagement: float = NAN
    material: Literal["metal", "plastic", "unknown"] = "unknown"
    fixed_to: Literal["engine", "body", "unknown"] = "unknown"


@dataclass(frozen=True)
class HeatSource:
    """Something hot beside the hose.

    Parameters
    ----------
    distance : from the hose's surface, cold and at rest [mm]
    shielded : whether a heat shield stands between
    """

    distance: float = NAN
    shielded: Answer = "unknown"


@dataclass(frozen=True)
class Route:
    """How the hose runs.

    Parameters
    ----------
    kind : "measured" (a length by string), "run" (straights and bends), "free" (bends as it
        likes between two nipples), "clipped" (the same through clips) or "unknown"
    measured : path from nipple mouth to nipple mouth, where measured [mm]
    run : straights and bends, in order from nipple A
    tightest_radius : centreline radius of the tightest bend, where stated [mm]
    movement : relative movement of the two ends along the hose [mm]
    supports : largest distance between supports [mm]
    low_spot : whether liquid can stand in a low spot
    fall : whether the line falls steadily
    heat_source : something hot nearby
    free : ends of a route on which the hose bends as it likes
    """

    kind: Literal["measured", "run", "free", "clipped", "unknown"] = "unknown"
    measured: float = NAN
    run: tuple[RunPart, ...] = ()
    tightest_radius: float = NAN
    movement: float = NAN
    supports: float = NAN
    low_spot: Answer = "unknown"
    fall: Answer = "unknown"
    heat_source: HeatSource = field(default_factory=HeatSource)
    free: FreeRoute | None = None


@dataclass(frozen=True)
class Features:
    """What else decides whether this is a job for bulk hose.

    Parameters
    ----------
    insert : what sat inside the old hose: "none", "restrictor", "check-valve", "flame-trap",
        "moulded-in" (a valve or heater that is one with the tube), "something" or "unknown"
    turbo : whether the engine has a turbocharger
    sees_boost : whether the line sees boost pressure
    submerged : whether a part of the hose lies in fuel
    end_fitting : "plain", "quick-connect", "crimped", "threaded", "flanged" or "unknown"
    print_lost : whether the piece in hand bears no print any more
    place : "road-vehicle", "boat" or "aircraft"
    """

    insert: str = "unknown"
    turbo: Answer = "unknown"
    sees_boost: Answer = "unknown"
    submerged: Answer = "unknown"
    end_fitting: str = "unknown"
    print_lost: Answer = "no"
    place: str = "road-vehicle"


@dataclass(frozen=True)
class OldHose:
    """The broken hose, as a hint only.

    Parameters
    ----------
    bore, outside_diameter, length : as measured on the old hose [mm]
    condition : how it failed, a code of the table of failures, or "unknown"
    reuse : whether the user means to use it again, whole or spliced
    """

    bore: float = NAN
    outside_diameter: float = NAN
    length: float = NAN
    condition: str = "unknown"
    reuse: Answer = "no"


@dataclass(frozen=True)
class Usual:
    """What is usual in a shop, where a job is silent: the adverse end, in place of the trade's.

    Parameters
    ----------
    coldest_start : lowest temperature at which engines are started where the shop is [degC]
    cap_pressure : highest pressure of the caps on the cooling systems it sees [kPa]
    fuels : worst fuels that are sold there
    """

    coldest_start: float = NAN
    cap_pressure: float = NAN
    fuels: tuple[str, ...] = ()


@dataclass(frozen=True)
class Job:
    """Service, duty, nipples, route and features: the whole question.

    Parameters
    ----------
    service : id of the service, or of a stop
    fluids : fluids named by the user, the worst the line will see; empty = not named; "unknown"
        among them = there may be others
    drips : fluids that drip on the cover; "unknown" among them = there may be others
    original_bore : bore of the original hose where it was new [mm]
    piece : length of a piece that is already cut [mm]
    usual : what is usual in the shop that was asked
    """

    service: str
    name: str = ""
    fluids: tuple[str, ...] = ()
    drips: tuple[str, ...] = (UNKNOWN,)
    duty: Duty = field(default_factory=Duty)
    nipple_a: Nipple = field(default_factory=Nipple)
    nipple_b: Nipple = field(default_factory=Nipple)
    route: Route = field(default_factory=Route)
    features: Features = field(default_factory=Features)
    old_hose: OldHose = field(default_factory=OldHose)
    original_bore: float = NAN
    piece: float = NAN
    usual: Usual = field(default_factory=Usual)
