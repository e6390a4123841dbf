"""Squares to scan: read back by a decoder of other hands."""

from __future__ import annotations

import io
import re

import pytest
import zxingcpp
from PIL import Image

from hoseselect.intake.job_code import decode_job, encode_job
from hoseselect.interfaces.paper.square import QUIET, Square
from hoseselect.knowledge.errors import InputError

JOB = {
    "service": "PCV hose",
    "nipples": {"outside_diameter": "13 mm", "bead": "yes"},
    "duty": {"pressure_min": "20 inHg vacuum", "coldest_start": "-25 degC"},
    "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "110 mm"}, "180 mm"]},
}


def decoded(png: bytes) -> list[str]:
    """Return what a scanner reads in a picture."""
    picture = Image.open(io.BytesIO(png)).convert("L")
    found = zxingcpp.read_barcodes(picture)
    assert [one.format.name for one in found] in ([], ["QRCode"])
    return [one.text for one in found]


def dots(svg: str, modules: int, scale: int = 8) -> bytes:
    """Return the modules that the strokes of an SVG draw, as a picture."""
    picture = Image.new("L", (modules * scale, modules * scale), 255)
    (strokes,) = re.findall(r'stroke="#000"[^>]* d="([^"]+)"', svg)
    x = y = 0.0
    for letter, text in re.findall(r"([Mmhv])([-\d. ]+)", strokes):
        steps = [float(one) for one in re.findall(r"-?[\d.]+", text)]
        if letter == "M":
            x, y = steps
        elif letter == "m":
            x, y = x + steps[0], y + steps[1]
        else:
            row, start = int((y - 0.5) * scale), int(x * scale)
            picture.paste(0, (start, row, start + int(steps[0] * scale), row + scale))
            x += steps[0]
    made = io.BytesIO()
    picture.save(made, format="PNG")
    return made.getvalue()


def test_a_decoder_of_other_hands_reads_the_code_of_a_job() -> None:
    code = encode_job(JOB).replace(" ", "")
    (read,) = decoded(Square(code).png())
    assert read == code
    assert decode_job(read) == JOB


def test_the_drawn_square_is_the_same_and_has_its_size() -> None:
    square = Square(encode_job(JOB).replace(" ", ""))
    svg = square.svg(0.5)
    assert decoded(dots(svg, square.modules)) == [square.text]
    side = f"{square.modules * 0.5:g}mm"
    assert f'<svg width="{side}" height="{side}"' in svg
    assert "<?xml" not in svg


def test_a_square_stands_soil_and_has_its_quiet_zone() -> None:
    square = Square("H873P8818C" * 8)
    picture = Image.open(io.BytesIO(square.png())).convert("L")
    quiet = QUIET * picture.width // square.modules
    left, top, right, bottom = picture.point(lambda dot: 255 - dot).getbbox() or (0,) * 4
    assert (left, top) == (quiet, quiet)
    assert (picture.width - right, picture.height - bottom) == (quiet, quiet)
    picture.paste(255, (picture.width // 2, picture.height // 2, *(picture.width * 5 // 8,) * 2))
    soiled = io.BytesIO()
    picture.save(soiled, format="PNG")
    assert decoded(soiled.getvalue()) == [square.text]


def test_the_check_sees_another_square() -> None:
    assert decoded(Square("H873P").png()) != ["H873Q"]
    picture = Image.new("L", (200, 200), 255)
    blank = io.BytesIO()
    picture.save(blank, format="PNG")
    assert decoded(blank.getvalue()) == []


def test_what_no_square_holds_is_refused() -> None:
    with pytest.raises(InputError, match="a text of 5000 letters"):
        Square("A" * 5000).png()
