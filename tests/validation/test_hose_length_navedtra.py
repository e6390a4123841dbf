"""Slack of a flexible hose against NAVEDTRA 14105, p. 5-11: 5 to 8 % of the total length.

Of the total, so the total is the path over (1 - share), not the path times (1 + share).
"""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.knowledge.load import limit
from hoseselect.mechanics.bends import with_slack


def test_slack_is_a_share_of_the_total() -> None:
    path, shares = 250.0, np.array([limit("slack-min-share"), limit("slack-max-share")])
    total = with_slack(path, shares)
    np.testing.assert_array_equal(shares, [0.05, 0.08])
    np.testing.assert_allclose((total - path) / total, shares, rtol=1e-14)


@pytest.mark.parametrize(("share", "total"), [(0.05, 263.2), (0.08, 271.7)])
def test_worked_lengths(share: float, total: float) -> None:
    """250 mm of path, worked by hand to 0.1 mm."""
    assert float(with_slack(250.0, share)) == pytest.approx(total, abs=0.051)


def test_five_per_cent_covers_the_worst_shortening() -> None:
    """AC 43.13-1B fig. 9-9: a hose under pressure shortens by up to 4 %: 1.042 x path is needed."""
    needed = float(with_slack(1.0, limit("length-change-shortening") / 100))
    assert needed == pytest.approx(1.042, abs=0.0005)
    assert float(with_slack(1.0, limit("slack-min-share"))) > needed
