"""Movement of the ends: one length of hose at nine positions of the end."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.errors import InputError, SolveError
from hoseselect.mechanics.rod.nodes import Array
from hoseselect.mechanics.rod.pose import Pose
from hoseselect.mechanics.rod.profile import Profile
from hoseselect.mechanics.rod.shape import Shape
from hoseselect.mechanics.rod.solve import same, shapes, solve
from hoseselect.mechanics.rod.window import Window


def positions(pose: Pose, movement: Array) -> list[Pose]:
    """The pose at rest and with its end at the corners of a box.

    Parameters
    ----------
    pose : the route at rest
    movement : (3,) largest movement of nipple B relative to nipple A either way along the
        three axes, 0 or more [mm]

    Returns
    -------
    One to nine poses, the one at rest first

    Raises
    ------
    InputError : a movement is negative or no number
    """
    box = np.asarray(movement, dtype=float)
    if box.shape != (3,) or not np.all(np.isfinite(box)) or np.any(box < 0):
        raise InputError("movement", str(box.tolist()), "three numbers, 0 or more")
    if not box.any():
        return [pose]
    signs = itertools.product(*[(-1.0, 1.0) if size else (0.0,) for size in box])
    return [pose, *[pose.moved(np.array(sign) * box) for sign in signs]]


@dataclass(frozen=True)
class Confirmation:
    """A cut length that works at every position.

    Attributes
    ----------
    length : between the nipple tips [mm]
    shapes : the shape at every position, the one at rest first
    others : other stable shapes at rest ("can also lie like this")
    tightest_radius : least over all positions [mm]
    tightest_position : index of the position that gives it [-]
    """

    length: float
    shapes: list[Shape]
    others: list[Shape]
    tightest_radius: float
    tightest_position: int


class MovementProfile(Profile):
    """Profile of a route whose end moves: its windows hold at every position.

    Parameters
    ----------
    pose : the route at rest
    movement : (3,) largest movement either way along the three axes [mm]
    smallest : least radius that will be asked for; 0 = a twentieth of the distance [mm]
    practical : longest practical length; 0 = three times the distance [mm]

    Raises
    ------
    InputError : a movement is negative or no number
    """

    def __init__(
        self, pose: Pose, movement: Array, smallest: float = 0.0, practical: float = 0.0
    ) -> None:
        self.pose = pose
        self.movement = np.asarray(movement, dtype=float)
        super().__init__(positions(pose, self.movement), smallest, practical)

    def at(self, length: float) -> list[Shape]:
        """The shape at every position, the one at rest first.

        Parameters
        ----------
        length : between the nipple tips [mm]

        Raises
        ------
        SolveError : taut at a position, or a shape is not certain
        """
        refuse_taut(self, length)
        return [solve(pose, length) for pose in self.poses]


def refuse_taut(profile: Profile, length: float) -> None:
    """Refuse a length that is pulled taut at a position.

    Parameters
    ----------
    profile : the route
    length : between the nipple tips [mm]

    Raises
    ------
    SolveError : the length is no longer than the distance at some position
    """
    for pose in profile.poses:
        if length > pose.distance or (pose.straight and length == pose.distance):
            continue
        shift = pose.end - profile.poses[0].end
        where = ", ".join(f"{part:+.0f}" for part in shift)
        moved = f" when the end has moved by ({where}) mm" if shift.any() else ""
        raise SolveError(
            "length",
            f"a taut hose: {length:.1f} mm for ends {pose.distance:.1f} mm apart{moved}",
            "a longer hose",
        )


def common_window(profile: Profile, radius: float, tolerance: float = 0.0) -> Window:
    """Window of a route that must hold a cut with its tolerance.

    Parameters
    ----------
    profile : the route, with its movement if it has any
    radius : least centreline radius [mm]
    tolerance : error of the cut either way [mm]

    Raises
    ------
    InputError : the radius is no positive number
    SolveError : no length works, or the window is narrower than twice the tolerance
    """
    window = profile.window(radius)
    many = "at every position" if len(profile.poses) > 1 else "on this route"
    if not window.exists:
        raise SolveError(
            "route",
            f"no practical length with a radius of {radius:.0f} mm {many}; "
            f"at best {window.best_radius:.0f} mm, at a length of {window.best_length:.0f} mm",
            "a nipple turned, a smaller hose or a formed part",
        )
    if not window.holds(tolerance):
        raise SolveError(
            "route",
            f"a window of {window.width:.1f} mm between {window.shortest:.1f} and "
            f"{window.longest:.1f} mm, too narrow for a cut within {tolerance:.1f} mm either way",
            "a closer cut, a nipple turned, a smaller hose or a formed part",
        )
    return window


def confirm(profile: Profile, length: float, radius: float) -> Confirmation:
    """Solve a chosen length with full certainty at every position, and look for other shapes.

    Parameters
    ----------
    profile : the route, with its movement if it has any
    length : between the nipple tips [mm]
    radius : least centreline radius [mm]

    Raises
    ------
    InputError : length or radius is no positive number
    SolveError : taut; shorter than any hose of that radius can be; bent too tight; not certain;
        or two stable shapes of which only one is wide enough
    """
    if not np.isfinite(radius) or radius <= 0:
        raise InputError("radius", f"{radius}", "a positive number")
    if not np.isfinite(length) or length <= 0:
        raise InputError("length", f"{length}", "a positive number")
    refuse_taut(profile, length)
    bound = float(profile.bound(radius))
    if length < bound * (1.0 - 1e-9):
        raise SolveError(
            "length", f"{length:.1f} mm, shorter than any path of radius {radius:.0f} mm",
            f"at least {bound:.1f} mm",
        )  # fmt: skip
    found = [solve(pose, length) for pose in profile.poses]
    worst = int(np.argmin([one.tightest_radius for one in found]))
    tightest = found[worst].tightest_radius
    if tightest < radius:
        raise SolveError(
            "length", f"{length:.1f} mm bent to a radius of {tightest:.1f} mm",
            f"a radius of {radius:.1f} mm or more",
        )  # fmt: skip
    others = [one for one in shapes(profile.poses[0], length) if not same(one, found[0])]
    for other in others:
        if other.tightest_radius < radius:
            raise SolveError(
                "length",
                f"two ways for {length:.1f} mm to lie: one bent to {found[0].tightest_radius:.1f} "
                f"mm, the other to {other.tightest_radius:.1f} mm",
                f"a radius of {radius:.1f} mm or more both ways",
            )
    return Confirmation(length, found, others, tightest, worst)
