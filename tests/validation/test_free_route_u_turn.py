"""Windows of a U-turn, read by whole hoses through the engine.

Source: the two-point bend. A fibre bent between two plates stands 2.396280 least radii apart
(twice 1.198140; Matthewson, Kurkjian & Gulati, J. Am. Ceram. Soc. 69 (1986) 815, from memory;
the constant worked out here again from the rectangular elastica). As a hose over the width W
between two nipples that point the same way: the radius against length has its peak, W / 2, at
pi W / 2, and its dip, W / 2.396280, at 2.188440 W. So a hose of least radius up to 0.4173 W has no
longest length but the practical one, 3 W; between that and 0.5 W its lengths form a window; beyond
0.5 W only a loop longer than 3.7 W is left, which is no line. The rows between come from the table
below, computed before by a second program with more nodes (40).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest
from scipy.special import gamma

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.intake.read_job import read_job

W = 300.0
ENGAGED = 25.0
PRACTICAL = 3.0  # over W: where an open window ends, a longer hose sags or touches itself
AS_IT_IS = {"lead": "0 mm", "movement": "none"}
SOLVED = ("bend-window", "bend-radius")
MILD = {
    "fluid_steady": 40, "fluid_peak": 50, "air_steady": 40, "air_peak": 50,
    "coldest_start": -5, "pressure_min": 0, "pressure_max": 100, "pressure_spike": 100,
}  # fmt: skip
Window = Callable[[float], tuple[str, tuple[float, float]]]
# L / W and r / W, computed before
BELOW = [(1.20, 0.12204), (1.30, 0.19211), (1.40, 0.27942), (1.50, 0.39417)]
ABOVE = [(1.60, 0.48761), (1.80, 0.43866), (2.00, 0.42117)]
# R / W, L / W of the shortest hose in closed form
CLOSED = [(0.45, 1.53940914), (0.15, 1.24210351)]


def half_constant() -> float:
    """1.198140: integral of the root of the sine over half a turn, over 2."""
    return float(math.sqrt(math.pi) * gamma(0.75) / gamma(1.25) / 2)


@pytest.fixture
def window(shop_of: Callable[..., Catalogue]) -> Window:
    """Return the question: verdict of the bend rules, and window over W, of a radius over W."""

    def ask(ratio: float) -> tuple[str, tuple[float, float]]:
        free = {"offset": {"forward": W}, "nipple_a_points": "up", "nipple_b_points": "up",
                **AS_IT_IS}  # fmt: skip
        job = read_job({
            "service": "washer", "fluids": [], "drips": [], "route": {"free": free},
            "duty": MILD,
            "nipples": {
                "outside_diameter": 10, "engagement": ENGAGED, "usable_length": 30,
                "bead": "yes", "bead_diameter": 11, "measured_on": "plain",
            },
            "features": {"insert": "none", "turbo": "no", "submerged": "no"},
        })  # fmt: skip
        assert job.route.free is not None
        exact = replace(job.route.free, tape_error=0.0, angle_error=0.0)
        job = replace(job, route=replace(job.route, free=exact))
        shop = shop_of({"M": {"least_bend_radius_mm": ratio * W}})
        (hose,) = pick_hose(job, shop).hoses
        bends = [f.verdict.word for f in hose.findings if f.code in SOLVED]
        if hose.cut is None:
            return ("reject" if "reject" in bends else "other"), (math.nan, math.nan)
        low, high = (end - 2 * ENGAGED for end in hose.cut.window)
        assert low + hose.cut.tolerance <= hose.cut.tip <= high - hose.cut.tolerance + 1e-6
        assert hose.cut.tightest_radius >= ratio * W
        return ("reject" if "reject" in bends else "accept"), (low / W, high / W)

    return ask


def test_the_constants_of_the_two_point_bend() -> None:
    assert half_constant() == pytest.approx(1.198140, abs=5e-7)
    assert 1 / (2 * half_constant()) == pytest.approx(0.417313, abs=5e-7)


@pytest.mark.parametrize(("length", "radius"), BELOW)
def test_shortest_length_by_the_table(window: Window, length: float, radius: float) -> None:
    word, (low, high) = window(radius)
    assert word == "accept"
    # The table has five digits of radius; the slope of the radius is above 0.6 there, and a
    # pick finds windows to 1e-4 of the distance.
    assert low == pytest.approx(length, abs=1.5e-4)
    assert high == pytest.approx(PRACTICAL)


@pytest.mark.parametrize(("radius", "length"), CLOSED)
def test_shortest_length_in_closed_form(window: Window, radius: float, length: float) -> None:
    assert window(radius)[1][0] == pytest.approx(length, abs=1e-4)


@pytest.mark.parametrize(("length", "radius"), ABOVE)
def test_longest_length_by_the_table(window: Window, length: float, radius: float) -> None:
    word, (low, high) = window(radius)
    assert word == "accept"
    assert low < math.pi / 2 < high
    # Five digits of radius over a slope of 0.04 to 0.5: 1e-5 / 0.04 and the 1e-4 of a pick.
    assert high == pytest.approx(length, abs=5e-4)


@pytest.mark.parametrize("below", [0.3, 0.40, 0.416])
def test_up_to_the_dip_no_length_is_too_long(window: Window, below: float) -> None:
    word, (low, high) = window(below)
    assert word == "accept"
    assert high == pytest.approx(PRACTICAL)
    assert 1 < low < math.pi / 2


@pytest.mark.parametrize("between", [0.419, 0.45, 0.48])
def test_between_dip_and_peak_the_lengths_form_a_window(window: Window, between: float) -> None:
    word, (low, high) = window(between)
    assert word == "accept"
    assert low < math.pi / 2 < high < 2.188440


@pytest.mark.parametrize("beyond", [0.501, 0.55, 0.7])
def test_beyond_the_peak_nothing_is_cut(window: Window, beyond: float) -> None:
    word, (low, _) = window(beyond)
    assert word == "reject"
    assert math.isnan(low)


@pytest.mark.parametrize(("beside", "opened"), [(-3e-4, True), (3e-4, False)])
def test_at_the_dip_the_window_opens(window: Window, beside: float, opened: bool) -> None:
    # The dip of a pick is known to a few 1e-5 of its radius; 3e-4 on either side is told apart.
    ratio = 1 / (2 * half_constant()) + beside
    high = window(ratio)[1][1]
    assert high == pytest.approx(PRACTICAL) if opened else high < 2.19
