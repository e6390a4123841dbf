"""Photos of hoses whose run is known, made without any code of the tool.

A hose is a tube of radius r round a line of straights and arcs that lies on a table; beside it
lies a sheet. A pinhole with two figures of radial distortion and an axis off the middle looks at
it. What is tapped is the middle between the two lines at which the tube ends to the eye, which
is not quite where its centreline is seen; every tap is off by chance.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, pi, radians, sin

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
SHEETS = {"a4": (297.0, 210.0), "letter": (279.4, 215.9), "card": (85.6, 53.98)}


@dataclass(frozen=True)
class Eye:
    """A camera: x_camera = turn @ x_world + shift; the picture has y down."""

    turn: Floats
    shift: Floats
    focal: float
    axis: Floats
    bend: tuple[float, float]

    def see(self, points: Floats) -> Floats:
        there = points @ self.turn.T + self.shift
        x, y = there[:, 0] / there[:, 2], there[:, 1] / there[:, 2]
        r2 = x * x + y * y
        grown = 1 + self.bend[0] * r2 + self.bend[1] * r2 * r2
        return np.column_stack(
            [self.axis[0] + self.focal * x * grown, self.axis[1] + self.focal * y * grown]
        )

    @property
    def place(self) -> Floats:
        return -self.turn.T @ self.shift


def looking(seat: Floats, at: Floats, roll: float) -> tuple[Floats, Floats]:
    """Return turn and shift of a camera at a place that looks at a point."""
    ahead = (at - seat) / np.linalg.norm(at - seat)
    helper = np.array([0.0, 1.0, 0.0]) if abs(ahead[2]) > 0.9 else np.array([0.0, 0.0, 1.0])
    right = np.cross(ahead, helper)
    right /= np.linalg.norm(right)
    down = np.cross(ahead, right)
    x = cos(roll) * right + sin(roll) * down
    y = -sin(roll) * right + cos(roll) * down
    turn = np.array([x, y, ahead])
    return turn, -turn @ seat


@dataclass(frozen=True)
class Line:
    """A run: straights (n + 1), bends as (angle with sign, radius, turn of plane) [deg, mm]."""

    straights: tuple[float, ...]
    bends: tuple[tuple[float, float, float], ...]

    @property
    def length(self) -> float:
        return sum(self.straights) + sum(abs(radians(a)) * r for a, r, _ in self.bends)

    @property
    def tightest(self) -> float:
        return min((r for _, r, _ in self.bends), default=np.inf)

    def at(self, along: Floats) -> tuple[Floats, Floats]:
        """Return places and directions at distances from the start; it starts at 0 along x."""
        places, heads = np.zeros((len(along), 3)), np.zeros((len(along), 3))
        frame, place, start = np.eye(3), np.zeros(3), 0.0
        parts = [(self.straights[0], None)]
        for bend, straight in zip(self.bends, self.straights[1:], strict=True):
            parts += [(abs(radians(bend[0])) * bend[1], bend), (straight, None)]
        for size, bend in parts:
            if bend is not None:
                t = radians(bend[2])
                e, n, b = frame
                frame = np.array([e, cos(t) * n + sin(t) * b, cos(t) * b - sin(t) * n])
            e, n, b = frame
            inside = (along >= start - 1e-9) & (along <= start + size + 1e-9)
            s = along[inside] - start
            if bend is None:
                places[inside], heads[inside] = place + s[:, None] * e, e
                place = place + size * e
            else:
                sign, radius = np.sign(bend[0]), bend[1]
                w = s / radius
                places[inside] = place + radius * (
                    np.sin(w)[:, None] * e + sign * (1 - np.cos(w))[:, None] * n
                )
                heads[inside] = np.cos(w)[:, None] * e + sign * np.sin(w)[:, None] * n
                w = size / radius
                place = place + radius * (sin(w) * e + sign * (1 - cos(w)) * n)
                frame = np.array(
                    [cos(w) * e + sign * sin(w) * n, cos(w) * n - sign * sin(w) * e, b]
                )
            start += size
        return places, heads


def edges_of_tube(eye: Eye, places: Floats, heads: Floats, radius: float) -> tuple[Floats, Floats]:
    """Return where the two lines are seen at which a tube ends to the eye."""
    towards = eye.place - places
    towards = towards - (towards * heads).sum(axis=1, keepdims=True) * heads
    far = np.linalg.norm(towards, axis=1, keepdims=True)
    towards = towards / far
    aside = np.cross(heads, towards)
    lift, out = radius / far, np.sqrt(1 - (radius / far) ** 2)
    one = places + radius * (lift * towards + out * aside)
    other = places + radius * (lift * towards - out * aside)
    return eye.see(one), eye.see(other)


@dataclass(frozen=True)
class Scene:
    """A photo with its taps, and what is true."""

    kind: str
    size: tuple[int, int]
    film: float  # focal length as the photo says it, NaN where it does not [mm]
    diameter: float
    line: Line
    eye: Eye
    tilt: float
    corners: Floats
    hose: Floats
    moved: Floats = field(repr=False)  # the run's own frame in the world: rows x, y, z, origin
    sheet: Floats = field(repr=False)  # true corners in the world [mm]


def random_line(random: np.random.Generator, diameter: float) -> Line:
    """Return a run as formed hoses have them: one to four bends, nowhere touching itself."""
    while True:
        count = int(random.integers(1, 5))
        straights = tuple(random.uniform(20, 110, count + 1))
        bends = tuple(
            (
                float(
                    random.choice([-1, 1]) * random.choice([random.uniform(25, 120), 90.0, 45.0])
                ),
                float(diameter * random.uniform(1.5, 5.0)),
                0.0,
            )
            for _ in range(count)
        )
        line = Line(straights, bends)
        along = np.linspace(0, line.length, 120)
        places, _ = line.at(along)
        apart = np.linalg.norm(places[:, None] - places[None], axis=2)
        away = np.abs(along[:, None] - along[None]) > pi * diameter
        if not (apart[away] < 2 * diameter).any() and line.length < 700:
            return line


def flat_scene(
    seed: int, noise: float = 2.0, kinds: tuple[str, ...] = ("a4", "letter", "card")
) -> Scene:
    """Return a photo of a hose that lies on a table, tilted by up to 45 degrees."""
    random = np.random.default_rng(seed)
    diameter = float(random.uniform(10, 30))
    line = random_line(random, diameter)
    kind = str(random.choice(kinds))
    while kind == "card" and line.length > 150:
        line = random_line(random, diameter := float(random.uniform(6, 12)))
    along = tapped_along(random, line)
    places, heads = line.at(along)
    turned = random.uniform(0, 2 * pi)
    spin = np.array([[cos(turned), -sin(turned), 0], [sin(turned), cos(turned), 0], [0, 0, 1.0]])
    places, heads = places @ spin.T, heads @ spin.T
    origin = -(places.min(axis=0) + places.max(axis=0)) / 2
    places = places + origin
    places[:, 2] = diameter / 2
    origin[2] = diameter / 2
    cut = 0.4 if kind != "card" else 0.05
    half = (np.array(SHEETS[kind]) + random.normal(0, cut, 2)) / 2
    corners = np.array([[-1, 1], [1, 1], [1, -1], [-1, -1.0]]) * half
    angle = random.uniform(0, 2 * pi)
    corners = corners @ np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    beside = random.uniform(0, 2 * pi)
    reach = np.array([cos(beside), sin(beside)])
    gap = (places[:, :2] @ reach).max() - (corners @ reach).min() + diameter + random.uniform(0, 40)
    corners = corners + gap * reach
    if random.random() < 0.3 and kind != "card":  # the hose lies over the sheet
        corners = corners - corners.mean(axis=0) + random.uniform(-40, 40, 2)
    sheet = np.column_stack([corners, np.zeros(4)])
    every = np.concatenate([sheet, places])
    size = (4032, 3024) if random.random() < 0.7 else (3024, 4032)
    film = float(random.uniform(23.5, 28.5))
    tilt = float(random.uniform(0, 45))
    eye = placed_eye(random, every, size, film, tilt)
    one, other = edges_of_tube(eye, places, heads, diameter / 2)
    taps = (one + other) / 2 + random.normal(0, noise, one.shape)
    said = float(round(film)) if random.random() < 0.5 else float("nan")
    order = random.permutation(4)
    seen = eye.see(sheet)[order] + random.normal(0, noise, (4, 2))
    frame = np.vstack([spin.T, origin])
    return Scene(kind, size, said, diameter, line, eye, tilt, seen, taps, frame, sheet)


def tapped_along(random: np.random.Generator, line: Line) -> Floats:
    """Return where somebody taps: both ends, twelve a bend, about every 12 mm of straights."""
    found, start = [0.0], 0.0
    for number, straight in enumerate(line.straights):
        sizes = [(straight, max(2, round(straight / 12)))]
        if number < len(line.bends):
            sizes.append((abs(radians(line.bends[number][0])) * line.bends[number][1], 12))
        for size, count in sizes:
            steps = (np.arange(count) + 0.5 + random.uniform(-0.3, 0.3, count)) * size / count
            found += list(start + steps)
            start += size
    return np.array([*found, line.length])


def placed_eye(
    random: np.random.Generator, every: Floats, size: tuple[int, int], film: float, tilt: float
) -> Eye:
    """Return a camera tilted so, from anywhere, held anyhow."""
    return seen_from(random, every, size, film, None, tilt)


def seen_from(
    random: np.random.Generator,
    every: Floats,
    size: tuple[int, int],
    film: float,
    way: Floats | None,
    tilt: float = 0.0,
) -> Eye:
    """Return a camera that sees all points, as near as it can: a telephone held by hand."""
    focal = film * np.hypot(*size) / np.hypot(36, 24)
    axis = np.array(size) / 2 + random.normal(0, 0.006, 2) * max(size)
    bend = (float(random.uniform(-0.035, 0.035)), float(random.uniform(-0.01, 0.01)))
    middle = (every.min(axis=0) + every.max(axis=0)) / 2 + [*random.uniform(-15, 15, 2), 0]
    around, roll = random.uniform(0, 2 * pi, 2)
    if way is None:
        flat = sin(radians(tilt))
        way = np.array([flat * cos(around), flat * sin(around), cos(radians(tilt))])
    else:
        way, roll = way / np.linalg.norm(way), 0.1 * (roll - pi) / pi
    margin = random.uniform(0.04, 0.15)
    for distance in np.arange(150, 4000, 15):
        turn, shift = looking(middle + distance * way, middle, roll)
        eye = Eye(turn, shift, float(focal), axis, bend)
        if ((every @ turn.T + shift)[:, 2] < 30).any():
            continue
        seen = eye.see(every)
        low, high = margin * np.array(size), (1 - margin) * np.array(size)
        if (seen > low).all() and (seen < high).all():
            return eye
    raise AssertionError("no place for the camera")


BENCH_SHRINK = 3
BENCH_LINE = Line((65.0, 90.0, 55.0), ((90.0, 60.0, 0.0), (-45.0, 75.0, 0.0)))
BENCH_DIAMETER = 22.0


def bench_scene() -> Scene:
    """Return the scene of `docs/pictures/old_hose.jpg`: 26 mm lens, 24 degrees off straight down.

    Its picture is smaller by `BENCH_SHRINK`.
    """
    random = np.random.default_rng(4)
    along = tapped_along(random, BENCH_LINE)
    places, heads = BENCH_LINE.at(along)
    spin = np.array([[cos(0.5), -sin(0.5), 0], [sin(0.5), cos(0.5), 0], [0, 0, 1.0]])
    origin = np.array([-150.0, -150.0, BENCH_DIAMETER / 2])
    places, heads = places @ spin.T + origin, heads @ spin.T
    half = np.array(SHEETS["a4"]) / 2
    sheet = np.array([[-1, 1, 0], [1, 1, 0], [1, -1, 0], [-1, -1.0, 0]]) * [*half, 0]
    sheet = sheet @ np.array([[cos(0.06), sin(0.06), 0], [-sin(0.06), cos(0.06), 0], [0, 0, 1.0]])
    sheet = sheet + np.array([-90.0, 100.0, 0.0])
    size, film = (4032, 3024), 26.0
    tilt = radians(24)
    turn, shift = looking(
        np.array([-60.0, -10.0 - 480 * sin(tilt), 480 * cos(tilt)]),
        np.array([-60.0, -10.0, 0]),
        0.0,
    )
    focal = film * np.hypot(*size) / np.hypot(36, 24)
    eye = Eye(turn, shift, float(focal), np.array([2024.0, 1505.0]), (0.012, -0.004))
    one, other = edges_of_tube(eye, places, heads, BENCH_DIAMETER / 2)
    taps = (one + other) / 2 + random.normal(0, 2, one.shape)
    corners = eye.see(sheet) + random.normal(0, 2, (4, 2))
    frame = np.vstack([spin.T, origin])
    return Scene(
        "a4", size, film, BENCH_DIAMETER, BENCH_LINE, eye, 24.0, corners, taps, frame, sheet
    )


@dataclass(frozen=True)
class Pair:
    """Two photos of one hose: from above with the sheet flat, from the side with it stood up.

    The corners of each begin with the left, then the right end of the base line.
    """

    kind: str
    size: tuple[int, int]
    diameter: float
    film: float
    line: Line
    corners: tuple[Floats, Floats]
    hose: tuple[Floats, Floats]


def space_pair(seed: int, noise: float = 2.0) -> Pair:
    """Return two photos of a hose with bends in more than one plane."""
    random = np.random.default_rng(seed)
    while True:
        diameter = float(random.uniform(12, 26))
        count = int(random.integers(2, 4))
        bends = tuple(
            (
                float(random.uniform(40, 100)),
                float(diameter * random.uniform(2.0, 4.0)),
                float(random.choice([-1, 1]) * random.uniform(40, 120)) if number else 0.0,
            )
            for number in range(count)
        )
        line = Line(tuple(random.uniform(40, 100, count + 1)), bends)
        along = tapped_along(random, line)
        places, heads = line.at(along)
        axes = np.linalg.qr(random.normal(size=(3, 3)))[0]
        axes *= np.sign(np.linalg.det(axes))
        places, heads = places @ axes.T, heads @ axes.T
        spread = places.max(axis=0) - places.min(axis=0)
        apart = np.linalg.norm(places[:, None] - places[None], axis=2)
        away = np.abs(along[:, None] - along[None]) > pi * diameter
        if spread[2] < 220 and max(spread[:2]) < 400 and not (apart[away] < 2 * diameter).any():
            break
    length, width = SHEETS["a4"]
    centre = (places.max(axis=0) + places.min(axis=0)) / 2
    places = places - centre + [length / 2, -width / 2, 0]
    places[:, 2] += diameter / 2 - places[:, 2].min()
    flat = np.array([[0, 0, 0], [length, 0, 0], [length, -width, 0], [0, -width, 0]])
    stood = np.array([[0, 0, 0], [length, 0, 0], [length, 0, width], [0, 0, width]])
    lean = random.normal(0, radians(0.7), 3)
    turned = np.array([[1, -lean[2], lean[1]], [lean[2], 1, -lean[0]], [-lean[1], lean[0], 1]])
    stood = stood @ turned.T + random.normal(0, 0.7, 3)
    size, film = (4032, 3024), float(random.uniform(24, 28))
    seen_corners, seen_hose = [], []
    for sheet, way in ((flat, (0.15, -0.25, 1.0)), (stood, (0.1, -1.0, 0.3))):
        every = np.concatenate([sheet, places])
        eye = seen_from(random, every, size, film, np.array(way) + random.normal(0, 0.1, 3))
        sight = places - eye.place
        sight = sight / np.linalg.norm(sight, axis=1, keepdims=True)
        if np.linalg.norm(np.cross(sight, heads), axis=1).min() < 0.25:
            return space_pair(seed + 1000, noise)  # a straight is seen end on: nobody can tap it
        one, other = edges_of_tube(eye, places, heads, diameter / 2)
        seen_hose.append((one + other) / 2 + random.normal(0, noise, one.shape))
        seen_corners.append(eye.see(sheet) + random.normal(0, noise, (4, 2)))
    return Pair(
        "a4",
        size,
        diameter,
        float(round(film)),
        line,
        (seen_corners[0], seen_corners[1]),
        (seen_hose[0], seen_hose[1]),
    )
