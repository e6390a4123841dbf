"""Windows of lengths of one span: the nipples' leads counted, wide loops left out."""

from __future__ import annotations

import math
from dataclasses import replace

from hoseselect.judging.columns import Array
from hoseselect.mechanics.rod import Profile, Window


def longer(window: Window, leads: float) -> Window:
    """Return a window of lengths with what the nipples hold straight [mm]."""
    if not leads:
        return window
    return replace(
        window,
        shortest=window.shortest + leads,
        longest=window.longest + leads,
        bound=window.bound + leads,
        loop_from=window.loop_from + leads,
        best_length=window.best_length + leads,
    )


def practical_windows(profile: Profile, radii: Array) -> list[Window]:
    """Return the window for every radius; a loop beyond the practical length is not looked for."""
    most, length = profile.best_radius()
    within = radii <= most
    found = iter(profile.windows(radii[within]))
    none = math.nan, math.nan
    return [
        _practical(next(found), profile.practical)
        if inside
        else Window(float(radius), *none, float(bound), math.nan, False, most, length)
        for radius, inside, bound in zip(radii, within, profile.bound(radii), strict=True)
    ]


def _practical(window: Window, longest: float) -> Window:
    """Return a window that counts as a wide loop where it begins beyond a length [mm]."""
    return replace(window, big_loop_only=window.big_loop_only or window.shortest > longest)
