"""Small things of what comes in that decide: cells, headings, names, replies, bare figures."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from hoseselect.domain.free_route import FreeRoute
from hoseselect.domain.job import Route
from hoseselect.domain.run_parts import Straight
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake import interview_answers, job_headings, names, route_gates
from hoseselect.intake.counter_question import counter_question
from hoseselect.intake.door import DEEPEST, checked_text
from hoseselect.intake.interview_state import State
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.job_sheet import MERGED, _doubted
from hoseselect.intake.line_questions import without_fluids
from hoseselect.intake.plausibility import implausible, typed_in
from hoseselect.intake.sheet_cells import clean_cell
from hoseselect.intake.sheet_reader import LineFault, SheetReader, key_of
from hoseselect.intake.told_stops import LIFTED_BY_KNOWING, told_stops
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.conversion import convert


def test_the_mark_that_keeps_a_cell_from_being_run_goes_and_no_more() -> None:
    assert clean_cell("'=20 mm") == "=20 mm"
    assert clean_cell("'-20") == "-20"
    assert clean_cell("'20") == "'20"


def test_a_fluid_beside_the_name_of_a_line_is_a_fluid() -> None:
    assert without_fluids("fuel return E10") == ("fuel return", ("petrol-e10",))
    assert without_fluids("E10") == ("E10", ())
    assert without_fluids("washer hose") == ("washer hose", ())


def asked_of(service: str, key: str, value: float) -> list[str]:
    table_of, _, name = key.partition(".")
    found = implausible(service, typed_in({table_of: {name: value}}))
    return [one.expected for one in found]


def test_a_bare_pressure_at_the_end_of_what_is_usual_may_be_meant_in_that_unit() -> None:
    """Coolant: as many bar as make the highest usual pressure, no kPa of such a line."""
    row = table("service_duty").row(service="coolant-heater", field="pressure_max")
    most = max(row.number("favourable"), row.number("adverse"))
    bar = most / convert(1.0, "bar", "kilopascal")
    assert convert(bar, "bar", "kilopascal") == most
    (expected,) = asked_of("coolant-heater", "duty.pressure_max", bar)
    assert f"'{bar} bar'" in expected


def test_a_bare_length_of_nothing_is_not_asked_about_and_one_is() -> None:
    row = table("plausible_lengths").row(key="outside_diameter")
    assert row.number("least") > 1
    assert not asked_of("washer", "nipples.outside_diameter", 0)
    assert asked_of("washer", "nipples.outside_diameter", 1)


def merged_line(cells: list[str], merged: tuple[int, ...], faults: Any) -> SheetLine:
    return SheetLine(2, cells, merged=frozenset(merged), faults=faults)


def test_a_line_keeps_the_faults_it_had_beside_those_of_merged_cells() -> None:
    uses = column_uses(["service", "nipple"], ["", ""], 1)
    line = merged_line(["washer", "6 mm"], (1,), {0: ("odd", "even")})
    (told,) = _doubted(iter([line]), uses)
    assert told.faults == {0: ("odd", "even"), 1: MERGED}
    (empty,) = _doubted(iter([merged_line(["washer", " "], (1,), {})]), uses)
    assert empty.faults == {}


def test_faults_of_a_line_are_told_from_left_to_right() -> None:
    cells = {"nipple": "wide", "service": "washer", "duty.fluid_peak": "hot", "name": "x"}
    for order in (list(cells), list(cells)[::-1]):
        reader = SheetReader(column_uses(order, [""] * len(order), 1))
        told = reader.read(SheetLine(2, [cells[key] for key in order]))
        assert isinstance(told, tuple)
        assert [fault.cells for fault in told] == sorted(fault.cells for fault in told)
        assert all(isinstance(fault, LineFault) for fault in told)
        assert len(told) == 2


def test_the_key_of_a_fault_is_its_one_key_or_its_place() -> None:
    assert key_of(InputError("place", "f", "e", keys=("one",))) == "one"
    assert key_of(InputError("place", "f", "e", keys=("one", "two"))) == "place"
    assert key_of(InputError("place", "f", "e")) == "place"


def test_names_of_keys_stand_for_them_where_they_are_the_only_ones() -> None:
    short = job_headings._names.__wrapped__()
    assert short["fluid_steady"] == "duty.fluid_steady"
    keys: dict[str, list[str]] = {}
    for key in job_headings.sheet_keys().values():
        keys.setdefault(key.parts[-1], []).append(key.place)
    several = [
        name for name, places in keys.items()
        if len({p for p in places if not p.startswith(("nipple_a", "nipple_b", "route.free."))}) > 1
    ]  # fmt: skip
    assert several
    assert not [name for name in several if name in short and name not in job_headings.SHORT]


@pytest.mark.parametrize("heading", ["note", "Remarks", "note 2", "notes.shop", "remark_b"])
def test_a_column_of_notes_is_carried(heading: str) -> None:
    (_, note) = column_uses(["service", heading], ["", ""], 1)
    assert (note.key, note.carried) == ("", True)


def test_another_heading_is_asked_about() -> None:
    with pytest.raises(InputError):
        column_uses(["service", "shelf 2"], ["", ""], 1)


def nested(depth: int) -> Any:
    return "x" if depth == 0 else {"in": nested(depth - 1)}


def test_how_deep_tables_may_lie_in_one_another() -> None:
    assert checked_text(nested(DEEPEST), "") == nested(DEEPEST)
    with pytest.raises(InputError):
        checked_text(nested(11), "")


def test_a_line_that_is_a_stop_whatever_else_is_told() -> None:
    assert told_stops({"service": "brake hose"}) == {"service": "brake hose"}
    assert told_stops({"service": "washer"}) == {}
    for line in LIFTED_BY_KNOWING:
        assert told_stops({"service": line}) == {}


def test_a_run_without_a_bend_beside_a_bend_that_is_told(bench: Any) -> None:
    straight = Route(kind="run", run=(Straight(100.0),), tightest_radius=40.0)
    (question,) = route_gates.bend_beside_run(replace(bench.job(), route=straight))
    assert question.found == "a tightest radius of 40 mm beside a run without a bend"


@pytest.mark.parametrize(("moved", "asked"), [(5.0, True), (0.0, False), (float("nan"), False)])
def test_a_movement_beside_a_free_route_wants_directions(
    bench: Any, moved: float, asked: bool
) -> None:
    free = FreeRoute((200.0, 0.0, 0.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0))
    job = replace(bench.job(), route=Route(kind="free", free=free, movement=moved))
    assert bool(list(route_gates.movement_beside_free_route(job))) is asked
    flat = replace(job, route=replace(bench.job().route, movement=moved))
    assert not list(route_gates.movement_beside_free_route(flat))


def test_at_most_six_fluids_are_offered_for_a_name_that_is_almost_one() -> None:
    offered = {
        text: names._near_fluids(text) for text in (*names._fluids(), "oil", "engine", "coolants")
    }
    assert max(map(len, offered.values())) <= 6
    spelled = names.near_spellings("oil", names._fluids(), most=100, least=0.0)
    assert len(names.near_spellings("oil", names._fluids(), most=names.OFFERED, least=0.0)) == 6
    assert len(spelled) > 6


def test_a_hose_round_something_bends_round_it_and_half_the_nipple() -> None:
    state = State({"nipple_a.outside_diameter": "16 mm", "nipple_b.outside_diameter": "19 mm"})
    assert interview_answers._bend("20 mm", state) == "28 mm"
    assert interview_answers._bend("20 mm", State({})) == "20 mm"
    assert interview_answers._bend("0", state) == "0"


@pytest.mark.parametrize(
    ("field", "reply", "expected"),
    [
        ("route.tightest_radius", "60 mm and 40 mm", "one figure, the tightest"),
        ("route.movement", "5 mm and 8 mm", "one figure, the furthest"),
        ("route", "300 and 350 mm", "one figure, the length of the hose along its bends"),
        ("nipple_b.outside_diameter", "16 and 19", "one figure, of this nipple"),
        ("nipple_a.outside_diameter", "16 and 17 and 19", "one figure, or one for each nipple"),
        ("nipple_a.bead", "18 and 19 and 20", "one over each bead"),
    ],
)
def test_no_figure_of_a_reply_is_dropped_unseen(field: str, reply: str, expected: str) -> None:
    """The first of several was taken: of two bends the wider one may be that."""
    with pytest.raises(InputError) as error:
        interview_answers._read(State({}), counter_question(field), reply)
    assert error.value.expected == expected
    assert reply in error.value.found


@pytest.mark.parametrize(
    ("reply", "beads"), [("18 mm", ("18 mm", "18 mm")), ("18 mm and 21 mm", ("18 mm", "21 mm"))]
)
def test_beads_are_told_one_for_both_or_one_for_each(reply: str, beads: tuple[str, str]) -> None:
    found = interview_answers._read(State({}), counter_question("nipple_a.bead"), reply).values
    assert (found["nipple_a.bead_diameter"], found["nipple_b.bead_diameter"]) == beads
