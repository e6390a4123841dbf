"""`hoseselect card`: the bench card, with a full-size bend template."""

from __future__ import annotations

import math
import sys
from datetime import date as calendar
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import typer

from hoseselect.interfaces.cli import job_input as given
from hoseselect.interfaces.cli.common import catalogue_in_use, known_units, write_json
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer, HoseAnswer
    from hoseselect.interfaces.paper.bench_card import BenchCard

HELP = """Write the bench card of a job as a PDF, with a bend template in full size behind it.

Exit code 1: the card says that the job is stopped or that nothing suits; it bears no length.

Examples:

  hoseselect card job.toml -o card.pdf

  hoseselect card job.toml -o card.pdf --hose K04-13 --paper letter --units in

  hoseselect card --code "H873P 8818C ..." -o card.pdf --svg --png
"""

OUTPUT = typer.Option(..., "--output", "-o", help="PDF to write.", metavar="FILE.pdf")
HOSE = typer.Option(
    None, "--hose", help="Hose size or type of the catalogue; without it, the best one."
)
PAPER = typer.Option("a4", "--paper", help="a4 or letter.")
SVG = typer.Option(False, "--svg", help="Write each page as SVG too: FILE-1.svg, FILE-2.svg ...")
PNG = typer.Option(False, "--png", help="Write each page as PNG too: FILE-1.png, FILE-2.png ...")
DATE = typer.Option(None, "--date", help="Date on the card, as 2031-05-30; without it, today.")


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("card", help=HELP)(card)


def card(
    file: Path | None = given.FILE,
    output: Path = OUTPUT,
    hose: str | None = HOSE,
    paper: str = PAPER,
    svg: bool = SVG,
    png: bool = PNG,
    date: str | None = DATE,
    code: str | None = given.CODE,
    service: str | None = given.SERVICE,
    fluid: list[str] | None = given.FLUID,
    drips: list[str] | None = given.DRIPS,
    fluid_steady: str | None = given.FLUID_STEADY,
    fluid_peak: str | None = given.FLUID_PEAK,
    air_steady: str | None = given.AIR_STEADY,
    air_peak: str | None = given.AIR_PEAK,
    coldest_start: str | None = given.COLDEST,
    pressure_min: str | None = given.PRESSURE_MIN,
    pressure_max: str | None = given.PRESSURE_MAX,
    nipple: str | None = given.NIPPLE,
    nipple_a: str | None = given.NIPPLE_A,
    nipple_b: str | None = given.NIPPLE_B,
    bead: str | None = given.BEAD,
    measured_on: str | None = given.MEASURED_ON,
    run: str | None = given.RUN,
    measured: str | None = given.MEASURED,
    offset: str | None = given.OFFSET,
    points_a: str | None = given.POINTS_A,
    points_b: str | None = given.POINTS_B,
    moves: str | None = given.MOVES,
    tightest_radius: str | None = given.TIGHTEST,
    movement: str | None = given.MOVEMENT,
    insert: str | None = given.INSERT,
    turbo: str | None = given.TURBO,
    set_: list[str] | None = given.SET,
    catalog: str | None = given.CATALOG,
    units: str = given.UNITS,
    json: bool = given.JSON,
) -> None:
    """Write the bench card of a job."""
    options: dict[str, Any] = {**locals(), "set": set_}
    values = given.job_values(file, options)
    job = given.read(values, file, options)
    if output.suffix.lower() != ".pdf":
        raise InputError("--output", f"'{output.name}'", "a name that ends in .pdf")
    day = known_date(date)
    catalogue = catalogue_in_use(catalog)
    known_units(units)
    from hoseselect import __version__
    from hoseselect.application.pick import pick_hose
    from hoseselect.files.write_files import write_files
    from hoseselect.intake.job_code import encode_job
    from hoseselect.interfaces.paper.bench_card import BenchCard
    from hoseselect.interfaces.paper.bench_card_text import CardFrame, Paper

    if paper not in get_args(Paper):
        raise InputError("--paper", f"'{paper}'", " or ".join(get_args(Paper)))
    answer = pick_hose(job, catalogue, units=units)
    chosen = hose_of(answer, hose)
    radius = math.nan
    if chosen is not None:
        radius = float(catalogue.sizes.least_bend_radius[catalogue.sizes.index_of(chosen.hose)])
    frame = CardFrame(encode_job(values), day, units, paper, __version__)  # type: ignore[arg-type]
    card = BenchCard(answer, chosen, frame, radius)
    files = card_files(card, output, svg=svg, png=png)
    write_files(files, () if file is None else (file,))
    if json:
        write_json({
            "files": [str(path) for path in files],
            "code": frame.code,
            "hose": None if chosen is None else chosen.hose,
            "answer": answer.as_json(),
        })  # fmt: skip
    else:
        for path in files:
            sys.stdout.write(f"{path}\n")
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


def hose_of(answer: Answer, name: str | None) -> HoseAnswer | None:
    """Return the hose that a card is for: the best one, or the best of a size or type.

    Raises
    ------
    InputError
        when the catalogue does not hold the hose that is named.
    """
    if answer.stops:
        return None
    if name is None:
        return next(iter(answer.suits), None)
    named = [hose for hose in answer.hoses if name in {hose.hose, hose.hose_type}]
    if not named:
        raise InputError("--hose", f"'{name}'", "a hose type or size of the catalogue")
    return named[0]


def card_files(card: BenchCard, output: Path, *, svg: bool, png: bool) -> dict[Path, bytes | str]:
    """Return what is written where."""
    files: dict[Path, bytes | str] = {output: card.pdf()}
    for wanted, suffix, pages in ((svg, ".svg", card.svg), (png, ".png", card.png)):
        if wanted:
            for number, page in enumerate(pages(), start=1):
                files[output.with_name(f"{output.stem}-{number}{suffix}")] = page
    return files
