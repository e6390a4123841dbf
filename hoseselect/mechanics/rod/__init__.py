"""Natural bend: the shape a hose takes between two clamped ends."""

from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.solve import shapes, solve
