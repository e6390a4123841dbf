"""PyElastica (Gazzola et al., R. Soc. Open Sci. 5 (2018) 171628): independent rod dynamics.

Needs the extra `independent`; a shape relaxes for ten seconds or more, so the tests are slow.
The rod begins as a cubic curve of the right length, is held at both nipples and damped until it
rests. It hardly stretches or shears and resists twist a thousand times less than bending.
"""

import numpy as np
import pytest

from hoseselect.mechanics.rod import Pose, solve

ELEMENTS = 60
RADIUS = 0.01
U_TURN = Pose(np.zeros(3), np.array([0.0, 1, 0]), np.array([1.0, 0, 0]), np.array([0.0, -1, 0]))


def unit(*parts):
    return np.array(parts) / np.linalg.norm(parts)


CASES = {
    "two-point bend": (U_TURN, 2.188440),
    "elbow": (Pose(np.zeros(3), unit(1, 0, 0), np.array([1.0, 1, 0]), unit(0, 1, 0)), 1.8),
    "space 1": (
        Pose(
            np.zeros(3), unit(0.8865169763723171, -0.458836962064731, -0.05963466145534165),
            np.array([0.8856581364341795, 0.3654058264140048, -0.28651046645914047]),
            unit(0.49563842822573273, -0.7895765782416084, 0.3618167706978194),
        ),
        1.4094810558,
    ),
    "space 8": (
        Pose(
            np.zeros(3), unit(0.8200758849991413, -0.5722542469487613, 0.0007872051710831622),
            np.array([-0.11522621792048256, -0.3615344586993062, -0.9252111942020272]),
            unit(-0.5781084957703931, 0.7075046908233145, 0.40648207781044854),
        ),
        1.3339623640,
    ),
    "bowed S-bend": (Pose(np.zeros(3), unit(1, 0, 0), np.array([1.0, 0.3, 0]), unit(1, 0, 0)), 1.5),
}  # fmt: skip


def cubic_line(pose, length, points):
    """Cubic curve between the nipples whose end speed gives it the right length."""
    s = np.linspace(0, 1, 4001)[:, None]
    basis = (2 * s**3 - 3 * s**2 + 1, s**3 - 2 * s**2 + s, 3 * s**2 - 2 * s**3, s**3 - s**2)
    way = np.array([0.0, 0, 1.0])

    def curve(speed):
        line = basis[1] * speed * pose.start_direction + basis[2] * pose.end
        return line + basis[3] * speed * pose.end_direction + 0.05 * (s * (1 - s)) ** 2 * way

    low, high = 0.01, 20.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        steps = np.linalg.norm(np.diff(curve(middle), axis=0), axis=1)
        low, high = (middle, high) if steps.sum() < length else (low, middle)
    along = np.concatenate([[0], np.cumsum(steps)])
    even = np.linspace(0, along[-1], points)
    return np.stack([np.interp(even, along, curve(middle)[:, i]) for i in range(3)], axis=1)


def relax(pose, length):
    """Largest curvature times length, centreline and last speed of the relaxed rod."""
    ea = pytest.importorskip("elastica")

    class Simulator(ea.BaseSystemCollection, ea.Constraints, ea.Damping):
        pass

    step = length / ELEMENTS
    # The first and last element sit on the nipple tips, half an element beyond them each way.
    middles = cubic_line(pose, length, ELEMENTS + 1)
    nodes = 0.5 * (middles[1:] + middles[:-1])
    first, last = 0.5 * step * pose.start_direction, 0.5 * step * pose.end_direction
    nodes = np.vstack([
        middles[0] - first, middles[0] + first, nodes[1:-1],
        middles[-1] - last, middles[-1] + last,
    ])  # fmt: skip
    tangent = np.diff(nodes, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1)[:, None]
    normal = np.cross(tangent[0], np.eye(3)[np.abs(tangent[0]).argmin()])
    directors = np.zeros((3, 3, ELEMENTS + 1))
    for i, way in enumerate(tangent):
        normal = normal - (normal @ way) * way
        normal /= np.linalg.norm(normal)
        directors[:, :, i] = [normal, np.cross(way, normal), way]
    modulus = 4.0 / (np.pi * RADIUS**4)  # bending stiffness 1
    rod = ea.CosseratRod.straight_rod(
        ELEMENTS + 1, nodes[0], tangent[0], directors[0, :, 0], length + step, RADIUS, 1.0,
        youngs_modulus=modulus, shear_modulus=modulus / 3,
    )  # fmt: skip
    rod.position_collection[:] = nodes.T
    rod.director_collection[:] = directors
    rod.bend_matrix[2, 2] *= 1e-3
    rod.shear_matrix *= 4.0
    simulator = Simulator()
    simulator.append(rod)
    simulator.constrain(rod).using(
        ea.FixedConstraint, constrained_position_idx=(0, 1, -2, -1),
        constrained_director_idx=(0, -1),
    )  # fmt: skip
    time_step = 0.2 * step / np.sqrt(4.0 * modulus)
    simulator.dampen(rod).using(
        ea.AnalyticalLinearDamper, uniform_damping_constant=900.0 / length**2,
        time_step=np.float64(time_step),
    )  # fmt: skip
    simulator.finalize()
    until = 0.05 * length**2
    ea.integrate(ea.PositionVerlet(), simulator, until, int(until / time_step), progress_bar=False)
    bends = np.linalg.norm(rod.kappa[:2], axis=0)
    # Curvature stands between elements; at the nipple tips it is extrapolated by a parabola.
    tip = np.array([15, -10, 3]) / 8
    bend = max(bends.max(), tip @ bends[:3], tip @ bends[:-4:-1])
    centre = 0.5 * (rod.position_collection[:, 1:] + rod.position_collection[:, :-1])
    return bend, centre.T, np.abs(rod.velocity_collection).max()


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_relaxed_shape(name):
    pose, length = CASES[name]
    shape = solve(pose, length)
    curvature, line, speed = relax(pose, length)
    assert speed < 0.05  # at rest: waves run at hundreds
    ours = shape.centreline(len(line))
    twin = line * np.array([1, 1, -1])  # a plane pose may bow to either side
    miss = min(np.abs(line - ours).max(), np.abs(twin - ours).max())
    # 60 elements, hardly stretching: curvature within 0.5 %, centreline within 0.2 % of length.
    assert curvature * shape.tightest_radius == pytest.approx(1.0, abs=5e-3)
    assert miss < 2e-3 * length
