"""Nipples that differ: two pieces and a reducer, each judged and cut as a line of its own."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect import Answer, Verdict, pick, read_catalogue, read_job

NIPPLE = {"bead": "yes", "measured_on": "plain", "usable_length": "40 mm", "fixed_to": "engine"}


def heater(a: float, b: float, route: dict[str, Any], **more: Any) -> Answer:
    """Return the answer for a heater line with these nipples [mm]."""
    nipples = {
        f"nipple_{end}": {"outside_diameter": f"{size} mm", **NIPPLE}
        for end, size in (("a", a), ("b", b))
    }
    values = {"service": "heater hose", "drips": [], **nipples, "route": route, **more}
    return pick(read_job(values), read_catalogue())


RUN = {"run": ["200 mm", {"bend": "60 deg", "radius": "120 mm"}, "60 mm"], "low_spot": "no"}
REDUCER = 72.0
"""Length of the reducer from 16 to 13 mm in the built-in catalogue [mm]."""


def test_each_piece_has_its_own_hose_cut_and_clamps() -> None:
    """Heater core of 16 mm, engine of 13 mm: no hose fits both; four clamps hold two pieces."""
    answer = heater(16, 13, RUN)
    assert not answer.suits
    assert answer.two_pieces is not None
    assert answer.two_pieces.reducer == "reducer-16-13"
    first, second = (own.suits[0] for own in answer.two_pieces.answers)
    assert (first.bore, second.bore) == pytest.approx((16, 13), abs=0.6)
    cuts = [first.cut, second.cut]
    assert all(len(cut.clamps_a) and len(cut.clamps_b) for cut in cuts if cut)
    assert "straight that is clipped" in answer.way_out[0]
    assert "four ends" in answer.way_out[0]
    assert "only on its own conditions" in answer.way_out[0]
    assert not any(f"{cut.cut:g} mm" in answer.way_out[0] for cut in cuts if cut)


def test_the_two_paths_and_the_reducer_are_the_whole_path() -> None:
    """No millimetre is lost or counted twice: 200 + 125.7 + 60 mm."""
    answer = heater(16, 13, RUN)
    assert answer.two_pieces is not None
    tips = [own.suits[0].cut.tip for own in answer.two_pieces.answers]  # type: ignore[union-attr]
    assert sum(tips) + REDUCER == pytest.approx(200 + 60 + 120 * 3.14159265 / 3, abs=1e-3)


def test_the_order_of_the_ends_is_kept() -> None:
    """Nipple A of 13 mm: the narrow piece comes first."""
    answer = heater(13, 16, RUN)
    assert answer.two_pieces is not None
    bores = [own.suits[0].bore for own in answer.two_pieces.answers]
    assert bores == pytest.approx([13, 16], abs=0.6)


def test_a_reducer_wants_a_straight_that_holds_it() -> None:
    """Straights of 30 and 40 mm hold no reducer of 72 mm."""
    short = ["30 mm", {"bend": "60 deg", "radius": "120 mm"}, "40 mm"]
    assert heater(16, 13, {"run": short}).two_pieces is None


def test_a_bend_too_tight_for_one_piece_is_no_way_out() -> None:
    """The bend lies in the second piece: no hose of 13 mm bore bends round 20 mm."""
    tight = ["200 mm", {"bend": "90 deg", "radius": "20 mm"}, "60 mm"]
    assert heater(16, 13, {"run": tight}).two_pieces is None


def test_no_reducer_that_is_not_made_for_the_line() -> None:
    """The shop's reducers of plastic and aluminium are not for fuel."""
    nipples = {
        "nipple_a": {"outside_diameter": "8 mm", **NIPPLE},
        "nipple_b": {"outside_diameter": "6 mm", **NIPPLE},
    }
    job = read_job({"service": "fuel return", "fluids": ["petrol-e10"], **nipples, "route": RUN})
    answer = pick(job, read_catalogue())
    assert answer.two_pieces is None
    assert not any("reducer-" in text for text in answer.way_out)


def test_a_measured_path_is_parted_in_the_middle() -> None:
    """400 mm by string: 164 mm on each side of the reducer; too short a path holds none."""
    route = {"measured": "400 mm", "tightest_radius": "200 mm"}
    answer = heater(16, 13, route)
    assert answer.two_pieces is not None
    tips = [own.suits[0].cut.tip for own in answer.two_pieces.answers]  # type: ignore[union-attr]
    assert tips == [164, 164]
    assert heater(16, 13, {**route, "measured": "100 mm"}).two_pieces is None


def test_without_a_route_both_pieces_are_told_and_no_length() -> None:
    answer = heater(16, 13, {})
    assert answer.two_pieces is not None
    assert all(own.suits[0].cut is None for own in answer.two_pieces.answers)
    assert "cut" not in answer.two_pieces.words.replace("clipped", "")


def test_equal_nipples_are_never_parted() -> None:
    assert heater(16, 16, RUN).two_pieces is None


def test_pieces_are_never_better_than_their_worst_unknown() -> None:
    """The reducer's own nipples were not looked at: beads and lengths stay to be seen to."""
    answer = heater(16, 13, RUN)
    assert answer.two_pieces is not None
    for own in answer.two_pieces.answers:
        assert own.suits[0].verdict is Verdict.CONDITIONAL
        assert any(look.place == "ends" for look in own.suits[0].looks)


@pytest.mark.parametrize(
    ("features", "stop"),
    [({"end_fitting": "flanged"}, "flanged-pipe"), ({"insert": "moulded-in"}, "moulded-in-part")],
)
def test_what_is_one_with_the_tube_is_no_bulk_hose(features: dict[str, str], stop: str) -> None:
    """A pipe with a flange and a valve moulded into the tube have their own answer, no cut."""
    answer = heater(16, 16, RUN, features=features)
    assert [own.code for own in answer.stops] == [stop]
    assert answer.two_pieces is None
    assert not answer.hoses


def test_a_piece_without_its_print_is_not_trusted() -> None:
    """From the roll it is a condition; a piece cut already is refused."""
    lost = {"features": {"print_lost": "yes"}}
    from_roll = heater(16, 16, RUN, **lost)
    assert from_roll.suits
    assert all(hose.verdict is Verdict.CONDITIONAL for hose in from_roll.suits)
    piece = heater(16, 16, RUN, piece="480 mm", **lost)
    assert not piece.suits
    assert any(finding.code == "marking-print" for finding in piece.hoses[0].worst())
