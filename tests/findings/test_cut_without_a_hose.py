"""What no hose may be cut for gets no length from a least bend radius either."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.application.cut import cut_for_radius
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.cut import planned
from hoseselect.knowledge.errors import HoseselectError, InputError

PLAIN: dict[str, Any] = {
    "service": "PCV hose",
    "nipples": {"outside_diameter": "13 mm", "bead": "yes"},
    "route": {"measured": "300 mm", "tightest_radius": "100 mm"},
}
UNEQUAL = {"nipple_a": {"outside_diameter": "16 mm"}, "nipple_b": {"outside_diameter": "25 mm"}}
DRAIN = {"service": "turbo oil drain", "route": {"measured": "300 mm", "fall": "no"}}


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        ({"nipples": {}, **UNEQUAL}, "fit-stretch", "16 mm and 25 mm"),
        (DRAIN, "route-fall", "does not fall"),
        ({"features": {"insert": "something"}}, "route-insert", "old hose"),
        ({"features": {"end_fitting": "threaded"}}, "fit-ends", "threaded"),
        ({"service": "oil cooler hose", "nipples": {"outside_diameter": "13 mm", "bead": "no"}},
         "fit-bead", "bead"),
        ({"nipples": {"outside_diameter": "13 mm", "bead_diameter": "30 mm"}},
         "fit-bead-stretch", "over the bead"),
        ({"nipples": {"outside_diameter": "13 mm", "usable_length": "4 mm"}},
         "fit-engagement", "4 mm"),
    ],
)  # fmt: skip
def test_no_length_and_the_reason(changes: dict[str, Any], code: str, words: str) -> None:
    values = {key: value for key, value in {**PLAIN, **changes}.items() if value}
    result = cut_for_radius(50.0, read_job(values), "mm")
    assert result.plan is None
    assert any(said.startswith(f"{code}:") and words in said for said in result.reasons)


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"nipple_a": {"outside_diameter": "13 mm"}, "nipple_b": {"outside_diameter": "13.5 mm"}},
        {"features": {"insert": "unknown"}},
        {"features": {"insert": "check-valve"}},
    ],
)
def test_a_length_where_some_hose_may_be_cut(changes: dict[str, Any]) -> None:
    values = {**PLAIN, **changes}
    if "nipple_a" in values:
        del values["nipples"]
    assert cut_for_radius(50.0, read_job(values), "mm").plan is not None


@pytest.mark.parametrize(("larger", "length"), [(20.4, True), (20.45, False)])
def test_how_far_apart_two_nipples_may_be(larger: float, length: bool) -> None:
    """A bore 2 % wider than 16 mm, 16.33 mm, is stretched by 25 % to 20.41 mm: plain rubber."""
    ends = {"nipple_a": {"outside_diameter": 16}, "nipple_b": {"outside_diameter": larger}}
    values = {**{key: own for key, own in PLAIN.items() if key != "nipples"}, **ends}
    assert (cut_for_radius(50.0, read_job(values), "mm").plan is not None) is length


def test_no_radius_and_no_length_of_nothing() -> None:
    with pytest.raises(InputError, match="--radius"):
        planned(read_job(PLAIN), None, "0", None, None, "mm")
    with pytest.raises(HoseselectError, match="route: found a measured length"):
        read_job({**PLAIN, "route": {"measured": "0 mm"}})
