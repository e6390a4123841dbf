"""Free routes at the command line: job file, options, interview; lengths, reasons, drawings."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from hoseselect.application.ask import interview
from hoseselect.application.cut import cut_for_hose, cut_for_radius
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job

Command = Callable[..., Any]
SHELF = Path(__file__).parents[2] / "catalog"
JOB = """
name = "loop"
service = "coolant-heater"
drips = []
[duty]
fluid_steady = "95 degC"
fluid_peak = "110 degC"
air_steady = "80 degC"
air_peak = "100 degC"
coldest_start = "-25 degC"
pressure_min = "-10 kPa"
pressure_max = "150 kPa"
flow = "10 L/min"
[nipples]
outside_diameter = "16 mm"
bead = "yes"
measured_on = "plain"
bead_diameter = "17.5 mm"
usable_length = "30 mm"
engagement = "25 mm"
[route.free]
offset = {right = "220 mm"}
nipple_a_points = "back"
nipple_b_points = "back"
[features]
insert = "none"
"""
ROUTE = ("--offset", "right 220 mm", "--points-a", "back", "--points-b", "back")
BETWEEN = ("-n", "10", "--offset", "forward 120 mm; up 80 mm", "--points-b", "back")
ELBOW = ("-s", "washer", *BETWEEN, "--points-a", "up")
HOSE = "C02-16"  # 95 mm


@pytest.fixture(scope="module")
def shelf() -> Catalogue:
    return read_catalogue(SHELF, date(2026, 1, 15))


@pytest.fixture
def job(tmp_path: Path) -> str:
    path = tmp_path / "job.toml"
    path.write_text(JOB, encoding="utf-8")
    return str(path)


def plain(value: Any) -> Any:
    """Return a value as JSON hands it on."""
    return json.loads(json.dumps(value))


def test_pick_from_a_job_file_is_what_python_says(
    command: Command, job: str, shelf: Catalogue
) -> None:
    told = command("pick", job, "--json", "--catalog", str(SHELF))
    assert told.code == 0
    said = json.loads(told.out)
    answer = pick_hose(read_job(tomllib.loads(JOB)), shelf)
    assert said == {"number": None, **plain(answer.as_json())}
    best = said["hoses"][0]
    assert best["cut"]["window_mm"][0] < best["cut"]["cut_mm"]
    assert {"bend-window", "bend-radius"} <= {finding["code"] for finding in best["findings"]}


def test_options_say_the_same_as_a_job_file(command: Command, job: str, tmp_path: Path) -> None:
    without, _, rest = JOB.partition("[route.free]")
    features = rest[rest.index("[features]") :]
    bare = tmp_path / "bare.toml"
    bare.write_text(without + features, encoding="utf-8")
    by_file = command("cut", job, "--hose", HOSE, "--json")
    by_option = command("cut", str(bare), *ROUTE, "--hose", HOSE, "--json")
    assert by_file.code == by_option.code == 0
    assert json.loads(by_option.out)["cut"] == json.loads(by_file.out)["cut"]


def test_a_wire_is_set_by_option(command: Command) -> None:
    told = command(
        "cut", "-s", "washer", "-n", "10", "--radius", "40 mm", "--json",
        "--set", "route.free.flat.distance=150 mm", "--set", "route.free.flat.angle_a=45 deg",
        "--set", "route.free.flat.angle_b=45 deg",
    )  # fmt: skip
    assert told.code == 0
    _, most = json.loads(told.out)["cut"]["range_mm"]
    assert most > 200


def test_movement_by_option_narrows_the_window(command: Command) -> None:
    windows = [
        json.loads(command("cut", *ELBOW, *more, "--radius", "40 mm", "--json").out)["cut"]
        for more in ((), ("--moves", "forward 4 mm; up 5 mm"))
    ]
    still, moving = (window["window_mm"] for window in windows)
    assert moving[0] > still[0]
    assert moving[1] is None or still[1] is None or moving[1] < still[1]


def test_cut_for_a_hose_is_what_python_says(command: Command, job: str, shelf: Catalogue) -> None:
    told = command("cut", job, "--hose", HOSE, "--json", "--catalog", str(SHELF))
    result = cut_for_hose(HOSE, read_job(tomllib.loads(JOB)), shelf, "mm")
    assert result.plan is not None
    assert json.loads(told.out)["cut"] == plain(result.plan.as_json())
    assert told.code == result.exit_code == 0


def test_cut_for_a_radius_says_that_no_hose_was_checked(command: Command) -> None:
    told = command("cut", *ELBOW, "--radius", "40 mm", "--full")
    assert told.code == 0
    assert "No hose was checked" in told.out
    assert "lengths that work" in told.out


def words(text: str) -> str:
    return " ".join(text.split())


NO_LEAD = ("--set", "route.free.lead=0 mm")


def test_where_no_length_works_the_best_is_named(command: Command) -> None:
    told = command("cut", *ELBOW, "--radius", "66 mm", "--full")
    assert told.code == 1
    said = words(told.out)
    assert "no length works for 66 mm" in said
    assert "at best the route allows 63 mm, at 168 mm from mouth to mouth" in said
    most = int(re.search(r"take hose of at most (\d+) mm least radius", said)[1])  # type: ignore[index]
    assert f"turn nipple A by about {TURN} towards the other one" in said
    assert told.out.rstrip().endswith("[x] a formed hose for this route")
    assert told.out.count("[x]") == 4
    assert "Cut " not in told.out
    assert most == MOST


MOST, TURN = 55, "20 deg"


def test_the_radius_that_is_named_is_the_largest(command: Command, unadvised: None) -> None:
    assert command("cut", *ELBOW, "--radius", f"{MOST} mm").code == 0
    assert command("cut", *ELBOW, "--radius", f"{MOST + 3} mm").code == 1


def test_the_turn_that_is_named_is_the_least(command: Command, unadvised: None) -> None:
    for angle, code in ((TURN, 0), ("15 deg", 1)):
        turned = ("--points-a", f"up and {angle} forward")
        assert command("cut", "-s", "washer", *BETWEEN, *turned, "--radius", "66").code == code


def test_where_no_turn_helps_none_is_named(command: Command) -> None:
    told = command("cut", *ELBOW, "--radius", "200 mm", "--full")
    assert told.code == 1
    assert "at best the route allows 63 mm" in words(told.out)
    assert "turn nipple" not in told.out


def test_a_window_narrower_than_the_tolerance_is_no_cut(command: Command, unadvised: None) -> None:
    told = command(
        "cut", "-s", "washer", "-n", "10", "--offset", "forward 200 mm", "--points-a", "up",
        "--points-b", "up", "--radius", "98 mm", "--full",
    )  # fmt: skip
    assert told.code == 1
    assert "window of lengths only" in words(told.out)


def test_a_part_in_the_way_is_named(command: Command, tmp_path: Path, unadvised: None) -> None:
    path = tmp_path / "near.toml"
    text = JOB.replace(
        "[features]",
        '[[route.free.keep_out]]\nname = "alternator"\nball = "right 110 mm; back 120 mm"\n'
        'diameter = "60 mm"\n[features]',
    )
    path.write_text(text, encoding="utf-8")
    told = command("cut", str(path), "--radius", "95 mm", "--full")
    assert told.code == 1
    assert "route-clearance" in told.out
    assert "alternator" in told.out
    told = command("cut", str(path), "--hose", HOSE, "--full")
    assert told.code == 1
    assert "route-clearance" in told.out


def test_the_drawing_is_svg_with_both_nipples(command: Command, job: str, tmp_path: Path) -> None:
    file = tmp_path / "route.svg"
    told = command("cut", job, "--hose", HOSE, "--draw", str(file))
    assert told.code == 0
    root = ElementTree.parse(file).getroot()
    assert root.tag.endswith("svg")
    text = "".join(root.itertext())
    assert "loop" in text
    cut = json.loads(command("cut", job, "--hose", HOSE, "--json").out)["cut"]["cut_mm"]
    assert f"{cut:g} mm" in text


def test_a_route_on_which_no_length_works_is_drawn_without_one(
    command: Command, tmp_path: Path, unadvised: None
) -> None:
    file = tmp_path / "route.svg"
    assert command("cut", *ELBOW, "--radius", "75 mm", "--draw", str(file)).code == 1
    drawn = file.read_text(encoding="utf-8")
    assert "No length works" in drawn
    assert "none works" in drawn


def test_nothing_is_drawn_of_a_job_that_is_stopped(command: Command, tmp_path: Path) -> None:
    file = tmp_path / "route.svg"
    stopped = ("-s", "brake line", *BETWEEN, "--points-a", "up")
    told = command("cut", *stopped, "--radius", "40", "--draw", str(file))
    assert told.code == 1
    assert not file.exists()


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--offset", "forward 100 mm"), "directions"),
        (("--points-a", "up"), "offset"),
        (("--offset", "120 mm", "--points-a", "up", "--points-b", "up"), "route.free.offset"),
        (("--offset", "up 90 mm", "--points-a", "high", "--points-b", "up"), "nipple_a_points"),
        ((*ROUTE, "--moves", "5 mm"), "route.free.movement"),
        ((*ROUTE, "--measured", "300 mm"), "one description of the route"),
        ((*ROUTE, "--run", "60 mm"), "one description of the route"),
    ],
)
def test_a_wrong_option_is_one_sentence_and_exit_2(
    command: Command, options: tuple[str, ...], said: str
) -> None:
    told = command("cut", "-s", "washer", "-n", "10", *options, "--radius", "30 mm")
    assert told.code == 2
    assert told.out == ""
    assert said in told.err
    assert "Traceback" not in told.err


def test_a_radius_is_wanted(command: Command) -> None:
    told = command("cut", *ELBOW)
    assert told.code == 2
    assert "--radius" in told.err


def test_a_stopped_service_gives_no_length_on_a_free_route(command: Command) -> None:
    told = command("cut", "-s", "brake hose", "-n", "10", *ROUTE, "--radius", "30 mm")
    assert told.code == 1
    assert "Cut " not in told.out
    told = command("cut", "-s", "brake hose", "-n", "10", *ROUTE, "--radius", "30 mm", "--json")
    assert json.loads(told.out)["cut"] is None


REPLIES = {
    "service": "heater hose",
    "nipple_a.outside_diameter": "16 mm",
    "nipple_a.bead": "yes",
    "route": "free",
    "route.free.offset": "right 220 mm",
    "route.free.nipple_a_points": "back",
    "route.free.nipple_b_points": "back",
    "route.movement": "2",
    "route.free.movement": "up 4 mm",
}


def replies_of(shelf: Catalogue, known: dict[str, str], wrong: str = "") -> list[str]:
    """Return what a person says, question by question; what is not known stays empty.

    Parameters
    ----------
    wrong : a reply that is tried first where nipple A is asked for
    """
    replies: list[str] = []

    def ask(question: Any, note: str) -> str:
        reply = known.get(question.field, "")
        if wrong and not note and question.field == "route.free.nipple_a_points":
            reply = wrong
        replies.append(reply)
        return reply

    interview(ask, shelf)
    return replies


def test_the_interview_takes_a_free_route(command: Command, shelf: Catalogue) -> None:
    replies = replies_of(shelf, REPLIES, wrong="sideways")
    told = command("ask", "--json", given="".join(f"{r}\n" for r in replies).encode())
    assert told.err.count("Where does nipple A point") == 2
    assert "Not understood: 'sideways'" in told.err
    for words in ("Where is the mouth", "Where does nipple B", "How does the engine rock"):
        assert told.err.count(words) == 1
    assert "tightest bend:" not in told.err
    said = json.loads(told.out)
    route = said["job"]["route"]
    assert route["kind"] == "free"
    assert route["free"]["mouth_b"] == [0, -220, 0]
    assert route["free"]["points_a"] == route["free"]["points_b"] == [-1, 0, 0]
    assert route["free"]["movement"] == [0, 0, 4]
    cuts = [hose["cut"]["range_mm"][0] for hose in said["hoses"] if hose["cut"]]
    assert cuts
    assert min(cuts) > 220 + 16  # a U, never straight across


def test_a_radius_is_that_of_python(command: Command) -> None:
    told = command(
        "cut", *ELBOW, "--radius", "40 mm", "--outside-diameter", "15 mm", "--json"
    )  # fmt: skip
    values = {
        "service": "washer", "nipples": {"outside_diameter": "10"},
        "route": {"free": {"offset": "forward 120 mm; up 80 mm", "nipple_a_points": "up",
                           "nipple_b_points": "back"}},
    }  # fmt: skip
    result = cut_for_radius(40.0, read_job(values), "mm", outside_diameter=15.0)
    assert result.plan is not None
    assert json.loads(told.out)["cut"] == plain(result.plan.as_json())
