"""What is known of the lens of a photo before anything is measured in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.arrays import Floats

FULL_FRAME_DIAGONAL = math.hypot(36.0, 24.0)
"""Of the picture to which focal lengths "in terms of 35 mm film" refer [mm]."""


@dataclass(frozen=True)
class Lens:
    """What is known of a lens, as middle and spread of each figure.

    Parameters
    ----------
    focal : focal length [px]
    focal_spread : standard deviation of its logarithm [-]
    middle : where its axis meets the picture [px]
    middle_spread : standard deviation of each coordinate of that [px]
    radial_spread : standard deviation of the radial distortion about zero [-]
    """

    focal: float
    focal_spread: float
    middle: Floats
    middle_spread: float
    radial_spread: float


def lens_of(size: tuple[int, int], focal_35mm: float = math.nan) -> Lens:
    """Return what is known of the lens of a photo.

    Source: CIPA DCG-001, which refers the focal length to the diagonal of the picture, from
    memory; the spreads are common practice.

    Parameters
    ----------
    size : width and height of the whole picture as it is shown [px]
    focal_35mm : focal length in terms of 35 mm film, as the photo says it; NaN if unknown [mm]
    """
    told = not math.isnan(focal_35mm)
    film = focal_35mm if told else limit("photo-focal-usual")
    return Lens(
        focal=film * math.hypot(*size) / FULL_FRAME_DIAGONAL,
        focal_spread=limit("photo-focal-told-spread" if told else "photo-focal-usual-spread"),
        middle=np.array(size) / 2,
        middle_spread=limit("photo-middle-spread") * max(size),
        radial_spread=limit("photo-radial-spread"),
    )
