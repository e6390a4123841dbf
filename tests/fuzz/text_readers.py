"""Readers of what people type: figures, names, directions, prints, codes, replies, options."""

from __future__ import annotations

import atexit
import io
import json
import os
import zlib
from base64 import b32encode
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from functools import cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory

from hoseselect.application.ask import interview
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.application.read import read_print
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import VARIABLE as CATALOG
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake import job_code
from hoseselect.intake.counter_question import counter_question
from hoseselect.intake.directions import read_direction
from hoseselect.intake.heading_words import guessed_key
from hoseselect.intake.hose_name import hoses_named
from hoseselect.intake.interview_answers import answered
from hoseselect.intake.interview_state import State
from hoseselect.intake.names import known_failure, known_fluid, known_service
from hoseselect.intake.offsets import read_box, read_movement, read_offset
from hoseselect.intake.read_job import read_job
from hoseselect.intake.replies import figures_in, yes_or_no
from hoseselect.intake.run_text import run_parts
from hoseselect.interfaces.cli.main import application
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.kinds import KINDS
from hoseselect.quantities.read import read_answer, read_quantity

from .reader import Reader

COMMANDS = ("pick", "check", "cut", "read", "explain")
"""Those that write no file but where they are told to."""
WHOLE_INTERVIEW = 16
"""Of as many inputs one is taken for all the replies of an interview."""
WRITING = ("-o", "--o", "--d", "--template", "--labels")


@cache
def small_shop() -> Path:
    """Return a folder with the few hoses of an example; it is gone at the end of the process."""
    place = TemporaryDirectory(prefix="hoseselect-fuzz-")
    atexit.register(place.cleanup)
    new_catalogue(Path(place.name) / "shop", example=True)
    return Path(place.name) / "shop"


@cache
def small_catalogue() -> Catalogue:
    """Return the few hoses of an example: what is read does not hang on how many there are."""
    return read_catalogue(small_shop())


def text_of(data: bytes) -> str:
    """Return bytes as the system hands them to a command: what is no UTF-8 as odd characters."""
    return data.decode("utf-8", "surrogateescape")


def quantity(data: bytes, _: Path) -> None:
    """Read every kind of figure, as one that may be negative and as one that may not."""
    text = text_of(data)
    ways: list[Callable[[], object]] = [lambda: read_answer(text, "")]
    ways += [lambda kind=kind: read_quantity(text, kind, "") for kind in KINDS]
    ways += [lambda: read_quantity(text, "length", "", minimum=0.0, maximum=5000.0)]
    each(ways)


def each(ways: Sequence[Callable[[], object]]) -> None:
    """Go every way; each of them may refuse."""
    for way in ways:
        try:
            way()
        except HoseselectError as error:
            str(error)


def name(data: bytes, _: Path) -> None:
    """Read names of lines, fluids, failures, hoses and headings."""
    text = text_of(data)
    each(
        [
            lambda: known_service(text),
            lambda: known_fluid(text),
            lambda: known_failure(text),
            lambda: hoses_named(text, small_catalogue()),
            lambda: guessed_key(text),
        ]
    )


def route(data: bytes, _: Path) -> None:
    """Read all that tells a route in words."""
    text = text_of(data)
    ways = (read_direction, read_offset, read_box, read_movement)
    each([*(lambda way=way: way(text) for way in ways), lambda: run_parts(text)])
    free = {"offset": text, "nipple_a_points": text, "nipple_b_points": text, "movement": text}
    keys = [{"run": text}, {"measured": text}, {"free": free}]
    keys += [{"free": {"offset": "up 90 mm", key: text}} for key in free if key != "offset"]
    each([lambda told=told: read_job({"service": "heater hose", "route": told}) for told in keys])


def print_on_hose(data: bytes, _: Path) -> None:
    """Read a print."""
    json.dumps(read_print(text_of(data)).as_json())


def code(data: bytes, _: Path) -> None:
    """Read a code as it is; or, behind a star, one whose checksum is right whatever it holds."""
    text = text_of(data)
    if data[:1] == b"*":
        packer = zlib.compressobj(9, zlib.DEFLATED, -15, 9, zlib.Z_DEFAULT_STRATEGY, job_code.WORDS)
        body = bytes([job_code.VERSION]) + packer.compress(data[1:]) + packer.flush()
        whole = zlib.crc32(body).to_bytes(4, "big") + body
        text = b32encode(whole).decode().rstrip("=").translate(job_code.TO_OURS)
    values = job_code.decode_job(text)
    assert job_code.decode_job(job_code.encode_job(values)) == values
    read_job(values)


def replies(data: bytes, _: Path) -> None:
    """Answer every question of the counter with each line, now and then a whole interview."""
    lines = text_of(data).split("\n")
    if len(data) % WHOLE_INTERVIEW:
        said = {"service": "coolant-heater"}
        state = State(said)
        asked = [counter_question(field) for field in table("counter_questions").column("input")]
        for line in lines[:3]:
            each([partial(figures_in, line), partial(yes_or_no, line)])
            each([partial(answered, state, one, line) for one in asked])
        return
    left = iter(lines)

    def ask(_question: object, _note: str) -> str:
        reply = next(left, None)
        if reply is None:
            raise InputError("reply", "the end of the input", "a reply")
        return reply

    interview(ask, small_catalogue())


def options(data: bytes, folder: Path) -> None:
    """Run a command with the lines as its arguments; no fault of the tool itself may come out."""
    first, *rest = text_of(data.replace(b"\0", b"")).split("\n")
    command = first if first in COMMANDS else "pick"
    arguments = [one for one in rest if not one.startswith(WRITING)]
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()), _in_small_shop():
        application((command,))([command, *arguments])


@contextmanager
def _in_small_shop() -> Iterator[None]:
    """Let commands take the small catalogue meanwhile."""
    before = os.environ.get(CATALOG)
    os.environ[CATALOG] = str(small_shop())
    try:
        yield
    finally:
        if before is None:
            del os.environ[CATALOG]
        else:
            os.environ[CATALOG] = before


def _route_seeds() -> list[bytes]:
    return [
        b"up and 35 deg forward",
        b"halfway between left and up",
        b"120 mm forward, 80 mm up",
        b"forward 12 cm; left 1 1/2 in",
        b"8 mm forward and back, 10 mm up",
        b"rocks sideways, 8 mm at B",
        b"twists 3 deg",
        b"60 mm; 90 deg at 110 mm; 180 mm",
        b"60; 45\xc2\xb0 R100 turn 180; 90 mm; bend 90 deg radius 4 in",
    ]


QUANTITIES = (
    *("9.5mm", "10 3/8", "3/8 in", "-6", "22 inHg vacuum", "230 °F", "15 psi", "30 mm around"),
    *("11/4", "1,5 bar", "5/16''", "-20 degC", "1 ft 3 in", "½ in", "90 deg", "50 L/min"),
    *("about 10", "1 250,5 mm", "unknown", "yes", "0.5 mpa", "60 Shore A", "1.250"),
)
PRINTS = (
    "SAE 30R7 KX 3/8 (9.5mm) 50 PSI MAX W.P. 3Q24",
    "SAE J20 R4 EPDM COOLANT 19MM",
    "DIN 73379 2A NBR 1/2 IN 10 BAR MADE 2021-05",
    "SAE J1401 BRAKE 1/8 HL",
    "R9",
)
REPLIES = (
    "heater hose\n16\nyes\nno\ndunno\n90 deg at 110\n<\n?\n20 mm\nsame\n",
    "it goes from the valve cover to the intake\noily\n10mm ish\nyep\n2\n1\n300\n",
    "fuel\n1\npetrol\n8 mm\n3 bar\nno idea\nrun\n",
)
OPTIONS = (
    "pick\n-s\nheater hose\n-n\n16 mm\n--run\n220; 60 deg at 150 mm; 300\n--json",
    "check\nC01-15.9\n-s\nheater hose\n-n\n16 mm\n--set\nduty.coldest_start=-25 degC",
    "cut\n-s\nheater hose\n--measured\n650 mm\n--hose\nC01-15.9\n--units\nin",
    "pick\n-s\nPCV hose\n--offset\n120 mm forward\n--points-a\nup\n--points-b\nback\n--top\n2",
    "read\nSAE 30R7",
    "explain\nbend-radius\n--json",
)


def _encoded(texts: Sequence[str]) -> Callable[[], list[bytes]]:
    return lambda: [text.encode() for text in texts]


def _name_seeds() -> list[bytes]:
    rows = [row["other_name"] for row in table("service_names")][::9]
    rows += [row["other_name"] for row in table("fluid_names")][::15]
    return [text.encode() for text in (*rows, "C01-15.9", "rubbed through", "SAE 30R7 1/2")]


def _code_seeds() -> list[bytes]:
    job = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}}
    return [job_code.encode_job(job).encode(), b"*" + json.dumps(job).encode(), b'*["a"]', b"*{}"]


FIGURE_WORDS = tuple(
    word.encode()
    for word in ("mm", "in", "bar", "kPa vacuum", "°C", "deg", "/", "1/2", "L/min", "around", "-")
)
TEXT_READERS = (
    Reader("quantity", quantity, _encoded(QUANTITIES), FIGURE_WORDS),
    Reader("name", name, _name_seeds, share=0.2),
    Reader("route", route, _route_seeds, (*FIGURE_WORDS, b"up", b"and", b"turn", b";"), share=0.3),
    Reader("print", print_on_hose, _encoded(PRINTS), (b"SAE", b"30R", b"DIN", b"J20", b"BAR")),
    Reader("code", code, _code_seeds, (b"*", b'"route"', b"{", b"[")),
    Reader("replies", replies, _encoded(REPLIES), (b"\n<\n", b"\n?\n", b"\ndunno\n"), share=0.1),
    Reader("options", options, _encoded(OPTIONS), (b"\n--set\n", b"\n--json", b"="), share=0.06),
)
