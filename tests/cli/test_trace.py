"""`trace`: photos as files, sheets of points with faults, and what is told."""

from __future__ import annotations

import io
import json
import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import photo_scenes
import pytest
from PIL import Image

from hoseselect.files.picture_file import MOST_BYTES, picture_of
from hoseselect.interfaces.sheets.points_sheet import points_text, read_points
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.photo.points import PhotoPoints

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"
PHOTO, TAPS = PICTURES / "old_hose.jpg", PICTURES / "old_hose_taps.csv"
MEASURED = ("trace", str(PHOTO), "--points", str(TAPS), "--outside-diameter", "22 mm")


def test_the_photo_of_the_page_measures_the_hose_that_was_drawn(
    command: Callable[..., Any],
) -> None:
    told = command(*MEASURED, "--json")
    assert told.code == 0
    found = json.loads(told.out)
    line = photo_scenes.BENCH_LINE
    for figure, true in (
        (found["length_mm"], line.length),
        (found["tightest_radius_mm"], line.tightest),
        *((bend["angle_deg"], angle) for bend, angle in zip(found["bends"], (90, 45), strict=True)),
    ):
        assert abs(figure["value"] - true) <= figure["error"]
    assert [bend["turn_deg"]["value"] for bend in found["bends"]] == [0, 180]


def test_the_run_goes_into_a_job(command: Callable[..., Any], tmp_path: Path) -> None:
    told = command(*MEASURED)
    run = next(line for line in told.out.splitlines() if line.startswith("run = "))
    job = tmp_path / "job.toml"
    job.write_text(f'service = "heater hose"\nnipples.outside_diameter = 16\n[route]\n{run}\n')
    cut = command("cut", str(job), "--radius", "50 mm", "--full")
    assert cut.code == 0, cut.err
    assert "tip to tip: 363 mm" in cut.out


def test_proposed_points_are_written_and_nothing_is_measured(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    proposed = tmp_path / "middle.csv"
    told = command(*MEASURED, "--suggest-points", str(proposed))
    assert told.code == 0
    assert "Length" not in told.out
    assert len(read_points(proposed).hose) > 2 * len(read_points(TAPS).hose) * 0.8
    again = command("trace", str(PHOTO), "--points", str(proposed), "--outside-diameter", "22")
    assert again.code == 0


def test_the_photo_is_never_written_over(command: Callable[..., Any], tmp_path: Path) -> None:
    photo = tmp_path / "hose.jpg"
    photo.write_bytes(PHOTO.read_bytes())
    told = command(
        *("trace", str(photo), "--points", str(TAPS), "--outside-diameter", "22"),
        *("--suggest-points", str(photo)),
    )
    assert told.code == 2
    assert photo.read_bytes() == PHOTO.read_bytes()


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", ":1:1: found an empty sheet"),
        ("kind,x\ncorner,1\n", ":1:1: found no heading 'y'"),
        ("kind,x,y\ncorner,1,2\ncrner,3,4\n", ":3:1: found 'crner'; expected corner, hose or edge"),
        ("kind,x,y\nhose,1,2\nhose,left,4\n", ":3:2: found 'left'; expected pixels"),
        ("kind,x,y\nhose,1\n", ":2:3: found an empty cell"),
        ("kind,x,y\nhose,1,inf\n", ":2:3: found 'inf'"),
        ("kind,x,y\nhose,1,1e999\n", ":2:3: found '1e999'"),
        ("y,kind,x\n1,hose,2,9\nx,hose,3\n", ":3:1: found 'x'"),
        ("kind,x,y\n" + "hose,1,2\n" * 3000, ": found more than 2000 points"),
    ],
)
def test_a_fault_in_the_points_is_told_by_its_place(
    command: Callable[..., Any], tmp_path: Path, text: str, place: str
) -> None:
    path = tmp_path / "taps.csv"
    path.write_text(text, encoding="utf-8")
    told = command("trace", str(PHOTO), "--points", str(path))
    assert told.code == 2
    assert f"taps.csv{place}" in told.err
    assert "Traceback" not in told.err


def test_points_are_read_as_they_are_written(tmp_path: Path) -> None:
    path = tmp_path / "taps.csv"
    path.write_text("x;Kind;y\n1,5;CORNER;2\n3;hose;4,25\n", encoding="utf-8")
    points = read_points(path)
    assert (points.corners, points.hose) == (((1.5, 2.0),), ((3.0, 4.25),))
    path.write_text(points_text(points), encoding="utf-8")
    assert read_points(path).corners == points.corners


def saved(size: tuple[int, int], form: str = "JPEG", **notes: int) -> bytes:
    """Return a photo: orientation, focal length, width and height as its notes tell them."""
    entries = Image.Exif()
    inner = entries.get_ifd(0x8769)
    tags = {"focal": 0xA405, "width": 0xA002, "height": 0xA003}
    for name, value in notes.items():
        if name == "orientation":
            entries[0x0112] = value
        else:
            inner[tags[name]] = value
    out = io.BytesIO()
    Image.new("L", size, 90).save(out, form, exif=entries)
    return out.getvalue()


def test_a_photo_is_taken_as_it_is_shown() -> None:
    upright = picture_of(saved((400, 300), orientation=6, focal=26), "x.jpg")
    assert (upright.size, upright.focal_35mm) == ((300, 400), 26)
    assert upright.grey().shape == (400, 300)
    plain = picture_of(saved((400, 300), "PNG"), "x.png")
    assert plain.size == (400, 300)
    assert math.isnan(plain.focal_35mm)
    assert not plain.cropped
    assert picture_of(saved((400, 400), width=4000, height=3000), "x.jpg").cropped
    assert not picture_of(saved((400, 300), width=3000, height=4000), "x.jpg").cropped


BOMB = 12_000


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "no picture"),
        (b"GIF89a" + bytes(50), "no picture"),
        (b"\xff\xd8\xff" + bytes(500), "no picture"),
        (saved((BOMB, BOMB), "PNG"), f"{BOMB} by {BOMB} pixels"),
        (bytes(MOST_BYTES + 1), "more than 40 MB"),
    ],
)
def test_what_is_no_photo_of_sane_size_is_refused(data: bytes, found: str) -> None:
    with pytest.raises(InputError, match=found):
        picture_of(data, "x.jpg")


def test_a_photo_cut_short_is_refused_when_it_is_looked_into() -> None:
    data = PHOTO.read_bytes()
    picture = picture_of(data[: len(data) // 2], "half.jpg")
    with pytest.raises(HoseselectError, match=r"half\.jpg: found a damaged picture"):
        picture.grey()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("--sheet", "napkin"), "expected a4, letter or card"),
        (("--outside-diameter", "22 kPa"), "--outside-diameter: found"),
        (("--sheet", "card"), "corners of the sheet: found"),
    ],
)
def test_what_cannot_be_used_is_one_sentence(
    command: Callable[..., Any], change: tuple[str, str], told: str
) -> None:
    done = command(*MEASURED, *change)
    assert done.code == 2
    assert told in done.err
    assert len(done.err.splitlines()) == 1


def test_a_cropped_photo_is_doubted(command: Callable[..., Any], tmp_path: Path) -> None:
    entries = Image.Exif()
    inner = entries.get_ifd(0x8769)
    inner[0xA405], inner[0xA002], inner[0xA003] = 26, 4032, 2268
    path = tmp_path / "cropped.jpg"
    Image.open(PHOTO).save(path, exif=entries)
    told = command("trace", str(path), "--points", str(TAPS), "--outside-diameter", "22", "--json")
    assert "cropped" in {one["code"] for one in json.loads(told.out)["cautions"]}


def test_two_photos_give_a_run_in_space(command: Callable[..., Any], tmp_path: Path) -> None:
    pair = photo_scenes.space_pair(0)
    files = []
    for number in (0, 1):
        photo, taps = tmp_path / f"{number}.jpg", tmp_path / f"{number}.csv"
        photo.write_bytes(saved(pair.size, focal=round(pair.film)))
        corners, hose = (tuple(map(tuple, part[number])) for part in (pair.corners, pair.hose))
        taps.write_text(points_text(PhotoPoints(corners, hose)))
        files.append((str(photo), str(taps)))
    asked = ("trace", files[0][0], "--points", files[0][1], "--side", files[1][0])
    told = command(*asked, "--side-points", files[1][1], "--outside-diameter", "22", "--json")
    assert told.code == 0, told.err
    found = json.loads(told.out)
    turns = [bend["turn_deg"] for bend in found["bends"]]
    for turn, true in zip(turns[1:], pair.line.bends[1:], strict=True):
        assert abs((turn["value"] - true[2] + 180) % 360 - 180) <= turn["error"]
    assert found["side_line_px"]
    shown = command(*asked, "--side-points", files[1][1], "--outside-diameter", "22")
    assert "its plane turned by" in shown.out
    alone = command(*asked)
    assert (alone.code, len(alone.err.splitlines())) == (2, 1)


def test_without_the_library_of_pictures_a_sentence_says_what_to_install(
    command: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "PIL", None)
    told = command(*MEASURED)
    assert told.code == 2
    assert "pip install 'hoseselect[page]'" in told.err
    assert len(told.err.splitlines()) == 1
