"""`hoseselect rolls`: cut a list of lengths from the rolls in stock with least waste."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import typer

from hoseselect.interfaces.cli.common import Screen, one_of, write_json
from hoseselect.interfaces.cli.job_input import CATALOG, JSON
from hoseselect.interfaces.in_use import catalogue_in_use, settings_in_use
from hoseselect.interfaces.wording import length
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.rolls.plan import RollPlan

HELP = """Say how to cut a list of lengths from the rolls and remnants in stock with least waste.

FILE has the headings hose_size, length, count and, if wanted, job, or is a sheet of answers from
`batch`; the stock is rolls.csv of the catalogue.

Example:

  hoseselect rolls orders.csv -o cut_list.csv --labels labels.pdf
"""
PAPER = one_of(
    "--paper", ("a4", "letter"), "Paper of the labels.", usual=lambda: settings_in_use().paper
)
NOTHING_SHORT, SHORT = 0, 1


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("rolls", help=HELP)(rolls)


def rolls(
    file: Path = typer.Argument(..., metavar="FILE", help="Lengths to cut, CSV or XLSX."),
    output: Path | None = typer.Option(None, "--output", "-o", help="Cut list, in CSV."),
    labels: Path | None = typer.Option(None, "--labels", help="Labels for the pieces, in PDF."),
    paper: str = PAPER,
    saw: str = typer.Option("unknown", "--saw", help="Length lost in each cut."),
    keep: str = typer.Option("unknown", "--keep", help="Least remnant worth keeping."),
    seconds: float = typer.Option(10.0, "--seconds", help="When to stop looking for better."),
    catalog: str | None = CATALOG,
    json: bool = JSON,
) -> None:
    """Plan the cuts."""
    from hoseselect.interfaces.sheets.order_sheet import read_orders
    from hoseselect.rolls.plan import RollOptions, plan_rolls
    from hoseselect.rolls.stock import lengths_or_usual, stock_of

    if not seconds > 0:
        raise InputError("--seconds", f"{seconds:g}", "a time above 0 s")
    if output is not None and output == labels:
        raise InputError("--labels", f"'{labels}', the cut list", "another name")
    catalogue = catalogue_in_use(catalog)
    orders = read_orders(file, catalogue.sizes.hose_size)
    saw_allowance, worth_keeping = lengths_or_usual(saw, keep)
    plan = plan_rolls(
        orders,
        stock_of(catalogue),
        RollOptions(saw_allowance, worth_keeping, time_limit=seconds),
    )
    written: dict[Path, bytes | str] = {}
    if output is not None:
        from hoseselect.interfaces.sheets.roll_sheet import cut_list_text

        written[output] = cut_list_text(plan).encode("utf-8-sig")
    if labels is not None:
        from hoseselect.interfaces.paper.roll_labels import labels_pdf

        written[labels] = labels_pdf(plan, paper)  # type: ignore[arg-type]
    if written:
        from hoseselect.files.write_files import write_files

        write_files(written, (file, *catalogue.folder.glob("*")))
    if json:
        from dataclasses import asdict

        write_json({"status": plan.status, "waste_mm": plan.waste, **asdict(plan)})
    else:
        _show(plan)
    raise typer.Exit(SHORT if plan.short else NOTHING_SHORT)


def _show(plan: RollPlan) -> None:
    screen = Screen()
    for hose in plan.hoses:
        screen.heading(f"{hose.hose_size} ({hose.status})")
        for roll in hose.rolls:
            place = f", {roll.stock.place}" if roll.stock.place else ""
            screen.item(f"{roll.stock.roll} ({length(roll.stock.length, 'mm')}{place})")
            for cut in roll.cuts:
                job = f"  {cut.job}" if cut.job else ""
                screen.item(f"cut {length(cut.length, 'mm', up=True)}{job}", 4)
            left = f"remnant {roll.remnant:.0f} mm to keep" if roll.remnant else "no remnant"
            screen.item(f"{left}, waste {roll.waste:.0f} mm", 4)
        for short in hose.short:
            screen.item(
                f"[x] short: {short.count} x {length(short.order.length, 'mm', up=True)}"
                f" {short.order.job}: {short.reason}"
            )
        for proof in hose.proofs:
            if proof.gap:
                screen.item(f"{proof.goal}: {proof.found:g} found, {proof.least:g} proven least", 4)
    screen.line("")
    screen.line(f"Waste in all {plan.waste:.0f} mm; the plan is {plan.status}.")
