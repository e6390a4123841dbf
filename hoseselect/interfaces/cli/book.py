"""`hoseselect book`: the shop's job book."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from hoseselect.interfaces.cli.common import write_json
from hoseselect.interfaces.cli.job_input import (
    CATALOG,
    FULL,
    JSON,
    KEY_AND_VALUE,
    JobInput,
    numbered,
)
from hoseselect.interfaces.in_use import book_in_use, not_ahead, today
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.book.job_book import JobBook

HELP = """The job book: every job that was asked has a number. It lies on this machine alone.

Examples:

  hoseselect book list

  hoseselect book search "blue van" --service heater

  hoseselect book alter 41 "duty.coldest_start=-30 degC"

  hoseselect book fitted 41 yes --hose C05-16
"""
NUMBER = typer.Argument(..., help="Number of the job.", metavar="N")
DAY = typer.Option(None, "--on", help="Day, as 2031-05-30; without it, today.")
FEW = 20

app = typer.Typer(help=HELP, no_args_is_help=True, rich_markup_mode=None)


def the_book() -> JobBook:
    """Return the book in use.

    Raises
    ------
    InputError
        when none is kept.
    """
    from hoseselect.book.job_book import JobBook

    file = book_in_use()
    if file is None:
        raise InputError("book", "no job book, which is switched off", "`settings set book on`")
    return JobBook(file)


def done_on(text: str | None) -> date:
    """Return the day on which something was done.

    Raises
    ------
    InputError
        when it is none, or still to come.
    """
    return not_ahead(day_of(text, "--on"), "--on")


def day_of(text: str | None, option: str) -> date:
    """Return a day, today where none is told.

    Raises
    ------
    InputError
        when it is no day.
    """
    try:
        return today() if text is None else date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(option, ascii(text)[:60], "a day such as 2031-05-30") from None


@app.command("list", help="List the jobs, newest first.")
def list_jobs(
    most: int = typer.Option(FEW, "--most", min=1, help="How many."), json: bool = JSON
) -> None:
    """List the jobs."""
    from hoseselect.interfaces.cli.show_book import show_entries

    show_entries(the_book().find(most=most), json=json)


@app.command("search", help="Find jobs by what stands in the note, by service, hose or day.")
def search(
    note: str = typer.Argument("", help="Words of the note or of the job's name."),
    service: str = typer.Option("", "--service", "-s", help="The line, or a part of its name."),
    hose: str = typer.Option("", "--hose", help="Hose that was offered or fitted."),
    since: str | None = typer.Option(None, "--since", help="First day, as 2031-05-30."),
    until: str | None = typer.Option(None, "--until", help="Last day, as 2031-05-30."),
    json: bool = JSON,
) -> None:
    """Find jobs."""
    from hoseselect.interfaces.cli.show_book import show_entries

    found = the_book().find(
        note=note,
        service=service,
        hose=hose,
        since=None if since is None else day_of(since, "--since"),
        until=None if until is None else day_of(until, "--until"),
    )
    show_entries(found, json=json)


@app.command("show", help="Show a job and its answer again.")
def show(
    number: int = NUMBER,
    full: bool = FULL,
    catalog: str | None = CATALOG,
    json: bool = JSON,
) -> None:
    """Show a job and its answer again."""
    from hoseselect.interfaces.cli.show_book import show_again

    entry = the_book().entry(number)
    raise typer.Exit(show_again(entry, numbered(number), catalog, json=json, full=full))


@app.command("alter", help="Alter answers of a job: a new number, and the answer again.")
def alter(
    number: int = NUMBER,
    answers: list[str] = typer.Argument(
        ...,
        help="Key of a job file and value: 'duty.coldest_start=-30 degC'.",
        metavar=KEY_AND_VALUE,
    ),
    note: str | None = typer.Option(None, "--note", help="Another note; else the same."),
    full: bool = FULL,
    catalog: str | None = CATALOG,
    json: bool = JSON,
) -> None:
    """Alter answers of a job."""
    from hoseselect.interfaces.cli.show_book import show_altered

    given: JobInput = numbered(number, answers, note)
    entry = the_book().entry(number)
    raise typer.Exit(show_altered(entry, given, catalog, json=json, full=full))


@app.command("fitted", help="Note whether a hose was fitted, and which.")
def fitted(
    number: int = NUMBER,
    answer: str = typer.Argument(..., help="yes or no.", metavar="yes|no"),
    hose: str | None = typer.Option(None, "--hose", help="Which; without it, the one offered."),
    on: str | None = DAY,
    recheck: str | None = typer.Option(
        None, "--recheck", help="Day of the re-check; without it, two weeks on."
    ),
) -> None:
    """Note whether a hose was fitted."""
    from hoseselect.interfaces.cli.show_book import said
    from hoseselect.quantities.read import read_answer

    known, book = read_answer(answer, "yes|no"), the_book()
    if known == "unknown":
        raise InputError("yes|no", ascii(answer)[:60], "yes or no")
    if known == "no":
        book.not_fitted(number)
        said(f"Job {number}: nothing was fitted.")
        return
    from hoseselect.application.note_fitted import note_fitted
    from hoseselect.book.note import known_text

    again = None if recheck is None else day_of(recheck, "--recheck")
    told = note_fitted(book, number, known_text(hose, "--hose"), done_on(on), again)
    if not told.offered:
        said(f"[!] It is not what was offered: look with `hoseselect check {told.hose} {number}`.")
    said(f"Job {number}: {told.hose} fitted; to be looked at again by {told.recheck.isoformat()}.")


@app.command("due", help="List fitted hoses that are to be looked at again.")
def due(
    by: str | None = typer.Option(None, "--by", help="Day, as 2031-05-30; without it, today."),
    json: bool = JSON,
) -> None:
    """List what is to be looked at again."""
    from hoseselect.interfaces.cli.show_book import show_entries

    show_entries(the_book().due(day_of(by, "--by")), json=json)


@app.command("done", help="Note that a fitted hose was looked at again.")
def done(number: int = NUMBER, on: str | None = DAY) -> None:
    """Note that a fitted hose was looked at again."""
    from hoseselect.interfaces.cli.show_book import said

    day = done_on(on)
    the_book().done(number, day)
    said(f"Job {number}: looked at again on {day.isoformat()}.")


@app.command("export", help="Write the book as a CSV sheet.")
def export(file: Path = typer.Argument(..., metavar="FILE.csv")) -> None:
    """Write the book as a CSV sheet."""
    from hoseselect.files.write_files import write_files
    from hoseselect.interfaces.cli.show_book import said
    from hoseselect.interfaces.sheets.book_sheet import book_text

    book = the_book()
    found = book.find()
    write_files({file: book_text(found).encode("utf-8-sig")}, (book.file,))
    said(f"{file}: {len(found)} jobs.")


@app.command("code", help="Write the long code of a job, for another till: `pick --code`.")
def code(
    number: int = NUMBER,
    square: Path | None = typer.Option(
        None, "--square", help="Write it as a square to scan, .svg or .png."
    ),
) -> None:
    """Write the long code of a job."""
    from hoseselect.intake.job_code import encode_job
    from hoseselect.interfaces.cli.show_book import said

    long = encode_job(the_book().entry(number).asked.job)
    if square is None:
        said(long)
        return
    from hoseselect.files.write_files import write_files
    from hoseselect.interfaces.paper.square import Square

    picture, kind = Square(long.replace(" ", "")), square.suffix.lower()
    if kind not in {".svg", ".png"}:
        raise InputError("--square", f"'{square.name}'", "a name that ends in .svg or .png")
    write_files({square: picture.svg(MODULE) if kind == ".svg" else picture.png()})
    said(str(square))


MODULE = 0.5
"""Side of a module of the square [mm]."""


@app.command("forget", help="Take a job out of the book for good.")
def forget(number: int = NUMBER) -> None:
    """Take a job out of the book."""
    from hoseselect.interfaces.cli.show_book import said

    the_book().forget(number)
    said(f"Job {number} is gone; its number is not given again.")


@app.command("where", help="Say where the book is, and how it is deleted.")
def where(json: bool = JSON) -> None:
    """Say where the book is."""
    from hoseselect.interfaces.cli.show_book import show_place

    file = book_in_use()
    if json:
        write_json({"file": None if file is None else str(file)})
    else:
        show_place(file)


def register(parent: typer.Typer) -> None:
    """Add the commands on the book."""
    parent.add_typer(app, name="book")
