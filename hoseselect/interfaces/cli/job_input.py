"""From options and a job file to a job; options win over the file."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import typer

from hoseselect.domain.job import Job
from hoseselect.intake.door import A_KEY, DEEPEST
from hoseselect.intake.run_text import run_pieces
from hoseselect.knowledge.errors import InputError

SERVICE = typer.Option(None, "--service", "-s", help="What the line does, e.g. 'PCV hose'.")
FLUID = typer.Option(
    None, "--fluid", "-f", help="Worst fuel or other fluid in the line; may be repeated."
)
DRIPS = typer.Option(
    None, "--drips", help="What drips on the hose, 'nothing' or 'unknown'; may be repeated."
)
FLUID_STEADY = typer.Option(None, "--fluid-steady", help="Fluid, steady, e.g. '110 degC'.")
FLUID_PEAK = typer.Option(None, "--fluid-peak", help="Fluid, for short times.")
AIR_STEADY = typer.Option(None, "--air-steady", help="Air round the hose, steady.")
AIR_PEAK = typer.Option(None, "--air-peak", help="Air round the hose, for short times.")
COLDEST = typer.Option(None, "--coldest-start", help="Coldest start, e.g. '-25 degC'.")
PRESSURE_MIN = typer.Option(
    None, "--pressure-min", help="Deepest suction, e.g. '-65 kPa' or '20 inHg vacuum'."
)
PRESSURE_MAX = typer.Option(None, "--pressure-max", help="Highest pressure, e.g. '15 psi'.")
NIPPLE = typer.Option(
    None, "--nipple", "-n", help="Outside diameter of both nipples on the plain part."
)
NIPPLE_A = typer.Option(None, "--nipple-a", help="Outside diameter of nipple A alone.")
NIPPLE_B = typer.Option(None, "--nipple-b", help="Outside diameter of nipple B alone.")
BEAD = typer.Option(None, "--bead", help="Beads on the nipples: yes, no, unknown, or diameter.")
RUN = typer.Option(
    None, "--run", "-r", help="Straights and bends: '60 mm; 90 deg at 110 mm; 180 mm'."
)
MEASURED = typer.Option(
    None, "--measured", help="Path from nipple mouth to nipple mouth, by string."
)
TIGHTEST = typer.Option(
    None, "--tightest-radius", help="Centreline radius of the tightest bend, with --measured."
)
MOVEMENT = typer.Option(None, "--movement", help="Relative movement of the two ends.")
INSERT = typer.Option(
    None,
    "--insert",
    help="What sat in the old hose: none, restrictor, check-valve, flame-trap, unknown.",
)
TURBO = typer.Option(None, "--turbo", help="Turbocharged engine: yes, no, unknown.")
OFFSET = typer.Option(
    None, "--offset", help="Nipple B from A on a free route: 'forward 120 mm; up 80 mm'."
)
POINTS_A = typer.Option(
    None, "--points-a", help="Where nipple A points: 'up', 'forward and 30 deg up'."
)
POINTS_B = typer.Option(None, "--points-b", help="Where nipple B points.")
MOVES = typer.Option(
    None, "--moves", help="Movement of B against A on a free route: 'forward 8 mm; up 10 mm'."
)
MEASURED_ON = typer.Option(
    None, "--measured-on", help="Where the caliper sat on a beaded nipple: plain or bead."
)
SET = typer.Option(
    None, "--set", help="Any other key of a job file: 'duty.pressure_spike=1200 kPa'."
)
CATALOG = typer.Option(None, "--catalog", help="Folder of the shop's own catalogue.")
UNITS = typer.Option("mm", "--units", help="mm or in: what is shown first, and the cut's step.")
JSON = typer.Option(False, "--json", help="Write the answer as JSON.")
CODE = typer.Option(None, "--code", help="Code of a job from a bench card, instead of a job file.")
FILE = typer.Argument(None, help="Job file in TOML; options win over it.", metavar="JOB")

KEY_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+"""
DEEP_KEY = re.compile(rf"(?:^|[\[{{,])[ \t]*(?:{KEY_PART}){{{DEEPEST + 1}}}", re.MULTILINE)
"""A dotted key of more parts than any job has: reading it would take time without end."""

LONGEST_SHOWN = 60

PLACES = {
    "service": "service",
    "fluid": "fluids",
    "drips": "drips",
    "fluid_steady": "duty.fluid_steady",
    "fluid_peak": "duty.fluid_peak",
    "air_steady": "duty.air_steady",
    "air_peak": "duty.air_peak",
    "coldest_start": "duty.coldest_start",
    "pressure_min": "duty.pressure_min",
    "pressure_max": "duty.pressure_max",
    "nipple": "nipples.outside_diameter",
    "nipple_a": "nipple_a.outside_diameter",
    "nipple_b": "nipple_b.outside_diameter",
    "measured_on": "nipples.measured_on",
    "offset": "route.free.offset",
    "points_a": "route.free.nipple_a_points",
    "points_b": "route.free.nipple_b_points",
    "moves": "route.free.movement",
    "measured": "route.measured",
    "tightest_radius": "route.tightest_radius",
    "movement": "route.movement",
    "insert": "features.insert",
    "turbo": "features.turbo",
}


def job_from(file: Path | None, options: dict[str, Any]) -> Job:
    """Return the job that a file, or a code, and options describe.

    Raises
    ------
    InputError
        when the file or code cannot be read, or a field cannot be used.
    """
    return read(job_values(file, options), file, options)


def read(values: dict[str, Any], file: Path | None, options: dict[str, Any]) -> Job:
    """Return the job of `job_values`.

    Raises
    ------
    InputError
        when a field cannot be used.
    """
    from hoseselect.intake.read_job import read_job

    place = "--code" if options.get("code") is not None else "job"
    return read_job(values, file.name if file else place, options.get("units", "mm"))


def job_values(file: Path | None, options: dict[str, Any]) -> dict[str, Any]:
    """Return the job that a file, or a code, and options describe, with keys as in a job file.

    Raises
    ------
    InputError
        when the file or code cannot be read.
    """
    values = _given(file, options.get("code"))
    for name, place in PLACES.items():
        value = options.get(name)
        if value is not None and value not in ([], ()):
            put(values, place, value)
    _put_bead(values, options.get("bead"))
    if options.get("run"):
        put(values, "route.run", run_pieces(options["run"]))
    for text in options.get("set") or ():
        key, sign, value = text.partition("=")
        if not sign or not key.strip():
            raise InputError("--set", f"'{text}'", "key=value, e.g. 'duty.coldest_start=-25 degC'")
        put(values, key.strip(), value.strip())
    if "service" not in values:
        raise InputError(
            "service", "nothing", "what the line does: --service, or service = ... in a job file"
        )
    return values


def _given(file: Path | None, code: str | None) -> dict[str, Any]:
    """Return the job of a file or of a code, or an empty one."""
    if code is None:
        return job_file(file) if file else {}
    if file is not None:
        raise InputError("--code", f"a code beside the job file {file.name}", "one of the two")
    from hoseselect.intake.job_code import decode_job

    return decode_job(code)


def job_file(path: Path) -> dict[str, Any]:
    """Return a job file as a mapping.

    Raises
    ------
    InputError
        when it is not there, is no text, or is no TOML.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
        if deep := DEEP_KEY.search(text):
            row = text.count("\n", 0, deep.start()) + 1
            raise InputError(f"{path}: line {row}", f"a key of more than {DEEPEST} parts", A_KEY)
        return tomllib.loads(text)
    except FileNotFoundError:
        raise InputError(str(path), "no such file", "a job file in TOML") from None
    except (OSError, UnicodeDecodeError):
        raise InputError(str(path), "a file that cannot be read", "UTF-8 text in TOML") from None
    except (ValueError, RecursionError) as error:  # also numbers and nesting without end
        found = str(error) if isinstance(error, tomllib.TOMLDecodeError) else "what is no TOML"
        raise InputError(str(path), found, 'TOML, e.g. service = "PCV hose"') from None


def put(values: dict[str, Any], place: str, value: Any) -> None:
    """Put a value at a dotted place of a mapping.

    Raises
    ------
    InputError
        when a part of the place holds a value already.
    """
    *parents, last = place.split(".", DEEPEST)
    if len(parents) == DEEPEST:
        raise InputError(place[:LONGEST_SHOWN], f"more than {DEEPEST} tables in one another", A_KEY)
    for name in parents:
        inner = values.setdefault(name, {})
        if not isinstance(inner, dict):
            raise InputError(place, f"a value in {name}", "a table there")
        values = inner
    values[last] = value


def _put_bead(values: dict[str, Any], text: str | None) -> None:
    if text is None:
        return
    from hoseselect.quantities.read import read_answer

    try:
        put(values, "nipples.bead", read_answer(text, "--bead"))
    except InputError:
        put(values, "nipples.bead_diameter", text)
