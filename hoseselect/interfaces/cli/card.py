"""`hoseselect card`: the bench card, with a full-size bend template, or the customer's slip."""

from __future__ import annotations

import sys
from datetime import date as calendar
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from hoseselect.interfaces.cli.common import one_of, write_json
from hoseselect.interfaces.cli.job_input import CATALOG, JSON, UNITS, JobInput, takes_a_job
from hoseselect.interfaces.cli.keep import keep, write_number
from hoseselect.interfaces.in_use import catalogue_in_use, settings_in_use
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.interfaces.paper.bench_card import BenchCard

HELP = """Write the bench card of a job as a PDF, with a bend template in full size behind it.

Exit code 1: the card says STOP, NO or NOT YET; it bears no length. With --slip it is the slip for
the customer, on one page: what to look for, or who to go to.

Examples:

  hoseselect card job.toml -o card.pdf

  hoseselect card job.toml -o card.pdf --hose K04-13 --paper letter --units in

  hoseselect card job.toml -o slip.pdf --slip

  hoseselect card --code "H873P 8818C ..." -o card.pdf --svg --png
"""

OUTPUT = typer.Option(..., "--output", "-o", help="PDF to write.", metavar="FILE.pdf")
HOSE = typer.Option(
    None, "--hose", help="Hose size or type of the catalogue; without it, the best one."
)
PAPER = one_of(
    "--paper",
    ("a4", "letter"),
    "Paper to print on, in full size.",
    usual=lambda: settings_in_use().paper,
)
SVG = typer.Option(False, "--svg", help="Write each page as SVG too: FILE-1.svg, FILE-2.svg ...")
PNG = typer.Option(False, "--png", help="Write each page as PNG too: FILE-1.png, FILE-2.png ...")
SLIP = typer.Option(False, "--slip", help="Write the slip for the customer instead of the card.")
DATE = typer.Option(None, "--date", help="Date on the card, as 2031-05-30; without it, today.")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("card", help=HELP)(takes_a_job(card))


def card(
    given: JobInput,
    output: Path = OUTPUT,
    hose: str | None = HOSE,
    paper: str = PAPER,
    svg: bool = SVG,
    png: bool = PNG,
    slip: bool = SLIP,
    date: str | None = DATE,
    catalog: str | None = CATALOG,
    units: str = UNITS,
    json: bool = JSON,
) -> None:
    """Write the bench card of a job."""
    values = given.values()
    job = given.read(values)
    if output.suffix.lower() != ".pdf":
        raise InputError("--output", f"'{output.name}'", "a name that ends in .pdf")
    day = known_date(date)
    catalogue = catalogue_in_use(catalog)
    from hoseselect import __version__
    from hoseselect.application.pick import pick_hose
    from hoseselect.files.write_files import write_files
    from hoseselect.intake.job_code import encode_job
    from hoseselect.interfaces.cli.show_book import answered_then
    from hoseselect.interfaces.paper.bench_card_text import CardFrame
    from hoseselect.interfaces.paper.card_pages import pages_of_another
    from hoseselect.interfaces.paper.made_card import hose_of, made_card

    answer = pick_hose(job, catalogue, units=units)
    chosen = hose_of(answer, hose)
    if given.entry is not None and (then := answered_then(given.entry, answer)):
        sys.stderr.write(f"{then}\n")
    number = keep(given, "card", answer, units, {"hose": hose})
    frame = CardFrame(
        encode_job(values), day, units, paper, __version__, number  # type: ignore[arg-type]
    )  # fmt: skip
    card = made_card(answer, frame, chosen, named=hose is not None)
    files = card_files(card, output, slip=slip, svg=svg, png=png)
    outdated = pages_of_another(output, files)
    write_files(files, given.inputs, outdated)
    for path in outdated:
        sys.stderr.write(f"{path}: removed, a page of another card\n")
    if json:
        write_json({
            "number": number,
            "files": [str(path) for path in files],
            "code": frame.code,
            "hose": None if chosen is None else chosen.hose,
            "answer": answer.as_json(),
        })  # fmt: skip
    else:
        for path in files:
            sys.stdout.write(f"{path}\n")
        write_number(number)
    raise typer.Exit(card.exit_code)


def known_date(text: str | None) -> str:
    """Return a date as it stands on a card: the one given, or today's.

    Raises
    ------
    InputError
        when it is no date.
    """
    if text is None:
        return calendar.today().isoformat()
    try:
        return calendar.fromisoformat(text).isoformat()
    except ValueError:
        raise InputError("--date", f"'{text}'", "a date such as 2031-05-30") from None


def card_files(
    card: BenchCard, output: Path, *, slip: bool, svg: bool, png: bool
) -> dict[Path, bytes | str]:
    """Return what is written where."""
    from hoseselect.interfaces.paper.card_pages import marked

    files: dict[Path, bytes | str] = {output: card.pages("pdf", slip=slip)[0]}
    for wanted, form in ((svg, "svg"), (png, "png")):
        if wanted:
            pages = card.pages(form, slip=slip)  # type: ignore[arg-type]
            for number, page in enumerate(pages, start=1):
                files[output.with_name(f"{output.stem}-{number}.{form}")] = marked(page, form)
    return files
