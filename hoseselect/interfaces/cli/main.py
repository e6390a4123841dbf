"""The command line: each command reads input, calls one use case, shows the answer."""

from __future__ import annotations

import io
import os
import sys

# The matrices are small: threads of the linear algebra only get in each other's way.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import typer

from hoseselect.catalogue.complaint import printable
from hoseselect.interfaces.cli import (
    ask,
    catalog,
    check,
    cut,
    demo,
    explain,
    pick,
    read,
    rolls,
    ticket,
)
from hoseselect.knowledge.errors import HoseselectError

UNUSABLE = 2

app = typer.Typer(
    name="hoseselect",
    help=(
        "Choose bulk hose for PCV, breather and other auxiliary lines under the bonnet of a road"
        " vehicle, and say how long to cut it. The tool advises; the person at the vehicle decides"
        " and checks."
    ),
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

for module in (demo, pick, check, cut, ticket, ask, read, explain, rolls):
    module.register(app)
app.add_typer(catalog.app, name="catalog")


@app.callback(invoke_without_command=True)
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
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    try:
        app()
    except HoseselectError as error:
        for line in str(error).split("\n"):
            sys.stderr.write(f"{printable(line)}\n")
        sys.exit(UNUSABLE)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(UNUSABLE)


if __name__ == "__main__":
    run()
