"""The curve of a hose against its length: what it shows, and where. The figures are invented."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from typer.testing import CliRunner

from hoseselect.domain.geometry import LengthCurve
from hoseselect.interfaces.cli.main import app
from hoseselect.interfaces.drawing.curve_axes import ticks
from hoseselect.interfaces.drawing.curve_drawing import curve_drawing
from hoseselect.interfaces.paper.bench_card import curve_of_card
from hoseselect.knowledge.errors import InputError

SVG = "{http://www.w3.org/2000/svg}"
NAN = float("nan")
CUT = np.linspace(300.0, 400.0, 21)
CURVE = LengthCurve(
    cut=CUT,
    radius=60.0 + 0.2 * (CUT - 300.0),
    radius_low=50.0 + 0.2 * (CUT - 300.0),
    room=0.5 * (380.0 - CUT),
    room_low=0.5 * (360.0 - CUT),
    least_radius=62.0,
    chosen=350.0,
    tolerance=3.0,
    window=(310.0, 380.0),
    stood=(340.0, 360.0),
    tape_error=5.0,
    angle_error=5.0,
)
BEND_ONLY = replace(CURVE, room=np.full(21, NAN), room_low=np.full(21, NAN))
NONE = replace(CURVE, chosen=NAN, window=(NAN, NAN), stood=(NAN, NAN))


def drawn(curve: LengthCurve, units: str = "mm") -> ElementTree.Element:
    return ElementTree.fromstring(curve_drawing(curve, units).encode())


def by_id(root: ElementTree.Element, name: str) -> ElementTree.Element:
    (found,) = [part for part in root.iter() if part.get("id") == name]
    return found


def words(root: ElementTree.Element) -> list[str]:
    return [(part.text or "").replace("\u00a0", " ") for part in root.iter(f"{SVG}text")]


def bar(root: ElementTree.Element, name: str) -> tuple[float, float]:
    part = by_id(root, f"bar-{name}")
    start = float(part.get("x", "nan"))
    return start, start + float(part.get("width", "nan"))


def test_the_bars_lie_on_the_axis_of_the_curves() -> None:
    root = drawn(CURVE)
    (frame,) = [p for p in by_id(root, "room-axes") if p.tag == f"{SVG}rect"]
    left, wide = (float(frame.get(name, "nan")) for name in ("x", "width"))
    for name, (low, high) in {"window": (310, 380), "stood": (340, 360), "cut": (347, 353)}.items():
        true = [left + (value - 300.0) / 100.0 * wide for value in (low, high)]
        assert bar(root, name) == pytest.approx(tuple(true), abs=0.01)


def test_the_cut_stands_in_both_panels_and_the_limits_are_named() -> None:
    root = drawn(CURVE)
    thick = [p for p in by_id(root, "chosen").iter(f"{SVG}line") if p.get("stroke-width") == "0.8"]
    assert len(thick) == 2
    assert len({p.get("x1") for p in thick}) == 1
    assert words(by_id(root, "radius-limit")) == ["least radius of the hose 62 mm"]
    assert words(by_id(root, "room-limit")) == ["below this line: too near"]
    said = [words(by_id(root, f"row-{name}"))[1] for name in ("window", "stood", "cut")]
    assert said == ["310 mm to 380 mm", "340 mm to 360 mm", "350 mm +/- 3 mm"]


def test_without_keep_outs_there_is_one_panel() -> None:
    root = drawn(BEND_ONLY)
    assert not [p for p in root.iter() if p.get("id") == "room"]
    assert "clearance" not in " ".join(words(root))


def test_where_no_length_works_none_is_given() -> None:
    root = drawn(NONE)
    ids = {p.get("id") for p in root.iter()}
    assert not ids & {"chosen", "bar-window", "bar-stood", "bar-cut"}
    assert [words(by_id(root, f"row-{n}"))[1] for n in ("window", "stood", "cut")] == ["none"] * 3
    assert "No length works" in " ".join(words(root))
    assert "cut 350" not in " ".join(words(root))


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize(
    "curve",
    [
        CURVE,
        BEND_ONLY,
        NONE,
        replace(CURVE, radius=np.where(CUT < 320, np.inf, CURVE.radius)),
        replace(CURVE, radius=np.where(CUT < 320, 0.0, CURVE.radius), window=(310.0, np.inf)),
        replace(CURVE, room_low=np.where(CUT < 320, NAN, CURVE.room_low)),
        replace(CURVE, radius=np.full(21, NAN), radius_low=np.full(21, NAN), least_radius=NAN),
        replace(CURVE, chosen=500.0),
    ],
)
def test_no_figure_is_not_a_number_and_nothing_leaves_the_sheet(
    curve: LengthCurve, units: str
) -> None:
    text = curve_drawing(curve, units)
    root = ElementTree.fromstring(text.encode())
    assert "nan" not in text.lower().replace("nance", "")
    assert "inf" not in text
    assert (root.get("width"), root.get("height")) == ("210mm", "148mm")
    assert root.get("viewBox") == "0 0 210 148"
    for part in root.iter(f"{SVG}line"):
        for name in ("x1", "x2"):
            assert -1.0 <= float(part.get(name, "nan")) <= 210.0
    for outside in ("pattern", "marker", "filter", "style", "paint-order", "href", "url("):
        assert outside not in text


def test_inches_stand_on_round_figures() -> None:
    assert [words for _, words in ticks(0.0, 60.0, "in", 6)] == ["0", "1/2", "1", "1 1/2", "2"]
    assert ticks(-30.0, 30.0, "in", 6)[0] == (pytest.approx(-25.4), "-1")
    assert [value for value, _ in ticks(233.0, 391.0, "mm", 4)] == [250.0, 300.0, 350.0]
    assert "in" in words(by_id(drawn(CURVE, "in"), "row-cut"))[1]


@pytest.mark.parametrize("cut", [[300.0], [300.0, 300.0]])
def test_lengths_that_do_not_rise_are_refused(cut: list[float]) -> None:
    with pytest.raises(InputError):
        curve_drawing(replace(CURVE, cut=np.array(cut)))


def test_the_card_gets_the_curve_in_its_own_font() -> None:
    assert 'font-family="Libertinus Serif"' in curve_of_card(CURVE, "mm", "A hose")


def test_a_curve_is_written_only_to_svg(tmp_path: Path) -> None:
    free = ["--offset", "forward 120 mm; up 80 mm", "--points-a", "up", "--points-b", "back"]
    asked = ["cut", "-s", "washer", "-n", "10", *free, "--radius", "30 mm"]
    told = CliRunner().invoke(app, [*asked, "--curve", str(tmp_path / "curve.png")])
    assert told.exit_code != 0
    assert not list(tmp_path.iterdir())
