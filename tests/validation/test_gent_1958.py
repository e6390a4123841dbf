"""Young's modulus from Shore A hardness against Gent's relation.

A. N. Gent, Rubber Chemistry and Technology 31 (1958) 896 (formula from memory; figures worked
out apart from this code).
"""

from __future__ import annotations

import pytest

from hoseselect.mechanics.modulus import gent_modulus


@pytest.mark.parametrize(
    ("hardness", "modulus"), [(40, 1.690), (50, 2.456), (60, 3.605), (70, 5.521), (80, 9.351)]
)
def test_worked_figures(hardness: float, modulus: float) -> None:
    """Given to 0.001 MPa."""
    assert float(gent_modulus(hardness)) == pytest.approx(modulus, abs=0.00051)


@pytest.mark.parametrize("hardness", [30.0, 50.0, 70.0, 90.0])
def test_between_the_contacts_of_tip_and_shank(hardness: float) -> None:
    """The point of a Shore A durometer is a cone cut off at 0.79 mm, on a shank of 1.25 mm.

    A flat punch of radius a needs the force 2 a E d / (1 - nu^2); the cone touches on more than
    its tip and less than its shank. The durometer pushes with 0.550 N + 0.075 N a degree, to a
    depth of 2.5 mm less 0.025 mm a degree (ASTM D2240, from memory). So Gent's modulus must lie
    between the two punches, whatever mean diameter stands behind its constants.
    """
    force = 0.550 + 0.075 * hardness
    depth = 2.5 - 0.025 * hardness
    by_tip, by_shank = (force * (1 - 0.5**2) / (width * depth) for width in (0.79, 1.25))
    assert by_shank < float(gent_modulus(hardness)) < by_tip
