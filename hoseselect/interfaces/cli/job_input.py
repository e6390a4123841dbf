"""From options and a job file to a job; options win over the file.

One table holds the options that say what a job is; `takes_a_job` gives a command all of them.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from hoseselect.book.note import known_text
from hoseselect.domain.job import Job
from hoseselect.files.toml_file import read_toml
from hoseselect.intake.door import A_KEY, DEEPEST
from hoseselect.intake.run_text import run_parts
from hoseselect.intake.told_stops import told_stops
from hoseselect.interfaces.cli.book_number import entry_of, job_number
from hoseselect.interfaces.cli.common import one_of
from hoseselect.interfaces.cli.told_once import refuse_two_values, told_keys
from hoseselect.interfaces.in_use import settings_in_use
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.book.entry import Entry

MOST = 1_000_000
"""Bytes of a job file."""


@dataclass(frozen=True)
class JobOption:
    """An option that says something of the job.

    Parameters
    ----------
    flag : as typed; it may stand beside a short one, after a comma
    help : what it says
    key : of a job file; empty where the option is read in another way
    repeated : whether it may stand several times
    """

    flag: str
    help: str
    key: str = ""
    repeated: bool = False

    @property
    def name(self) -> str:
        """Name of the parameter."""
        return self.flag.partition(",")[0].removeprefix("--").replace("-", "_")

    def parameter(self) -> inspect.Parameter:
        """Return the parameter of a command."""
        kind: Any = list[str] | None if self.repeated else str | None
        option = typer.Option(None, *self.flag.split(","), help=self.help)
        return _parameter(self.name, kind, option)


OPTIONS = (
    JobOption("--code", "Code of a job from a bench card, instead of a job file."),
    JobOption("--service,-s", "What the line does, e.g. 'PCV hose'.", "service"),
    JobOption(
        "--fluid,-f", "Worst fuel or other fluid in the line; may be repeated.", "fluids", True
    ),
    JobOption(
        "--drips", "What drips on the hose, 'nothing' or 'unknown'; may be repeated.", "drips", True
    ),
    JobOption("--fluid-steady", "Fluid, steady, e.g. '110 degC'.", "duty.fluid_steady"),
    JobOption("--fluid-peak", "Fluid, for short times.", "duty.fluid_peak"),
    JobOption("--air-steady", "Air round the hose, steady.", "duty.air_steady"),
    JobOption("--air-peak", "Air round the hose, for short times.", "duty.air_peak"),
    JobOption("--coldest-start", "Coldest start, e.g. '-25 degC'.", "duty.coldest_start"),
    JobOption(
        "--pressure-min",
        "Deepest suction, e.g. '-65 kPa' or '20 inHg vacuum'.",
        "duty.pressure_min",
    ),
    JobOption("--pressure-max", "Highest pressure, e.g. '15 psi'.", "duty.pressure_max"),
    JobOption(
        "--nipple,-n",
        "Outside diameter of both nipples on the plain part.",
        "nipples.outside_diameter",
    ),
    JobOption("--nipple-a", "Outside diameter of nipple A alone.", "nipple_a.outside_diameter"),
    JobOption("--nipple-b", "Outside diameter of nipple B alone.", "nipple_b.outside_diameter"),
    JobOption("--old-bore", "Bore of the hose that came off: a hint only.", "old_hose.bore"),
    JobOption("--old-length", "Length of the hose that came off: a hint only.", "old_hose.length"),
    JobOption("--bead", "Beads on the nipples: yes, no, unknown, or diameter."),
    JobOption(
        "--measured-on",
        "Where the caliper sat on a beaded nipple: plain or bead.",
        "nipples.measured_on",
    ),
    JobOption("--run,-r", "Straights and bends: '60 mm; 90 deg at 110 mm; 180 mm'."),
    JobOption("--measured", "Path from nipple mouth to nipple mouth, by string.", "route.measured"),
    JobOption(
        "--offset",
        "Nipple B from A on a free route: '120 mm forward, 80 mm up'.",
        "route.free.offset",
    ),
    JobOption(
        "--points-a",
        "Where nipple A points: 'straight up', 'forward and 30 deg up'.",
        "route.free.nipple_a_points",
    ),
    JobOption("--points-b", "Where nipple B points.", "route.free.nipple_b_points"),
    JobOption(
        "--moves",
        "Movement of B on a free route: '8 mm forward, 10 mm up', 'rocks sideways, 8 mm at B'.",
        "route.free.movement",
    ),
    JobOption(
        "--tightest-radius",
        "Centreline radius of the tightest bend, with --measured.",
        "route.tightest_radius",
    ),
    JobOption("--movement", "Relative movement of the two ends.", "route.movement"),
    JobOption(
        "--insert",
        "What sat in the old hose: none, restrictor, check-valve, flame-trap, unknown.",
        "features.insert",
    ),
    JobOption("--turbo", "Turbocharged engine: yes, no, unknown.", "features.turbo"),
    JobOption(
        "--set", "Any other key of a job file: 'duty.pressure_spike=1200 kPa'.", repeated=True
    ),
)
"""Every option that says what a job is, in the order in which the help shows them."""

FILE = typer.Argument(
    None,
    help="Job file in TOML, or number of a job in the book; options win over it.",
    metavar="JOB",
)
NOTE = typer.Option(None, "--note", help="Whose vehicle, for the job book.")
NO_BOOK = typer.Option(False, "--no-book", help="Leave this job out of the job book.")
CATALOG = typer.Option(None, "--catalog", help="Folder of the shop's own catalogue.")
UNIT_WORDS = {
    **dict.fromkeys(("inch", "inches", '"', "imperial"), "in"),
    **dict.fromkeys(("millimetre", "millimetres", "millimeters", "metric"), "mm"),
}
UNITS = one_of(
    "--units",
    ("mm", "in"),
    "What is shown first, and the cut's step.",
    UNIT_WORDS,
    usual=lambda: settings_in_use().units,
)
JSON = typer.Option(False, "--json", help="Write the answer as JSON.")
TOP = typer.Option(
    None, "--top", min=0, help="With --json: hoses that are written in full, best first; else all."
)
FULL = typer.Option(False, "--full", help="Show everything, not the first screen alone.")

LONGEST_SHOWN = 60
KEY_AND_VALUE = "KEY=VALUE"
"""Name of the argument by which answers of a job of the book are altered."""


@dataclass(frozen=True)
class JobInput:
    """A job as it was given on the command line.

    Parameters
    ----------
    file : job file, or a number of the book in its place, where there is one
    options : what was typed, by the name of the option; None or nothing where it was not
    units : "in" where bare pressures and temperatures are asked about
    note : whose vehicle
    no_book : whether the job is left out of the job book
    place_of_keys : name of the option or argument by which any key was typed
    """

    file: Path | None
    options: Mapping[str, Any]
    units: str = "mm"
    note: str = ""
    no_book: bool = False
    place_of_keys: str = "--set"

    @cached_property
    def number(self) -> int | None:
        """Number of the job in the book; None where it was not given by its number."""
        return None if self.file is None else job_number(self.file)

    @property
    def inputs(self) -> tuple[Path, ...]:
        """The files that were read: no output may take their place."""
        return () if self.file is None or self.number is not None else (self.file,)

    @property
    def altered(self) -> bool:
        """Whether an option says something of the job."""
        return any(value not in (None, [], ()) for value in self.options.values())

    @cached_property
    def entry(self) -> Entry | None:
        """The line of the book, where the job was given by its number."""
        return None if self.number is None else entry_of(self.number)

    @property
    def note_before(self) -> str:
        """The note that stands beside the job in the book."""
        return "" if self.entry is None else self.entry.asked.note

    def values(self) -> dict[str, Any]:
        """Return the job with keys as in a job file.

        Raises
        ------
        InputError
            when the file, number or code cannot be read.
        """
        return self._values

    @cached_property
    def _values(self) -> dict[str, Any]:
        values = self._given()
        stopping = told_stops(values)
        by_option = dict(self._by_option(values))
        stopping = told_stops(values) | stopping
        keys = told_keys(self.options.get("set") or (), self.place_of_keys)
        refuse_two_values(by_option, keys, self.place_of_keys, stopping)
        for key, value in (*keys.items(), *stopping.items()):
            put(values, key, value)
        return values

    def _by_option(self, values: dict[str, Any]) -> Iterator[tuple[str, tuple[str, str]]]:
        """Put what the options say into a job; yield each key with its option and text."""
        for option in OPTIONS:
            told = self.options.get(option.name)
            if told in (None, [], ()):
                continue
            key, value = option.key, told
            if option.name == "bead":
                key, value = _bead(told)
            elif option.name == "run" and told:
                key, value = "route.run", run_parts(told, "--run")
            if key:
                put(values, key, value)
                text = told if isinstance(told, str) else ", ".join(told)
                yield key, (option.flag.partition(",")[0], text)

    def _given(self) -> dict[str, Any]:
        """Return the job of a file, a number or a code, or an empty one."""
        code = self.options.get("code")
        if code is None:
            if self.entry is not None:
                return deepcopy(dict(self.entry.asked.job))
            return job_file(self.file) if self.file else {}
        if self.file is not None:
            found = f"a code beside the job {self.file.name}"
            raise InputError("--code", found, "one of the two")
        from hoseselect.intake.job_code import decode_job

        return decode_job(code)

    def read(self, values: dict[str, Any]) -> Job:
        """Return the job of `values`.

        Raises
        ------
        InputError
            when no service is given, or a key cannot be used.
        """
        if "service" not in values:
            expected = "what the line does: --service, or service = ... in a job file"
            raise InputError("service", "nothing", expected)
        from hoseselect.intake.read_job import read_job

        place = "--code" if self.options.get("code") is not None else "job"
        if self.file is not None:
            place = self.file.name if self.number is None else f"job {self.number}"
        return read_job(values, place, self.units)

    def job(self) -> Job:
        """Return the job.

        Raises
        ------
        InputError
            when the file or code cannot be read, or a key cannot be used.
        """
        return self.read(self.values())


def numbered(number: int, answers: Sequence[str] = (), note: str | None = None) -> JobInput:
    """Return a job of the book by its number, with some answers altered.

    Parameters
    ----------
    number : of the job
    answers : key=value each, as for --set
    note : whose vehicle, where it is another one
    """
    told = known_text(note, "--note")
    keys = {"set": list(answers)}
    return JobInput(Path(f"#{number}"), keys, note=told, place_of_keys=KEY_AND_VALUE)


def takes_a_job(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the job file and every option of a job, in place of its `given`.

    Parameters
    ----------
    command : has a parameter `given`, a `JobInput`
    """
    own = inspect.signature(command, eval_str=True).parameters
    added = [_parameter("file", Path | None, FILE), *(option.parameter() for option in OPTIONS)]
    parameters = []
    for name, parameter in own.items():
        parameters += added if name == "given" else [parameter.replace(kind=KEYWORD)]
    parameters += [_parameter("note", str | None, NOTE), _parameter("no_book", bool, NO_BOOK)]

    def called(**values: Any) -> None:
        options = {option.name: values.pop(option.name) for option in OPTIONS}
        units = values.get("units", "mm")
        file, note = values.pop("file"), known_text(values.pop("note", None), "--note")
        own = JobInput(file, options, units, note, values.pop("no_book", False))
        command(given=own, **values)

    called.__name__, called.__doc__ = command.__name__, command.__doc__
    called.__annotations__ = {one.name: one.annotation for one in parameters}
    called.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    return called


KEYWORD = inspect.Parameter.KEYWORD_ONLY


def _parameter(name: str, kind: Any, default: Any) -> inspect.Parameter:
    return inspect.Parameter(name, KEYWORD, default=default, annotation=kind)


def job_file(path: Path) -> dict[str, Any]:
    """Return a job file as a mapping.

    Raises
    ------
    InputError
        when it is not there, is no text, or is no TOML.
    """
    return read_toml(path, "a job file in TOML", most=MOST, key=A_KEY)


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


def _bead(text: str) -> tuple[str, str]:
    """Return key and value of what is said of the beads: whether, or how thick."""
    from hoseselect.quantities.read import read_answer

    try:
        return "nipples.bead", read_answer(text, "--bead")
    except InputError:
        return "nipples.bead_diameter", text
