"""Cut-length tolerance: ISO 1307 (Table 2, from memory) beside the handbook table (read).

Handbook IP-2 of the US rubber trade association, 7th edition 2003, Table 4-8, p. 36, has the
same six classes in inches; its figures were read and stand here as printed.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.tolerances import cut_length_tables, cut_length_tolerance

MM = 25.4  # of one inch
ISO, HANDBOOK = "iso-1307", "ip-2"

ISO_CLASSES = [(300, 3.0), (600, 4.5), (900, 6.0), (1200, 9.0), (1800, 12.0)]
HANDBOOK_CLASSES = [(12, 0.125), (24, 0.188), (36, 0.250), (48, 0.375), (72, 0.500)]


def test_both_tables_are_there() -> None:
    assert {ISO, HANDBOOK} <= set(cut_length_tables())


@pytest.mark.parametrize(("up_to", "tolerance"), ISO_CLASSES)
def test_iso_classes_hold_their_upper_end(up_to: float, tolerance: float) -> None:
    assert float(cut_length_tolerance(up_to, ISO)) == tolerance
    assert float(cut_length_tolerance(up_to + 1, ISO)) > tolerance


@pytest.mark.parametrize(("up_to_in", "tolerance_in"), HANDBOOK_CLASSES)
def test_handbook_classes(up_to_in: float, tolerance_in: float) -> None:
    """Inside each class; the table in millimetres is rounded to 0.1 mm and 5 mm of length."""
    inside = (up_to_in - 0.5) * MM
    assert float(cut_length_tolerance(inside, HANDBOOK)) == pytest.approx(
        tolerance_in * MM, abs=0.051
    )


@pytest.mark.parametrize("name", [ISO, HANDBOOK])
def test_long_hose_has_one_per_cent(name: str) -> None:
    np.testing.assert_allclose(cut_length_tolerance([1900.0, 4000.0], name), [19.0, 40.0])


@pytest.mark.parametrize(("iso", "handbook"), list(zip(ISO_CLASSES, HANDBOOK_CLASSES, strict=True)))
def test_the_remembered_column_is_near_the_one_read(
    iso: tuple[float, float], handbook: tuple[float, float]
) -> None:
    """The read table backs the remembered one: class ends within 2 %, tolerances within 7 %.

    Both are rounded to the unit they are printed in, millimetres against sixteenths of an inch.
    """
    assert iso[0] == pytest.approx(handbook[0] * MM, rel=0.02)
    middle = iso[0] - 50.0
    ours = [float(cut_length_tolerance(middle, name)) for name in (ISO, HANDBOOK)]
    assert ours[0] == pytest.approx(ours[1], rel=0.07)
    assert ours[1] == pytest.approx(handbook[1] * MM, abs=0.051)


def test_twelve_inches_tell_the_tables_apart() -> None:
    """304.8 mm lies in the first class of the handbook and in the second of ISO 1307."""
    assert float(cut_length_tolerance(304.8, HANDBOOK)) == pytest.approx(3.18, abs=0.021)
    assert float(cut_length_tolerance(304.8, ISO)) == 4.5


def test_no_length_no_tolerance() -> None:
    assert np.isnan(cut_length_tolerance([math.nan, 0.0, -5.0], ISO)).all()


def test_unknown_table_is_refused() -> None:
    with pytest.raises(KnowledgeError, match="nothing-like-it"):
        cut_length_tolerance(300.0, "nothing-like-it")
