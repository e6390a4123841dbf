"""The command line: each command reads input, calls one use case, shows the answer."""

from __future__ import annotations

import gc
import io
import os
import shutil
import sys
from _thread import interrupt_main
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from textwrap import wrap
from threading import Timer
from typing import Any

# The matrices are small: threads of the linear algebra only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# No plug-in has a say in what a job is, and looking for one takes longer than reading the job.
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")

import typer

from hoseselect.catalogue.complaint import printable
from hoseselect.interfaces.cli.told_once import told_once
from hoseselect.knowledge.errors import HoseselectError, InputError

UNUSABLE, OUR_FAULT = 2, 3
READER_LEFT = 141
"""128 and the number of SIGPIPE, as shells count what ends where nobody reads any more."""
TRACEBACK = "HOSESELECT_TRACEBACK"
"""Environment variable with which a fault of the tool itself shows where it happened."""
UNFORESEEN = "hoseselect: a fault of the tool itself"
NOTHING_DECIDED = f"Nothing is decided by it; {TRACEBACK}=1 shows where it happened."
LONGEST_TOLD = 200
MOMENT = 0.05
"""Seconds until who asked to end is heard again."""
OBJECTS = 50_000
"""New objects after which waste is looked for: a whole answer makes fewer."""
HELP = (
    "Choose bulk hose for PCV, breather and other auxiliary lines under the bonnet of a road"
    " vehicle, and say how long to cut it. The tool advises; the person at the vehicle decides"
    " and checks."
)
COMMANDS = (
    "demo",
    "pick",
    "check",
    "cut",
    "card",
    "ask",
    "read",
    "explain",
    "batch",
    "rolls",
    "trace",
    "catalog",
    "book",
    "settings",
    "page",
)


def application(names: Sequence[str] = COMMANDS) -> typer.Typer:
    """Return the command line with some commands; a run that names one loads that one alone."""
    made = typer.Typer(
        name="hoseselect",
        help=HELP,
        no_args_is_help=True,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    for name in names:
        import_module(f"hoseselect.interfaces.cli.{name}").register(made)
    made.callback(invoke_without_command=True)(version)
    told_once(made)
    return made


def __getattr__(name: str) -> Any:
    """Make the whole command line when it is asked for."""
    if name == "app":
        return application()
    raise AttributeError(name)


def _wanted(arguments: Sequence[str]) -> Sequence[str]:
    """Return the command that is named, or all where none is, or completion is asked for."""
    completing = any(name.endswith("_COMPLETE") for name in os.environ)
    named = bool(arguments) and arguments[0] in COMMANDS and not completing
    return (arguments[0],) if named else COMMANDS


def version(
    ctx: typer.Context,
    show: bool = typer.Option(False, "--version", help="Show the version and leave."),
) -> None:
    """Answer for the whole tool."""
    if show:
        from hoseselect import __version__

        typer.echo(f"hoseselect {__version__}")
        raise typer.Exit(0)
    if ctx.invoked_subcommand is None:
        typer.echo(ctx.get_help())


def run() -> None:
    """Run the command line; what cannot be used gives one clear sentence and exit code 2."""
    for name, mode in (("stdin", "r"), ("stderr", "w")):
        if getattr(sys, name) is None:  # it was closed
            setattr(sys, name, Path(os.devnull).open(mode))  # noqa: SIM115
    if not os.environ.get(TRACEBACK):
        sys.unraisablehook = _passed_over
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        _run_and_flush()
    except HoseselectError as error:
        _complain(str(error).split("\n"))
        sys.exit(UNUSABLE)
    except BrokenPipeError:
        with Path(os.devnull).open("w") as nowhere:
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        sys.exit(READER_LEFT)
    except OSError as error:
        where = printable(str(error.filename or "output"))
        _complain([f"{where}: {error.strerror or 'it cannot be used'}; nothing more is written"])
        sys.exit(UNUSABLE)
    except Exception as error:
        if os.environ.get(TRACEBACK):
            raise
        what = f"{type(error).__name__} {error}".split("\n")[0][:LONGEST_TOLD].strip()
        _complain([f"{UNFORESEEN}: {what}. {NOTHING_DECIDED}"])
        sys.exit(OUR_FAULT)


def _passed_over(missed: Any) -> None:
    """Say nothing of what a library cannot put away on a full disk: the fault itself is told.

    Who asks to end while something is put away is heard a moment later.
    """
    if missed.exc_type is KeyboardInterrupt:
        again = Timer(MOMENT, interrupt_main)
        again.daemon = True  # who has ended meanwhile needs to hear nothing
        again.start()


def _run_and_flush() -> None:
    """Run a command; what can no longer be written is an error here and not after the end."""
    out = sys.stdout
    if out is None:
        raise InputError("output", "what is closed", "a terminal, a file or a pipe")
    try:
        _loaded(_wanted(sys.argv[1:]))()
    finally:
        if sys.stdout is not out:  # put by the library in place of one whose reader has left
            raise BrokenPipeError
        out.flush()


def _loaded(names: Sequence[str]) -> typer.Typer:
    """Return the command line; what is loaded stays, so nothing of it is looked at as waste."""
    gc.set_threshold(OBJECTS)
    made = application(names)
    gc.freeze()
    return made


def _complain(sentences: Sequence[str]) -> None:
    """Write sentences on stderr without control characters, wrapped at a terminal."""
    lines = [printable(sentence) for sentence in sentences]
    if sys.stderr.isatty():
        width = shutil.get_terminal_size().columns
        lines = [row for line in lines for row in wrap(line, width) or [""]]
    sys.stderr.write("".join(f"{line}\n" for line in lines))


if __name__ == "__main__":
    run()
