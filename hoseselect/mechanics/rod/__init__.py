"""Natural bend: the shape a hose takes between two clamped ends.

A hose whose ends may turn about themselves before they are clamped bends as a twist-free
elastica. Its shape depends on the pose and the length alone, not on its stiffness.

Uniform hose, straight when made, linear bending; no shear, no set, no stiffening by pressure;
hose that touches itself is not modelled. Accuracy stated anywhere here is that of the numbers.
"""

from hoseselect.mechanics.rod.clips import ClampClip, spans
from hoseselect.mechanics.rod.draws import Errors, Stack, place_draws, sagged
from hoseselect.mechanics.rod.gravity import tube_weight, weight_number
from hoseselect.mechanics.rod.heavy import solved_with_weight
from hoseselect.mechanics.rod.keep_out import Ball, Body, Box, Rod, least_gap, moved_body
from hoseselect.mechanics.rod.low_spots import LowSpot, falls, low_spot, low_spot_depth
from hoseselect.mechanics.rod.many import others_many, solve_many
from hoseselect.mechanics.rod.movement import Placement, placements
from hoseselect.mechanics.rod.nipple import NippleExit, NippleLoad, nipple_ends, nipple_loads
from hoseselect.mechanics.rod.pose import Pose, unit
from hoseselect.mechanics.rod.profile import Profile
from hoseselect.mechanics.rod.rings import RingShape, through_rings
from hoseselect.mechanics.rod.rings_many import through_rings_many
from hoseselect.mechanics.rod.rings_other import others_through_rings
from hoseselect.mechanics.rod.roomiest import roomiest
from hoseselect.mechanics.rod.shape import Diagnostics, Shape
from hoseselect.mechanics.rod.solve import solve
from hoseselect.mechanics.rod.window import Window

__all__ = [
    "Ball",
    "Body",
    "Box",
    "ClampClip",
    "Diagnostics",
    "Errors",
    "LowSpot",
    "NippleExit",
    "NippleLoad",
    "Placement",
    "Pose",
    "Profile",
    "RingShape",
    "Rod",
    "Shape",
    "Stack",
    "Window",
    "falls",
    "least_gap",
    "low_spot",
    "low_spot_depth",
    "moved_body",
    "nipple_ends",
    "nipple_loads",
    "others_many",
    "others_through_rings",
    "place_draws",
    "placements",
    "roomiest",
    "sagged",
    "solve",
    "solve_many",
    "solved_with_weight",
    "spans",
    "through_rings",
    "through_rings_many",
    "tube_weight",
    "unit",
    "weight_number",
]
