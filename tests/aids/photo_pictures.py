"""Photos with pixels: a scene of `photo_scenes.py` drawn, with shade, shadow and grain."""

from __future__ import annotations

from typing import Any

import numpy as np
from photo_scenes import Scene, edges_of_tube
from PIL import Image, ImageDraw, ImageFilter


def drawn(scene: Scene, shrink: int = 2, grain: float = 4.0, seed: int = 0) -> Any:
    """Return the picture of a scene, smaller than its pixels by a whole number.

    A point at (x, y) of the scene lies at (x, y) / shrink of the picture.
    """
    random = np.random.default_rng(seed)
    width, height = (side // shrink for side in scene.size)
    fine = 2  # drawn larger, so that edges fall between pixels
    image = Image.new("L", (fine * width, fine * height), 150)
    pen = ImageDraw.Draw(image)

    def polygon(points: Any, grey: int) -> None:
        places = np.asarray(points) * fine / shrink - 0.5
        pen.polygon([(float(x), float(y)) for x, y in places], grey)

    polygon(scene.eye.see(scene.sheet), 235)
    turn, origin = scene.moved[:3], scene.moved[3]
    along = np.linspace(0, scene.line.length, 400)
    places, heads = scene.line.at(along)
    places, heads = places @ turn + origin, heads @ turn
    radius = scene.diameter / 2
    shadow = places + radius * np.array([0.5, 0.3, -0.9])
    one, other = edges_of_tube(scene.eye, shadow, heads, radius)
    polygon(np.vstack([one, other[::-1]]), 115)
    for share, grey in ((1.0, 38), (0.75, 50), (0.4, 66)):
        one, other = edges_of_tube(scene.eye, places, heads, radius)
        middle = (one + other) / 2
        one, other = middle + share * (one - middle), middle + share * (other - middle)
        polygon(np.vstack([one, other[::-1]]), grey)
    image = image.resize((width, height), Image.Resampling.BOX)
    soft = np.asarray(image.filter(ImageFilter.GaussianBlur(1.0)), dtype=float)
    y, x = np.mgrid[0:height, 0:width]
    light = 1 + 0.12 * (x / width - 0.5) - 0.08 * (y / height - 0.5)
    grained = soft * light + random.normal(0, grain, soft.shape)
    return Image.fromarray(np.clip(grained, 0, 255).astype(np.uint8))
