"""Small things of what comes in that decide: cells, headings, names, replies, bare figures."""

from __future__ import annotations

import zlib
from dataclasses import replace
from typing import Any

import pytest
from pydantic_core import PydanticCustomError

from hoseselect.domain.free_route import Clip, FreeRoute
from hoseselect.domain.job import Route
from hoseselect.domain.run_parts import Straight
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake import (
    free_form,
    interview_answers,
    job_code,
    job_headings,
    job_sheet,
    line_gates,
    line_questions,
    name_gate,
    names,
    route_gates,
)
from hoseselect.intake.counter_question import counter_question
from hoseselect.intake.door import DEEPEST, checked_text
from hoseselect.intake.interview_state import State
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.job_sheet import MERGED, _doubted
from hoseselect.intake.line_questions import without_fluids
from hoseselect.intake.plausibility import implausible, typed_in
from hoseselect.intake.print_words import bores_in
from hoseselect.intake.read_job import read_job
from hoseselect.intake.replies import figures_in
from hoseselect.intake.rocking import meet
from hoseselect.intake.sheet_cells import Column, clean_cell
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.intake.sheet_reader import LineFault, SheetReader, key_of
from hoseselect.intake.told_stops import LIFTED_BY_KNOWING, told_stops
from hoseselect.intake.unusual_sizes import read_back
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import table
from hoseselect.quantities.conversion import convert
from hoseselect.quantities.read import read_quantity


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


def sentences(service: str, key: str, value: object) -> list[str]:
    table_of, _, name = key.partition(".")
    found = implausible(service, typed_in({table_of: {name: value}}))
    return [one.found for one in found]


def test_a_coldest_start_without_its_minus_is_asked_about() -> None:
    row = table("service_duty").row(service="coolant-heater", field="coldest_start")
    ends = sorted((row.number("favourable"), row.number("adverse")))
    for value in ends:
        (found,) = sentences("coolant-heater", "duty.coldest_start", -value)
        assert found.endswith("read as that many degrees above freezing")
    assert not sentences("coolant-heater", "duty.coldest_start", ends[0])
    above = -ends[0] + 0.5
    assert not any("above freezing" in s for s in sentences("washer", "duty.coldest_start", above))


@pytest.mark.parametrize(
    ("service", "likely", "odd"),
    [
        ("fuel-feed-low-pressure", 20.0, (10.0, 300.0)),
        ("steering-return", 60.0, (40.0, 5000.0)),
        ("crankcase-breather", 3.0, (5.0, 20.0)),
    ],
)
def test_a_bare_pressure_within_what_is_usual_may_be_meant_so(
    service: str, likely: float, odd: tuple[float, ...]
) -> None:
    """It may be psi as well, which loads the hose more; below and above it is not usual at all."""
    row = table("service_duty").row(service=service, field="pressure_max")
    ends = sorted((row.number("favourable"), row.number("adverse")))
    assert ends[0] <= likely <= ends[1]
    (found,) = sentences(service, "duty.pressure_max", likely)
    assert found.endswith("which may be meant so or not")
    for value in odd:
        assert not ends[0] <= value <= ends[1]
        (found,) = sentences(service, "duty.pressure_max", value)
        assert found.endswith("which is not usual here")


@pytest.mark.parametrize("end", ["nipple_a", "nipple_b"])
@pytest.mark.parametrize("reply", ["13 mm hose", "13 mm bore of the hose"])
def test_the_bore_of_a_hose_is_no_size_of_a_nipple(end: str, reply: str) -> None:
    with pytest.raises(InputError) as error:
        interview_answers._read(State({}), counter_question(f"{end}.outside_diameter"), reply)
    assert "the bore of a hose" in error.value.found


def test_nipples_meet_where_the_movement_just_reaches() -> None:
    assert meet((5.0, 0.0, 0.0), (4.0, 0.0, 0.0), None, 1.0)
    assert not meet((5.0, 0.0, 0.0), (4.0, 0.0, 0.0), None, 0.9)


def test_a_point_that_may_part_thousands_is_told_in_both_readings() -> None:
    column = Column(sheet_keys()["route.measured"], "mm", ",")
    with pytest.raises(InputError) as error:
        column.typed("1.250")
    assert "may part thousands (1250) or decimals (1,250)" in error.value.found
    assert error.value.expected == "the figure without a point: 1250 or 1,25"


def test_a_code_of_a_later_version_names_it() -> None:
    body = bytes([job_code.VERSION + 8]) + b"any"
    head = zlib.crc32(body).to_bytes(4, "big")
    with pytest.raises(InputError) as error:
        job_code.decode_job(job_code._letters(head + body))
    assert error.value.found == f"a code of version {job_code.VERSION + 8}"


def test_a_code_may_be_just_so_long() -> None:
    with pytest.raises(InputError) as error:
        job_code.decode_job("A" * job_code.LONGEST_CODE)
    assert "letters" not in error.value.found
    with pytest.raises(InputError) as longer:
        job_code.decode_job("A" * (job_code.LONGEST_CODE + 1))
    assert longer.value.found == f"{job_code.LONGEST_CODE + 1} letters"


@pytest.mark.parametrize(("length", "taken"), [(0.0005, False), (0.5, True), (0.0, True)])
def test_a_straight_that_is_a_slip_of_the_finger(length: float, taken: bool) -> None:
    if taken:
        assert free_form._straight(length) == length
    else:
        with pytest.raises(PydanticCustomError):
            free_form._straight(length)


def test_a_bore_of_half_a_millimetre_is_read_from_a_print() -> None:
    assert bores_in("0.5x2 mm") == (0.5,)


def test_other_readings_of_an_unusual_size_are_offered_where_they_are_usual() -> None:
    row = next(iter(table("usual_nipples").where(line="washer")))
    least, most = row.number("least"), row.number("most")
    inches = (least + most) / 2 / 25.4
    found = read_back("washer", {"nipple_a.outside_diameter": f"{inches:.3f}"})
    assert found is not None
    _, (as_said, *others) = found
    assert as_said.sets == (("nipple_a.outside_diameter", f"{inches:.3g} mm"),)
    assert f"{inches:.3f} in" in [dict(one.sets)["nipple_a.outside_diameter"] for one in others]
    assert read_back("washer", {"nipple_a.outside_diameter": f"{least} mm"}) is None
    assert read_back("washer", {"nipple_a.outside_diameter": f"{most} mm"}) is None
    wide = read_back("washer", {"nipple_a.outside_diameter": f"{most + 1} mm"})
    assert wide is not None
    for choice in wide[1][1:]:
        size = read_quantity(dict(choice.sets)["nipple_a.outside_diameter"], "length", "",
                             around_allowed=True)  # fmt: skip
        assert least <= size <= most


def test_a_phrase_of_two_words_in_a_name_stops_it() -> None:
    two = [
        row for row in table("stop_names")
        if row["stop"] in name_gate.GRAVE and len(names.plain(row["other_name"]).split()) == 2
    ]  # fmt: skip
    assert two
    for row in two:
        assert name_gate.stop_in_name(f"van {row['other_name']} rear") == row["stop"]
        assert name_gate.speaks_of_a_line(f"van {row['other_name']} rear")


@pytest.mark.parametrize(
    ("leaves", "arrives", "height", "may"),
    [(0, 0, 0, True), (1, 1, 50, True), (1, -1, 50, False), (-1, 1, 50, False), (-1, -1, -50, True),
     (0, 0.02, 50, True), (0.02, 0, 50, True), (0, -0.02, 50, True), (0, -0.2, 50, False)],
)  # fmt: skip
def test_a_line_may_fall_one_way_or_the_other(
    leaves: float, arrives: float, height: float, may: bool
) -> None:
    """Within the error of angles, here 5 deg or 0.087, and of the tape."""
    free = FreeRoute(
        (200.0, 0.0, float(height)), (1.0, 0.0, float(leaves)), (-1.0, 0.0, -float(arrives)),
        angle_error=5.0,
    )  # fmt: skip
    assert route_gates._may_fall(free) is may


@pytest.mark.parametrize(
    ("reply", "told"),
    [
        ("fuel", "petrol-e10 or diesel-b7. Petrol or diesel?"),
        ("diesel, fuel", "Petrol or diesel?"),
        ("oil and fuel", "Engine oil with petrol or with diesel?"),
        ("rapeseed oil", "No hose is rated for plant oil here."),
        ("steam", "No hose here is rated for steam."),
        ("xyzzy", "a fluid"),
    ],
)
def test_a_fluid_that_may_be_several_is_never_chosen_for_the_clerk(reply: str, told: str) -> None:
    """No number in the sentence: those of the question itself mean other fluids."""
    state = State({"service": "fuel-feed-low-pressure"})
    with pytest.raises(InputError) as error:
        interview_answers.answered(state, counter_question("fluids"), reply)
    (fault,) = error.value.faults
    assert told in fault.expected
    assert "1 petrol" not in fault.expected
    known = interview_answers.answered(state, counter_question("fluids"), "diesel")
    assert known.said["fluids"]


def test_a_fraction_in_words_is_not_dropped() -> None:
    with pytest.raises(InputError) as error:
        figures_in("5/8 and a sixteenth")
    assert error.value.expected == "all of it in figures"
    assert figures_in("16 and it is plain").texts == ("16",)


@pytest.mark.parametrize(
    ("reply", "beads"),
    [("yes, 18 mm", ("18 mm", "18 mm")), ("both, 18 mm and 21 mm", ("18 mm", "21 mm"))],
)
def test_beads_that_are_there_are_told_with_their_size(reply: str, beads: tuple[str, str]) -> None:
    found = interview_answers._read(State({}), counter_question("nipple_a.bead"), reply).values
    assert (found["nipple_a.bead"], found["nipple_b.bead"]) == ("yes", "yes")
    assert (found["nipple_a.bead_diameter"], found["nipple_b.bead_diameter"]) == beads


@pytest.mark.parametrize(
    ("reply", "bead"),
    [("1", "yes"), ("1)", "yes"), ("no. 1", "yes"), ("#1", "yes"), ("2", "no"), ("yes", "yes")],
)
def test_a_choice_of_beads_has_no_size(reply: str, bead: str) -> None:
    found = interview_answers._read(State({}), counter_question("nipple_a.bead"), reply).values
    assert (found["nipple_a.bead"], "nipple_a.bead_diameter" in found) == (bead, False)


def test_no_short_name_stands_for_what_is_but_a_hint() -> None:
    short = job_headings._names.__wrapped__()
    assert not [name for name, key in short.items() if key.startswith("old_hose") and name != key]
    assert "old_hose.bore" in short


def test_another_reading_at_the_very_end_of_what_is_usual_is_offered() -> None:
    row = next(iter(table("usual_nipples").where(line="washer")))
    for end in (row.number("least"), row.number("most")):
        found = read_back("washer", {"nipple_a.outside_diameter": f"{end / 10:g}"})
        assert found is not None
        typed = [dict(one.sets)["nipple_a.outside_diameter"] for one in found[1]]
        assert f"{end / 10:g} cm" in typed


def test_less_than_nothing_does_not_flow() -> None:
    with pytest.raises(ManyFaultsError):
        read_job({"service": "washer", "duty": {"flow": "-0.5 L/min"}})
    assert read_job({"service": "washer", "duty": {"flow": "0 L/min"}}).duty.flow == 0.0


@pytest.mark.parametrize(
    ("said", "clips", "asked"),
    [("no", (), True), ("yes", (), False), ("unknown", (), False),
     ("no", (Clip((100.0, 0.0, 10.0), (1.0, 0.0, 0.0)),), False)],
)  # fmt: skip
def test_a_low_spot_is_asked_about_where_it_is_denied_and_nothing_holds_the_hose_up(
    bench: Any, said: str, clips: tuple[Clip, ...], asked: bool
) -> None:
    down = (0.0, 0.0, -1.0)
    free = FreeRoute((200.0, 0.0, 0.0), down, down, clips=clips)
    job = replace(bench.job(), route=Route(kind="free", free=free, low_spot=said))
    assert bool(list(route_gates.low_spot_that_must_be(job))) is asked


@pytest.mark.parametrize(
    ("peak", "pressure", "asked"),
    [(100.0, 0.0, False), (100.5, 0.0, False), (130.0, 0.0, True), (130.0, -20.0, True)],
)
def test_coolant_boils_in_the_open_at_no_less_than_a_hundred_degrees(
    bench: Any, peak: float, pressure: float, asked: bool
) -> None:
    job = bench.job({"service": "coolant-heater"})
    job = replace(job, duty=replace(job.duty, fluid_peak=peak, pressure_max=pressure))
    assert bool(list(line_gates.coolant_above_boiling(job))) is asked


def test_what_was_seen_in_the_old_hose_leaves_out_lines_that_leave_something_else() -> None:
    rows = list(table("line_residues"))
    line, residue = rows[0]["line"], rows[0]["residue"]
    other = next(row["residue"] for row in rows if row["residue"] not in
                 {one["residue"] for one in rows if one["line"] == line})  # fmt: skip

    def leaves(which: str, seen: str) -> bool:
        return line_questions._leaves(which, State({}, finding={"line.residue": seen}))

    assert leaves(line, residue)
    assert not leaves(line, other)
    assert leaves(line, "unknown")
    assert leaves("a line of which nothing is known", other)


def test_lines_are_told_with_what_they_are_where_they_are_few() -> None:
    row = next(iter(table("services")))
    told = line_questions._shown(row["service"], told=True)
    assert told.startswith(f"{row['name']}: {row['description']}")
    assert line_questions._shown(row["service"], told=False) == row["name"]
    stop = next(iter(table("stops")))["stop"]
    assert line_questions._shown(stop, told=True) == names.line_name(stop)


def test_a_group_stands_over_the_columns_to_its_right() -> None:
    assert job_sheet._filled(["", "nipples", "", "route", " "]) == [
        "", "nipples", "nipples", "route", "route",
    ]  # fmt: skip


def test_headings_of_two_lines_are_the_lower_one() -> None:
    lines = [SheetLine(1, ["list of hoses"]), SheetLine(2, ["service", ""]),
             SheetLine(3, ["service", "nipple"]), SheetLine(4, ["washer", "6 mm"])]  # fmt: skip
    assert job_sheet._heading_place(lines, "f", {}) == 2
    assert job_sheet._heading_place([lines[0], lines[1], lines[3]], "f", {}) == 1
    assert job_sheet._heading_place(lines[:2], "f", {}) == 1
    with pytest.raises(InputError):
        job_sheet._heading_place(lines[:1], "f", {})


def test_a_cell_below_no_heading_is_told_once_and_no_table_twice() -> None:
    reader = SheetReader(column_uses(["service", "nipple", ""], [""] * 3, 1))
    told = reader.read(SheetLine(2, ["washer", "wide", "stray"]))
    assert isinstance(told, tuple)
    assert [fault.cells for fault in told] == [("B2",), ("C2",)]
    assert "below no heading" in told[1].found
    both = SheetReader(column_uses(["service", "nipple", "bead"], [""] * 3, 1))
    faults = both.read(SheetLine(2, ["washer", "wide", "perhaps"]))
    assert isinstance(faults, tuple)
    assert [fault.cells for fault in faults] == [("B2",), ("C2",)]


def test_lines_that_say_more_than_their_cells_are_read_by_themselves() -> None:
    reader = SheetReader(column_uses(["service", "nipple"], ["", ""], 1))
    assert reader.deciding(SheetLine(2, ["washer", "6 mm"])) is not None
    assert reader.deciding(SheetLine(2, ["washer"])) == reader.deciding(
        SheetLine(3, ["washer", ""])
    )
    assert reader.deciding(SheetLine(2, ["washer", "6 mm", "more"])) is None
    assert reader.deciding(SheetLine(2, ["washer", "6 mm"], faults={0: ("a", "b")})) is None


@pytest.mark.parametrize(
    ("field", "reply", "idle"),
    [
        ("route", "dunno", {"route.tightest_radius"}),
        ("route", "300 mm", set()),
        ("nipple_a.bead", "dunno", set()),
    ],
)
def test_a_route_that_nobody_knows_asks_for_no_bend(field: str, reply: str, idle: set[str]) -> None:
    state = State({"service": "washer"})
    after = interview_answers.answered(state, counter_question(field), reply)
    assert after.asked - {field} >= idle
    assert ("route.tightest_radius" in after.asked) is bool(idle)


def test_a_word_that_is_almost_known_is_read_as_that_word() -> None:
    assert {"washer"} <= set(names._single_words())
    assert all(" " not in word for word in names._single_words())
