"""Two hundred photos of hoses whose run is known; see `tests/aids/photo_scenes.py`.

Runs of one to four bends, 25 to 120 degrees, radius 1.5 to 5 outside diameters; A4, Letter or a
card; a telephone held by hand, tilted by up to 45 degrees, its lens distorted by up to 3.5 % at
one focal length, its axis off the middle; every tap off by 2 pixels (standard deviation).

Bounds: length within 2 % or 5 mm, tightest radius within 10 %, angles within 4 degrees. Where
taps that scatter so do not tell a figure so well, the tool says so by the error that it states;
what it tells without a caution must keep the bound.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import photo_scenes
import pytest
from photo_pictures import drawn

from hoseselect.knowledge.errors import InputError
from hoseselect.photo.points import PhotoPoints
from hoseselect.photo.suggest import suggest_taps
from hoseselect.photo.trace_flat import trace_flat
from hoseselect.photo.traced import Measured, Traced

PICTURES = 200
CONFIDENCE = 0.95


@dataclass(frozen=True)
class Figure:
    """A figure of one photo: off by how much, with which error, whether told with a caution."""

    off: float
    error: float
    within: bool
    doubted: bool

    @property
    def covered(self) -> bool:
        return abs(self.off) <= self.error


@dataclass(frozen=True)
class Compared:
    """All photos: what was refused, and each figure of the others."""

    refused: tuple[str, ...]
    lengths: tuple[Figure, ...]
    radii: tuple[Figure, ...]
    angles: tuple[Figure, ...]
    other_bends: int


def points_of(scene: photo_scenes.Scene) -> PhotoPoints:
    corners = tuple((float(x), float(y)) for x, y in scene.corners)
    return PhotoPoints(corners, tuple((float(x), float(y)) for x, y in scene.hose))


def figure(found: Measured, true: float, bound: float, doubted: bool) -> Figure:
    off = found.value - true
    return Figure(off, found.error, abs(off) <= bound, doubted)


@pytest.fixture(scope="session")
def compared() -> Compared:
    refused, lengths, radii, angles, other_bends = [], [], [], [], 0
    for seed in range(PICTURES):
        scene = photo_scenes.flat_scene(seed)
        try:
            traced = trace_flat(
                scene.kind,
                scene.size,
                points_of(scene),
                outside_diameter=scene.diameter,
                focal_35mm=scene.film,
            )
        except InputError as error:
            refused.append(str(error))
            continue
        line, codes = scene.line, {caution.code for caution in traced.cautions}
        few = "few-taps" in codes
        bound = max(5.0, 0.02 * line.length)
        lengths.append(figure(traced.length, line.length, bound, "length" in codes))
        doubted = few or "radius" in codes
        radii.append(figure(traced.tightest_radius, line.tightest, 0.1 * line.tightest, doubted))
        if len(traced.bends) != len(line.bends):
            other_bends += 1
            assert codes & {"angle", "few-taps"}, seed  # never told without doubt
            continue
        angles += [
            figure(bend.angle, abs(true[0]), 4.0, few or "angle" in codes)
            for bend, true in zip(traced.bends, line.bends, strict=True)
        ]
    return Compared(tuple(refused), tuple(lengths), tuple(radii), tuple(angles), other_bends)


def share(figures: list[bool]) -> float:
    return sum(figures) / len(figures)


def test_nearly_every_photo_is_measured(compared: Compared) -> None:
    assert len(compared.refused) <= 0.02 * PICTURES, compared.refused
    assert compared.other_bends <= 0.02 * PICTURES


@pytest.mark.parametrize(
    ("name", "least_within"), [("lengths", 0.99), ("radii", 0.85), ("angles", 0.98)]
)
def test_figures_are_within_the_bounds(compared: Compared, name: str, least_within: float) -> None:
    figures: tuple[Figure, ...] = getattr(compared, name)
    assert share([one.within for one in figures]) >= least_within
    sure = [one.within for one in figures if not one.doubted]
    assert share(sure) >= 0.98
    assert len(sure) >= 0.45 * len(figures)


@pytest.mark.parametrize("name", ["lengths", "radii", "angles"])
def test_the_stated_error_covers_the_truth(compared: Compared, name: str) -> None:
    figures: tuple[Figure, ...] = getattr(compared, name)
    assert share([one.covered for one in figures]) >= CONFIDENCE


def test_the_stated_error_is_no_empty_one(compared: Compared) -> None:
    lengths = sorted(one.error for one in compared.lengths)
    assert lengths[len(lengths) // 2] < 6.0
    angles = sorted(one.error for one in compared.angles)
    assert angles[len(angles) // 2] < 2.0


def traced_in(scene: photo_scenes.Scene, points: PhotoPoints, shrink: int) -> Traced:
    size = (scene.size[0] // shrink, scene.size[1] // shrink)
    return trace_flat(
        scene.kind, size, points, outside_diameter=scene.diameter, focal_35mm=scene.film
    )


@pytest.mark.parametrize("seed", range(6))
def test_edges_in_a_photo_lead_to_the_middle_of_the_hose(seed: int) -> None:
    """Rough taps, a tenth of the hose off; proposals within a pixel of its middle as seen."""
    scene, shrink = photo_scenes.flat_scene(seed), 2
    grey = np.asarray(drawn(scene, shrink), dtype=float)
    random = np.random.default_rng(seed)
    kept = np.unique([*range(0, len(scene.hose), 3), len(scene.hose) - 1])
    wide = scene.diameter * scene.eye.focal / np.linalg.norm(scene.eye.place)
    rough = scene.hose[kept]
    rough[1:-1] += random.normal(0, 0.1 * wide, rough[1:-1].shape)
    points = PhotoPoints(
        tuple((float(x), float(y)) for x, y in scene.corners / shrink),
        tuple((float(x), float(y)) for x, y in rough / shrink),
    )
    proposal = suggest_taps(
        scene.kind,
        grey,
        points,
        outside_diameter=scene.diameter,
        focal_35mm=scene.film,
    )
    assert proposal.found > 0.7
    turn, origin = scene.moved[:3], scene.moved[3]
    places, heads = scene.line.at(np.linspace(0, scene.line.length, 3000))
    one, other = photo_scenes.edges_of_tube(
        scene.eye, places @ turn + origin, heads @ turn, scene.diameter / 2
    )
    proposed = np.array(proposal.points.hose)[1:-1]
    apart = np.linalg.norm(proposed[:, None] - (one + other)[None] / 2 / shrink, axis=2).min(axis=1)
    assert np.median(apart) < 0.6
    assert np.percentile(apart, 90) < 1.5
    traced = traced_in(scene, proposal.points, shrink)
    assert abs(traced.length.value - scene.line.length) <= max(5.0, 0.02 * scene.line.length)
    tightest = scene.line.tightest
    assert abs(traced.tightest_radius.value - tightest) <= 0.1 * tightest


def test_a_hose_that_does_not_stand_out_is_left_to_the_person() -> None:
    scene = photo_scenes.flat_scene(0)
    points = points_of(scene)
    grey = np.random.default_rng(0).normal(120, 4, (scene.size[1], scene.size[0]))
    with pytest.raises(InputError, match="tap its middle yourself"):
        suggest_taps(scene.kind, grey, points, outside_diameter=scene.diameter)


def changed(**change: object) -> tuple[str, tuple[int, int], PhotoPoints, dict[str, float]]:
    """Return a good photo, one thing of it changed."""
    scene = photo_scenes.flat_scene(0)
    points = points_of(scene)
    known = {"outside_diameter": scene.diameter, "focal_35mm": scene.film}
    kind = str(change.pop("kind", scene.kind))
    for name in set(change) & set(known):
        known[name] = float(str(change.pop(name)))
    parts = {"corners": points.corners, "hose": points.hose, "edges": points.edges} | change
    return kind, scene.size, PhotoPoints(**parts), known  # type: ignore[arg-type]


def test_the_good_photo_is_measured() -> None:
    kind, size, points, known = changed()
    assert trace_flat(kind, size, points, **known).length.value > 0


GOOD = changed()[2]
CORNERS, HOSE = np.array(GOOD.corners), np.array(GOOD.hose)
MIDDLE = CORNERS.mean(axis=0)
SPIRAL = [
    (2000 + 40 * t * math.cos(2.1 * t * t), 1500 + 30 * t * math.sin(1.3 * t * t))
    for t in np.linspace(1, 9, 40)
]
WAVE = [(300 + 80 * k, 1500 + 90 * ((k * 7) % 5)) for k in range(40)]


def oblique() -> PhotoPoints:
    """A sheet and a hose seen from 70 degrees off straight down."""
    turn, shift = photo_scenes.looking(np.array([0, -650.0, 240.0]), np.zeros(3), 0.0)
    eye = photo_scenes.Eye(turn, shift, 2900.0, np.array([2016.0, 1512.0]), (0.0, 0.0))
    corners = np.array([[-148.5, 105, 0], [148.5, 105, 0], [148.5, -105, 0], [-148.5, -105, 0]])
    hose = np.column_stack([np.linspace(-140, 140, 20), np.full(20, -60.0), np.full(20, 9.0)])
    seen = [tuple(map(tuple, eye.see(points))) for points in (corners, hose)]
    return PhotoPoints(*seen)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"corners": GOOD.corners[:3]}, "found 3; expected four"),
        ({"corners": tuple(map(tuple, MIDDLE + 0.05 * (CORNERS - MIDDLE)))}, "sheet is too small"),
        (
            {"corners": (*GOOD.corners[:3], tuple(np.array(GOOD.corners[:3]).mean(axis=0)))},
            "one that lies between the others|sheet is too small",
        ),
        ({"hose": GOOD.hose[:4]}, "found 4; expected 6 or more"),
        ({"hose": (*GOOD.hose[:-1], (5000.0, 10.0))}, "found 5000, 10; expected a point of"),
        ({"hose": (*GOOD.hose, *GOOD.hose[3:9])}, "turns back|crosses|in the order of the hose"),
        ({"hose": tuple(GOOD.hose[k] for k in (0, 9, 3, 12, 5, 14, 8, 20))}, "turns back|crosses"),
        ({"kind": "card", "focal_35mm": 26}, "do not look like card of format ID-1"),
        ({"kind": "napkin"}, "expected a4, letter or card"),
        ({"focal_35mm": 13}, "a wide lens of 13 mm"),
        ({"outside_diameter": -3}, "expected 2 mm to 150 mm"),
        ({"hose": tuple(WAVE)}, "turns back|no straights and arcs"),
    ],
)
def test_an_unusable_photo_is_refused_with_the_reason(
    change: dict[str, object], reason: str
) -> None:
    kind, size, points, known = changed(**change)
    with pytest.raises(InputError, match=reason):
        trace_flat(kind, size, points, **known)


def test_a_photo_along_the_table_is_refused() -> None:
    with pytest.raises(InputError, match="too oblique"):
        trace_flat("a4", (4032, 3024), oblique(), outside_diameter=18.0, focal_35mm=25.0)


def test_a_hose_far_off_the_sheet_is_refused() -> None:
    turn, shift = photo_scenes.looking(np.array([0, -900.0, 1300.0]), np.array([0, 600.0, 0]), 0)
    eye = photo_scenes.Eye(turn, shift, 2900.0, np.array([2016.0, 1512.0]), (0.0, 0.0))
    corners = np.array([[-43, 27, 0], [43, 27, 0], [43, -27, 0], [-43, -27.0, 0]]) * [0.995, 1, 1]
    hose = np.column_stack([np.linspace(-140, 140, 20), np.full(20, 900.0), np.full(20, 9.0)])
    points = PhotoPoints(tuple(map(tuple, eye.see(corners))), tuple(map(tuple, eye.see(hose))))
    with pytest.raises(InputError, match=r"far off the sheet|too small"):
        trace_flat("card", (4032, 3024), points, outside_diameter=18.0, focal_35mm=25.0)


def test_the_order_of_the_corners_does_not_matter() -> None:
    kind, size, points, known = changed()
    turned = PhotoPoints((*points.corners[2:], *points.corners[:2]), points.hose)
    mixed = PhotoPoints(tuple(points.corners[k] for k in (2, 0, 3, 1)), points.hose)
    first = trace_flat(kind, size, points, **known)
    for other in (turned, mixed):
        again = trace_flat(kind, size, other, **known)
        assert again.length.value == pytest.approx(first.length.value, abs=0.2)


def test_what_is_not_told_widens_the_error() -> None:
    kind, size, points, known = changed()
    told = trace_flat(kind, size, points, **known)
    untold = trace_flat(kind, size, points)
    assert untold.length.error > 1.1 * told.length.error
    assert "diameter" in {caution.code for caution in untold.cautions}


def test_points_on_edges_tell_of_the_lens() -> None:
    """A lens that bends lines ten times as much as is usual is told by points on the edges."""
    turn, shift = photo_scenes.looking(np.array([0, -60.0, 330.0]), np.zeros(3), 0.0)
    corners = np.array([[-148.5, 105, 0], [148.5, 105, 0], [148.5, -105, 0], [-148.5, -105, 0]])
    hose = np.column_stack([np.linspace(-140, 140, 30), np.full(30, -60.0), np.full(30, 9.0)])
    ends = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    edges = np.vstack([np.linspace(one, other, 12)[1:-1] for one, other in ends])
    eye = photo_scenes.Eye(turn, shift, 2900.0, np.array([2016.0, 1512.0]), (-0.08, 0.0))
    seen = [tuple(map(tuple, eye.see(points))) for points in (corners, hose, edges)]
    known = {"outside_diameter": 18.0, "focal_35mm": 25.0}
    with_edges = trace_flat("a4", (4032, 3024), PhotoPoints(*seen), **known)
    without = trace_flat("a4", (4032, 3024), PhotoPoints(*seen[:2]), **known)
    assert abs(with_edges.length.value - 280) < abs(without.length.value - 280) + 0.2
    assert with_edges.length.error < without.length.error


@pytest.mark.parametrize("seed", range(24))
def test_any_points_are_measured_or_refused(seed: int) -> None:
    """Nothing but a measurement or a reason comes of points at random."""
    random = np.random.default_rng(seed)
    kind, size, points, known = changed()
    hose = random.uniform(0, 3000, (int(random.integers(6, 60)), 2))
    corners = random.uniform(0, 3000, (4, 2))
    edges = random.uniform(0, 3000, (5, 2))
    parts = [points.corners, points.hose, ()]
    parts[seed % 3] = tuple(map(tuple, (corners, hose, edges)[seed % 3]))
    try:
        found = trace_flat(kind, size, PhotoPoints(*parts), **known)
    except InputError as error:
        assert "; expected " in str(error)
    else:
        assert found.length.error > 0


@pytest.mark.parametrize("place", [(-0.5, 5.0), (5.0, -0.5), (5.0, 3024.5), (math.nan, 5.0)])
def test_points_beyond_the_borders_are_refused(place: tuple[float, float]) -> None:
    kind, size, points, known = changed()
    for parts in (
        {"corners": (*points.corners[:3], place)},
        {"hose": (*points.hose, place)},
        {"edges": (place,)},
    ):
        with pytest.raises(InputError, match="expected a point of the picture"):
            trace_flat(kind, size, changed(**parts)[2], **known)
