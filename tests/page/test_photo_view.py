"""The photo on the page: measured as by the command, refused with the reason, never kept."""

from __future__ import annotations

import csv
import io
import tempfile
import zlib
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from hoseselect.application.trace import Shot, trace
from hoseselect.files.picture_file import MOST_BYTES, read_picture
from hoseselect.intake.job_code import encode_job
from hoseselect.intake.run_text import run_parts
from hoseselect.interfaces.page.address import Address
from hoseselect.interfaces.page.bench_form import with_run
from hoseselect.interfaces.page.photo_view import Received, read_taps, run_text
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import InputError

from .seen import pairs_of, seen

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"
PHOTO = PICTURES / "old_hose.jpg"
with (PICTURES / "old_hose_taps.csv").open(encoding="utf-8") as taps:
    POINTS = "\n".join(f"{row['kind']} {row['x']} {row['y']}" for row in csv.DictReader(taps))
TOLD = {"sheet": "a4", "diameter": "22 mm", "points": POINTS}
JOB = {"service": "PCV hose", "nipple_a.outside_diameter": "16 mm", "route": "400 mm"}


def sent(client: TestClient, path: str, photo: bytes | None = None, **more: str) -> Any:
    content = PHOTO.read_bytes() if photo is None else photo
    files = {"photo": ("../../etc/passwd", content, "image/jpeg")}
    return client.post(path, files=files, data={**TOLD, **more})


def test_the_page_measures_what_the_command_measures(client: TestClient) -> None:
    traced = trace(Shot(read_picture(PHOTO), read_taps(POINTS)), outside_diameter=22.0)
    told = sent(client, "/photo/measure").json()
    assert told["run"] == run_text(traced)
    assert run_parts(told["run"]) == traced.run
    assert told["told"][0].startswith(f"Length {traced.length.value:.0f}")
    own = {"outside_diameter": "22 mm", "points": POINTS}
    plain = client.post("/api/trace", files={"photo": PHOTO.read_bytes()}, data=own).json()
    assert plain == traced.as_json()


def test_without_scripts_the_fit_stands_over_the_photo(client: TestClient) -> None:
    page = sent(client, "/photo", **JOB)
    assert "Length 363" in seen(page.text)
    assert 'href="data:image/jpeg;base64,' in page.text
    assert 'class="fitted"' in page.text


def test_the_run_goes_to_the_bench_in_place_of_the_old_route(client: TestClient) -> None:
    told = sent(client, "/photo/measure", **JOB).json()
    page = client.get(told["bench"])
    pairs = dict(pairs_of(page))
    assert pairs["route.run"] == told["run"]
    assert "route" not in pairs
    assert pairs["service"] == "PCV hose"
    assert "USE IF" in seen(page.text) or "NO" in seen(page.text)


def test_points_between_the_edges_are_proposed_and_decide_nothing(client: TestClient) -> None:
    rough = "\n".join(POINTS.splitlines()[:4] + POINTS.splitlines()[4::6])
    told = sent(client, "/photo/suggest", points=rough).json()
    assert told["found"] > 0.9
    assert len(told["hose"]) > 20
    assert "run" not in told


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"points": "corner 1 2"}, "corner"),
        ({"points": "nose 1 2"}, "points: line 1"),
        ({"points": "hose 1"}, "points: line 1"),
        ({"points": "hose nan 2"}, "points: line 1"),
        ({"points": "hose 1e300 2"}, "points: line 1"),
        ({"points": "hose 1 2\n" * 600}, "at most 500"),
        ({"sheet": "a9"}, "a4, letter, card"),
        ({"diameter": "thick"}, "diameter"),
    ],
)
def test_what_cannot_be_measured_is_refused_with_the_reason(
    client: TestClient, more: dict[str, str], reason: str
) -> None:
    for path in ("/photo/measure", "/photo"):
        told = client.post(path, files={"photo": PHOTO.read_bytes()}, data={**TOLD, **more},
                           headers={"accept": "application/json"})  # fmt: skip
        assert told.status_code == (422 if path == "/photo/measure" else 200)
        assert reason in seen(told.text)
        assert "Length" not in seen(told.text)


def bomb() -> bytes:
    """Return a PNG of a few bytes that says it has 10,000 million dots."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        whole = kind + data
        return len(data).to_bytes(4, "big") + whole + zlib.crc32(whole).to_bytes(4, "big")

    size = (100_000).to_bytes(4, "big") * 2 + bytes([8, 0, 0, 0, 0])
    rows = chunk(b"IDAT", zlib.compress(b"\0" * 1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", size) + rows + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "photo", [b"", b"no picture", bomb(), PHOTO.read_bytes()[:2000], b"GIF89a"]
)
@pytest.mark.parametrize("path", ["/photo", "/photo/measure", "/photo/suggest", "/api/trace"])
def test_what_is_no_photo_is_refused(client: TestClient, photo: bytes, path: str) -> None:
    told = sent(client, path, photo)
    assert told.status_code in {200, 422}
    if path == "/photo":
        assert "found" in seen(told.text) or "Length" in seen(told.text)


def test_a_photo_beyond_the_limit_is_refused(client: TestClient) -> None:
    told = sent(client, "/photo/measure", b"\xff" * (MOST_BYTES + 2_000_000))
    assert told.status_code == 413


def test_no_part_of_a_photo_is_kept(
    client: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    before = {path for path in tmp_path.rglob("*") if path.is_file()}
    padded = io.BytesIO(PHOTO.read_bytes() + b"\0" * 3_000_000).getvalue()
    assert sent(client, "/photo/measure", padded).status_code == 200
    assert {path for path in tmp_path.rglob("*") if path.is_file()} == before


def test_points_are_read_with_commas_or_without() -> None:
    assert read_taps("hose 1,2\n\nedge 3 4.5").edges == ((3.0, 4.5),)
    with pytest.raises(InputError, match="points: line 2"):
        read_taps("hose 1 2\nhose inf 2")


def test_a_name_that_is_said_twice_reaches_the_bench_twice() -> None:
    """Two sizes that were read back, each with its own reply."""
    told = [
        ("service", "heater hose"), ("nipple_a.outside_diameter", "50 mm"), ("confirm", "1"),
        ("nipple_b.outside_diameter", "60 mm"), ("confirm", "2"),
    ]  # fmt: skip
    received = Received((*told, ("sheet", "a4"), ("points", "hose 1 2")), {})
    assert received.address(Shop()).pairs == tuple(told)
    assert received.fields == {"sheet": "a4", "points": "hose 1 2"}


@pytest.mark.parametrize(
    "route",
    [
        {"measured": "400 mm"},
        {"run": ["80 mm", {"bend": "90 deg", "radius": "60 mm", "turn": "45 deg"}, "9 cm"]},
        {
            "free": {
                "offset": {"forward": "300 mm"},
                "nipple_a_points": "up",
                "nipple_b_points": "up",
            }
        },
        {"measured": 400, "low_spot": "no"},
    ],
)
def test_a_photo_replaces_the_route_of_a_code(route: dict[str, Any]) -> None:
    job = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}, "route": route}
    told = with_run(Address((), encode_job(job)), "80 mm; 90 deg at 60 mm; 120 mm")
    read = told.interviewing.job()
    assert len(read.route.run) == 3
    assert (read.nipple_a.outside_diameter, read.route.low_spot) == (
        16,
        route.get("low_spot", "unknown"),
    )


def test_points_without_their_photo_are_not_passed_over(client: TestClient) -> None:
    told = sent(client, "/photo/measure", side_points="nonsense")
    assert told.status_code == 422
    assert "side: found none" in told.text


@pytest.mark.parametrize("again", [-3, -4, -8])
@pytest.mark.parametrize("end", ["last", "first"])
def test_a_tap_that_goes_back_at_an_end_is_seen(client: TestClient, again: int, end: str) -> None:
    """Also where the last step before it is too short to tell a direction."""
    rows = POINTS.splitlines()
    hose = [row for row in rows if row.startswith("hose")]
    if end == "last":
        rows.append(hose[again])
    else:
        rows.insert(rows.index(hose[0]), hose[-again - 1])
    told = sent(client, "/photo/measure", points="\n".join(rows))
    assert told.status_code == 422
    assert "the line turns back" in told.text
