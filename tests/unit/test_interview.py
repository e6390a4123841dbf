"""The interview at the counter: few questions, in the deciding order, "don't know" allowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from hoseselect.application.ask import MOST_QUESTIONS, Interviewed, interview
from hoseselect.application.pick import pick_hose
from hoseselect.intake.counter_question import Asked
from hoseselect.intake.interview_state import flat, nested
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table


class Counter:
    """Replies from a table, one or several to a question, and remembers what was asked.

    Parameters
    ----------
    replies : by the input; the last one is given again where it is asked for again
    """

    def __init__(self, replies: Mapping[str, str | list[str]]) -> None:
        self.replies = {k: [v] if isinstance(v, str) else list(v) for k, v in replies.items()}
        self.asked: list[Asked] = []
        self.notes: list[str] = []

    def __call__(self, question: Asked, note: str) -> str:
        self.asked.append(question)
        if note:
            self.notes.append(note)
        assert len(self.asked) < 40, "asked without end"
        left = self.replies.get(question.field, [""])
        return left.pop(0) if len(left) > 1 else left[0]

    @property
    def fields(self) -> list[str]:
        return [question.field for question in self.asked]


def test_the_service_is_asked_first(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "washer hose"})
    found = interview(counter, catalogue)
    assert counter.fields[0] == "service"
    assert found.values["service"] == found.job.service == "washer"


@pytest.mark.parametrize("second", ["2", "coolant by-pass", "coolant-bypass", "2."])
def test_an_ambiguous_name_is_settled_by_one_question(bench: Any, second: str) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "thermostat hose", "line.which": second})
    assert interview(counter, catalogue).job.service == "coolant-bypass"
    assert counter.fields[:2] == ["service", "line.which"]
    labels = [choice.label for choice in counter.asked[1].choices]
    assert labels[0].startswith("heater feed or return: engine to heater core")
    assert labels[-1] == "none of these, or not known"


def test_a_number_that_is_not_offered_is_asked_for_again(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "thermostat hose", "line.which": ["7", "1"]})
    assert interview(counter, catalogue).job.service == "coolant-heater"
    assert counter.notes == ["Not understood: '7'. Say a number from 1 to 4, or dunno."]


def test_what_is_told_before_is_held_against_the_gates(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    told = {"duty": {"pressure_max": "60"}, "service": "heater hose"}
    with pytest.raises(InputError, match="without a unit"):
        interview(Counter({}), catalogue, told, "in")
    interview(Counter({}), catalogue, told)


def test_a_stop_ends_the_interview(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "brake hose"})
    assert interview(counter, catalogue).job.service == "brake-hydraulics"
    assert counter.fields == ["service"]


def test_the_pressure_that_lifts_a_stop_is_asked_for(bench: Any, shelf: Any) -> None:
    counter = Counter({"service": "injection hose", "duty.pressure_max": "400 kPa"})
    found = interview(counter, shelf)
    assert counter.fields[:2] == ["service", "duty.pressure_max"]
    assert len(counter.fields) > 2
    assert found.job.duty.pressure_max == 400
    silent = Counter({"service": "injection hose"})
    interview(silent, shelf)
    assert silent.fields == ["service", "duty.pressure_max"]


@pytest.mark.parametrize("service", ["pcv hose", "fuel return", "heater hose"])
def test_not_more_than_eight_things_and_none_twice(bench: Any, shelf: Any, service: str) -> None:
    counter = Counter({"service": service, "nipple_a.outside_diameter": "13", "route": "300"})
    interview(counter, shelf)
    assert len(set(counter.fields) - {"nipple_b.outside_diameter"}) <= MOST_QUESTIONS
    assert len(set(counter.fields)) == len(counter.fields)


def test_each_thing_is_asked_because_it_changes_the_answer(shelf: Any) -> None:
    """What the counter asks stands among the questions that the answer calls decisive."""
    told: dict[str, Any] = {"service": "heater hose"}
    counter = Counter({})
    interview(counter, shelf, told)
    answer = pick_hose(read_job(told), shelf)
    decisive = {q.field.replace("nipples.", "nipple_a.") for q in answer.ask_next}
    assert counter.fields[0] in decisive


@pytest.mark.parametrize("alike", ["same", "Same.", "", "ditto"])
def test_a_known_nipple_is_asked_of_b_too(bench: Any, alike: str) -> None:
    catalogue, _ = bench.shop({})
    replies = {"service": "heater hose", "nipple_a.outside_diameter": "10 mm"}
    job = interview(Counter({**replies, "nipple_b.outside_diameter": alike}), catalogue).job
    assert job.nipple_a.outside_diameter == job.nipple_b.outside_diameter == 10
    assert job.nipple_a.measured_on == job.nipple_b.measured_on == "plain"
    job = interview(Counter({**replies, "nipple_b.outside_diameter": "16 mm"}), catalogue).job
    assert (job.nipple_a.outside_diameter, job.nipple_b.outside_diameter) == (10, 16)


def test_a_nipple_that_is_no_measurement_is_not_taken_as_measured(bench: Any) -> None:
    """Nothing says that "10mm ish" or a barb named by its hose was measured on the plain part."""
    catalogue, _ = bench.shop({})
    for reply in ("10mm ish", "3/8 barb"):
        counter = Counter({"service": "heater hose", "nipple_a.outside_diameter": reply})
        found = interview(counter, catalogue)
        assert counter.notes == []
        assert found.job.nipple_a.outside_diameter == pytest.approx(10, abs=0.5)
        assert found.job.nipple_a.measured_on == found.job.nipple_b.measured_on == "unknown"


def test_an_unknown_nipple_is_not_asked_again_at_the_other_end(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "heater hose"})
    interview(counter, catalogue)
    assert "nipple_a.outside_diameter" in counter.fields
    assert "nipple_b.outside_diameter" not in counter.fields


def test_a_guessed_length_is_told_as_one(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    replies = {"service": "heater hose", "nipple_a.outside_diameter": "10"}
    found = interview(Counter({**replies, "route": "about a foot"}), catalogue)
    assert found.job.route.measured == pytest.approx(304.8)
    assert found.guesses == {"route": "about a foot"}
    assert interview(Counter({**replies, "route": "400 mm"}), catalogue).guesses == {}


def test_nothing_more_is_asked_once_nothing_changes_a_verdict(bench: Any) -> None:
    """All hoses of this shop are refused whatever is told: fuel line, no marking."""
    catalogue, _ = bench.shop({"liner": "NR", "cover": "NR"})
    counter = Counter({"service": "fuel return"})
    interview(counter, catalogue)
    assert counter.fields == ["service"]


def test_a_fluid_beside_the_name_of_a_line_is_told(bench: Any, shelf: Any) -> None:
    counter = Counter({"service": "fuel return E85"})
    found = interview(counter, shelf)
    assert (found.job.service, found.job.fluids) == ("fuel-return", ("petrol-e85",))
    assert "fluids" not in counter.fields


# --- back, help, don't know -----------------------------------------------------------------------

KNOWN = {
    "service": "heater hose",
    "nipple_a.outside_diameter": "16",
    "nipple_b.outside_diameter": "same",
    "route": "400 mm",
    "nipple_a.bead": "yep",
    "route.tightest_radius": "dinner plate",
    "features.insert": "nothing",
    "route.movement": "1",
    "drips": "nothing",
}


def told(shelf: Any, replies: Mapping[str, str | list[str]]) -> tuple[Interviewed, Counter]:
    counter = Counter(replies)
    return interview(counter, shelf), counter


def test_back_at_every_place_changes_nothing_but_the_answer_before(shelf: Any) -> None:
    plain, counter = told(shelf, KNOWN)
    fields = counter.fields
    assert fields == list(KNOWN)
    found, other = told(shelf, {field: ["<", reply] for field, reply in KNOWN.items()})
    assert found.values == plain.values
    twice = [
        f for place in range(1, len(fields)) for f in (fields[place], *fields[place - 1 :][:2])
    ]
    assert other.fields == [fields[0], fields[0], *twice]
    assert other.notes == ["This is the first question."]
    found, _ = told(shelf, {**KNOWN, "route": ["999 mm", "500 mm"], "nipple_a.bead": ["<", "yes"]})
    assert found.job.route.measured == 500


def test_help_at_every_place_and_a_picture_where_it_helps(shelf: Any) -> None:
    found, counter = told(shelf, {field: ["?", reply] for field, reply in KNOWN.items()})
    assert found.job.route.measured == 400
    assert counter.notes == [table("counter_questions").row(input=f)["help"] for f in KNOWN]
    pictured = [row["input"] for row in table("counter_questions") if "--" in row["help"]]
    assert {"nipple_a.outside_diameter", "nipple_a.bead", "route.tightest_radius"} <= set(pictured)


@pytest.mark.parametrize("words", ["dunno", "don't know", ""])
def test_dont_know_at_every_place(shelf: Any, words: str) -> None:
    _, counter = told(shelf, {"service": "heater hose", **dict.fromkeys([*KNOWN][1:], words)})
    assert counter.notes == []
    assert counter.fields[1:]
    _, counter = told(shelf, {**KNOWN, "nipple_b.outside_diameter": words})
    assert counter.notes == []


def test_what_was_told_as_unknown_may_be_asked(shelf: Any) -> None:
    values = {"service": "heater hose", "nipples": {"outside_diameter": "unknown"}}
    counter = Counter({"nipple_a.outside_diameter": "16 mm"})
    found = interview(counter, shelf, values)
    assert "nipple_a.outside_diameter" in counter.fields
    assert found.job.nipple_b.outside_diameter == 16


# --- a line without a name ------------------------------------------------------------------------


def test_the_two_ends_and_what_is_left_tell_the_line(shelf: Any) -> None:
    replies = {"service": "dunno", "line.end_a": "1", "line.end_b": "air filter box"}
    found, counter = told(shelf, {**replies, "line.residue": "oily", "line.which": "1"})
    start = ["service", "line.end_a", "line.end_b", "line.residue", "line.which"]
    assert counter.fields[:5] == start
    assert found.job.service == "crankcase-breather"
    assert counter.fields[5:]


@pytest.mark.parametrize(
    ("residue", "first"),
    [("oily", "crankcase breather"), ("petrol", "fuel vapour"), ("sooty", "secondary air")],
)
def test_one_end_alone_asks_one_question_that_the_residue_narrows(
    shelf: Any, residue: str, first: str
) -> None:
    replies = {"service": "rubber line to the air filter box", "line.which": ["none", "dunno"]}
    _, counter = told(shelf, {**replies, "line.residue": residue})
    ways = [asked for asked in counter.asked if asked.field == "line.which"]
    assert len(ways) == 2
    assert len(ways[1].choices) < len(ways[0].choices)
    assert ways[1].choices[0].label.startswith(first)


def test_who_knows_neither_name_nor_ends_gets_no_hose(shelf: Any) -> None:
    found, counter = told(shelf, {})
    assert counter.fields == ["service", "line.end_a", "line.end_b", "line.residue"]
    assert found.job.service == "unknown-service"


@pytest.mark.parametrize(
    ("ends", "stop"),
    [
        (("steering pump", "dunno"), "steering-unknown-side"),
        (("10", "brakes"), "brake-hydraulics"),
        (("air conditioning", "dunno"), "refrigerant"),
    ],
)
def test_an_end_on_something_dangerous_is_a_stop(
    shelf: Any, ends: tuple[str, str], stop: str
) -> None:
    replies = {"service": "dunno", "line.end_a": ends[0], "line.end_b": ends[1]}
    found, _ = told(shelf, replies)
    assert found.job.service == stop


def test_no_line_is_taken_across_what_was_found_in_the_hose(shelf: Any) -> None:
    """Ends of a coolant line, petrol in it: nobody knows, nothing is offered."""
    replies = {"service": "dunno", "line.end_a": "heater", "line.end_b": "radiator"}
    found, _ = told(shelf, {**replies, "line.residue": "petrol"})
    assert found.job.service == "unknown-service"


# --- unusual sizes --------------------------------------------------------------------------------


def test_an_unusual_size_is_read_back(shelf: Any) -> None:
    replies = {"service": "heater hose", "nipple_a.outside_diameter": "60 mm", "confirm": "2"}
    found, counter = told(shelf, replies)
    question = next(asked for asked in counter.asked if asked.field == "confirm")
    assert question.question.startswith("60 mm across for this line (heater feed or return)?")
    assert [choice.label for choice in question.choices] == [
        "yes, 60 mm across",
        "it is 60 mm round (19.1 mm across)",
        "a typing mistake: I say it again",
    ]
    assert found.job.nipple_a.outside_diameter == pytest.approx(60 / 3.14159, abs=0.01)
    believed, _ = told(shelf, {**replies, "confirm": "yes"})
    assert believed.job.nipple_a.outside_diameter == 60
    again, _ = told(
        shelf, {**replies, "nipple_a.outside_diameter": ["60 mm", "16 mm"], "confirm": "3"}
    )
    assert again.job.nipple_a.outside_diameter == 16


def test_around_before_a_figure_may_be_about_or_round_it(shelf: Any) -> None:
    replies = {"service": "heater hose", "nipple_a.outside_diameter": "around 50 mm"}
    found, _ = told(shelf, {**replies, "confirm": "2"})
    assert found.job.nipple_a.outside_diameter == pytest.approx(15.915, abs=0.01)
    assert found.job.nipple_a.measured_on == "plain"
    said, _ = told(shelf, {**replies, "nipple_a.outside_diameter": "around 16", "confirm": "1"})
    assert said.job.nipple_a.outside_diameter == 16
    assert said.job.nipple_a.measured_on == "unknown"


def test_the_bore_of_a_hose_is_no_nipple(shelf: Any) -> None:
    replies: dict[str, str | list[str]] = {"service": "heater hose"}
    replies["nipple_a.outside_diameter"] = ["5/8 bore", "16"]
    found, counter = told(shelf, replies)
    assert "the bore of a hose" in counter.notes[0]
    assert found.job.nipple_a.outside_diameter == 16


# --- routes ---------------------------------------------------------------------------------------

FREE = {
    **KNOWN,
    "route": "free",
    "route.free.offset": "forward 200 mm",
    "route.free.nipple_a_points": "up",
    "route.free.nipple_b_points": "straight up",
}


def test_rocking_is_asked_only_where_an_end_is_not_on_the_engine(shelf: Any) -> None:
    still, counter = told(shelf, FREE)
    assert "route.free.movement" not in counter.fields
    assert "route.tightest_radius" not in counter.fields
    assert still.job.route.free is not None
    assert still.job.route.free.rocking is None
    replies = {**FREE, "route.movement": "2", "route.free.movement": "rocks sideways, 8 mm at B"}
    moved, counter = told(shelf, replies)
    assert "route.free.movement" in counter.fields
    assert moved.job.route.free is not None
    assert moved.job.route.free.rocking is not None


def test_a_free_route_without_its_ends_is_no_route(shelf: Any) -> None:
    found, counter = told(shelf, {**FREE, "route.free.nipple_b_points": "dunno"})
    assert (found.job.route.kind, found.job.route.free) == ("unknown", None)
    assert "route.movement" not in counter.fields or counter.fields.index(
        "route.movement"
    ) > counter.fields.index("route.free.nipple_b_points")


def test_an_end_on_the_body_asks_how_far(shelf: Any) -> None:
    found, counter = told(shelf, {**KNOWN, "route.movement": "nope", "movement.far": "10mm ish"})
    assert counter.fields[counter.fields.index("route.movement") + 1] == "movement.far"
    assert found.job.route.movement == 10
    assert {found.job.nipple_a.fixed_to, found.job.nipple_b.fixed_to} == {"engine", "body"}


def test_a_bend_round_something_is_counted_at_its_middle(shelf: Any) -> None:
    """The hose lies round the tin: its middle is half a nipple farther out at least."""
    found, _ = told(shelf, {**KNOWN, "route.tightest_radius": "round a tin"})
    assert found.job.route.tightest_radius == pytest.approx(37 + 8)
    for words in ("tighter than a tin", "not as wide as a tin"):
        _, counter = told(shelf, {**KNOWN, "route.tightest_radius": [words, "5"]})
        assert len(counter.notes) == 1


def test_dotted_fields_become_a_job_file() -> None:
    said = {"service": "a", "duty.fluid_steady": "b", "duty.air_steady": "c", "route.measured": "d"}
    values = {
        "service": "a",
        "duty": {"fluid_steady": "b", "air_steady": "c"},
        "route": {"measured": "d"},
    }
    assert nested(said) == values
    assert dict(flat(values)) == said
