"""`hoseselect batch`: a sheet of jobs in, a sheet of answers out."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from time import perf_counter
from typing import TYPE_CHECKING, NamedTuple

import typer

from hoseselect.interfaces.cli.common import Screen, write_json
from hoseselect.interfaces.cli.job_input import CATALOG, JSON, UNITS
from hoseselect.interfaces.in_use import catalogue_in_use
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.application.run_batch import BatchSummary, Mapped
    from hoseselect.files.parquet_sheet import ParquetSheet
    from hoseselect.files.text_sheet import TextSheet
    from hoseselect.files.workbook_sheet import WorkbookSheet

HELP = """Answer a sheet of jobs, one line a job: CSV, XLSX or Parquet in and out.

Examples:

  hoseselect batch --template jobs.csv

  hoseselect batch jobs.csv -o answers.csv

  hoseselect batch ours.csv --suggest-headings > headings.toml

  hoseselect batch jobs.xlsx -o answers.xlsx --units in --json
"""
FILE = typer.Argument(None, help="Sheet of jobs, CSV, XLSX or Parquet.", metavar="FILE")
OUTPUT = typer.Option(
    None, "--output", "-o", help="Sheet of answers to write, .csv, .xlsx or .parquet."
)
TEMPLATE = typer.Option(None, "--template", help="Write an empty sheet of jobs and leave.")
SCHEMA = typer.Option(False, "--schema", help="Write the Table Schema of the columns and leave.")
KEEP = typer.Option(
    None, "--keep", help="Heading of a column of your own, carried over unread; '*' = all others."
)
HEADINGS = typer.Option(
    None,
    "--headings",
    help="What your own headings stand for, a TOML file; default headings.toml of the catalogue.",
)
SUGGEST = typer.Option(
    False, "--suggest-headings", help="Write a draft of that file for FILE and leave."
)
SHEET = typer.Option("", "--sheet", help="Sheet of a workbook; default the first that is shown.")
ENCODING = typer.Option("", "--encoding", help="Of a CSV file; default UTF-8.")
WORKERS = typer.Option(
    None, "--workers", min=1, help="Processes that answer; default one per processor."
)
SCHEDULER = typer.Option(
    "", "--scheduler", help="Address of a Dask scheduler whose workers answer.", metavar="ADDRESS"
)


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("batch", help=HELP)(batch)


def batch(
    file: Path | None = FILE,
    output: Path | None = OUTPUT,
    template: Path | None = TEMPLATE,
    schema: bool = SCHEMA,
    keep: list[str] | None = KEEP,
    headings: Path | None = HEADINGS,
    suggest: bool = SUGGEST,
    sheet: str = SHEET,
    encoding: str = ENCODING,
    workers: int | None = WORKERS,
    scheduler: str = SCHEDULER,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Answer a sheet of jobs."""
    if schema:
        from hoseselect.interfaces.sheets.batch_schema import schema as table_schema

        write_json(table_schema())
        return
    if template is not None:
        _write_template(template)
        return
    if file is None:
        raise InputError("FILE", "nothing", "a sheet of jobs; --template writes an empty one")
    if suggest:
        _suggest(file, sheet, encoding)
        return
    if output is None:
        raise InputError(
            "--output", "nothing", "the sheet of answers to write, .csv, .xlsx or .parquet"
        )
    source = Source(file, tuple(keep or ()), headings, sheet, encoding)
    if scheduler and workers:
        raise InputError("--workers", "--scheduler beside it", "one of them")
    _answer(source, output, catalog, units, scheduler or workers, json=json)


def _write_template(path: Path) -> None:
    from hoseselect.interfaces.sheets.template_sheet import write_template

    if path.exists():
        raise InputError("--template", f"'{path.name}', which is there", "a new name")
    write_template(path)
    Screen().line(f"{path}: fill in a line for each job; two lines show how.")


class Source(NamedTuple):
    """Where the jobs are read.

    Parameters
    ----------
    file : the sheet
    keep : headings of columns that are carried over unread
    headings : file that says what other headings stand for; None = that of the catalogue
    sheet, encoding : of a workbook, of a CSV file
    """

    file: Path
    keep: tuple[str, ...]
    headings: Path | None
    sheet: str
    encoding: str


def _suggest(file: Path, sheet: str, encoding: str) -> None:
    from hoseselect.files.open_sheet import open_sheet
    from hoseselect.intake.heading_map import suggested_headings

    source = open_sheet(file, name=sheet, encoding=encoding)
    sys.stdout.write(suggested_headings(source.lines(), file.name))


def _answer(
    asked: Source,
    output: Path,
    catalog: str | None,
    units: str,
    workers: str | int | None,
    *,
    json: bool,
) -> None:
    from hoseselect.application.run_batch import run_batch
    from hoseselect.catalogue.locate import catalogue_name
    from hoseselect.files.open_sheet import open_sheet
    from hoseselect.intake.heading_map import kept_headings
    from hoseselect.intake.job_sheet import job_sheet
    from hoseselect.interfaces.sheets.answer_sheet import answer_sheet

    start = perf_counter()
    file = asked.file
    source = open_sheet(file, name=asked.sheet, encoding=asked.encoding)
    catalogue = catalogue_in_use(catalog)
    jobs = job_sheet(
        source.lines(),
        file.name,
        asked.keep,
        source.hidden_columns,
        source.separator,
        kept_headings(asked.headings, catalogue.folder),
    )
    read = (file, *catalogue.folder.glob("*"))
    with (
        answer_sheet(output, source.separator or ",", read) as writer,
        _mapping(workers) as mapped,
        _bar(source) as progress,
    ):
        summary = run_batch(
            jobs, catalogue, writer.write, units=units, progress=progress, mapped=mapped
        )
    seconds = perf_counter() - start
    named = catalogue_name(catalogue.folder)
    if json:
        told = {"file": str(file), "output": str(output), "seconds": round(seconds, 3)}
        write_json({**told, "catalogue": named, **summary.as_json()})
    else:
        _show(summary, output, seconds, named)


def _mapping(workers: str | int | None) -> AbstractContextManager[Mapped]:
    """Give what answers blocks: so many workers here, None = usual, or those at an address."""
    if isinstance(workers, str):
        from hoseselect.interfaces.cli.cluster import on_cluster

        return on_cluster(workers)
    from hoseselect.interfaces.cli.workers import on_workers, processors

    return on_workers(workers or processors())


@contextmanager
def _bar(source: TextSheet | WorkbookSheet | ParquetSheet) -> Iterator[Callable[[int], None]]:
    """Give what shows the progress: a bar on a terminal, nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda _lines: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        BarColumn(),
        TextColumn("{task.fields[lines]} lines"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("", total=1.0, lines=0)
        yield lambda lines: progress.update(task, completed=source.share, lines=lines)


def _show(summary: BatchSummary, output: Path, seconds: float, catalogue: str) -> None:
    screen = Screen()
    lines = "1 line" if summary.lines == 1 else f"{summary.lines} lines"
    screen.line(f"{output}: {lines} answered in {seconds:.1f} s.")
    screen.item(f"from the catalogue {catalogue}")
    for verdict, count in sorted(summary.verdicts.items()):
        screen.item(f"{verdict}: {count}")
    if summary.errors:
        screen.heading("Lines that cannot be used")
        for error in summary.errors:
            screen.item(f"- {error}")
        more = summary.verdicts["error"] - len(summary.errors)
        if more > 0:
            screen.item(f"... and {more} more, each in its line of the sheet.")
