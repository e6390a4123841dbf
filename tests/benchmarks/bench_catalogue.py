"""How long a supplier-like sheet of 5,000 sizes takes: import, check, coverage, pick.

Invented data. Run as a script; it prints one line a step, all measured in this one run, beside the
time of importing pandas as a measure of the machine.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TypeVar

TYPES = 100
SIZES = 50
MATERIALS = (
    ("EPDM", "EPDM", "-40", "125"),
    ("NBR", "CR", "-30", "100"),
    ("ECO", "ECO", "-40", "125"),
    ("VMQ", "VMQ", "-50", "180"),
    ("FKM", "ECO", "-30", "150"),
)
UPPER = (
    "Quality",
    "Lining",
    "Outer",
    "Carcass",
    "Temp. °C",
    "",
    "Bore mm",
    "",
    "",
    "Outside dia mm",
    "Bend radius mm",
    "WP bar",
    "Vacuum",
    "Coil m",
    "Price",
    "Catalogue page",
)
LOWER = (
    "",
    "",
    "",
    "",
    "min",
    "max",
    "nom",
    "min",
    "max",
    "",
    "",
    "",
    "bar vacuum",
    "",
    "per m",
    "",
)
MAPPING = """
[sheet]
decimal = "comma"

[columns]
hose_type = {heading = "Quality"}
liner = {heading = "Lining"}
cover = {heading = "Outer"}
reinforcement = {heading = "Carcass"}
temperature_cold = {heading = "Temp. °C min", unit = "°C"}
temperature_continuous = {heading = "Temp. °C max", unit = "°C"}
bore = {heading = "Bore mm nom", unit = "mm"}
bore_min = {heading = "Bore mm min", unit = "mm"}
bore_max = {heading = "Bore mm max", unit = "mm"}
outside_diameter = {heading = "Outside dia mm", unit = "mm"}
least_bend_radius = {heading = "Bend radius mm", unit = "mm"}
working_pressure_clamped = {heading = "WP bar", unit = "bar"}
suction_limit_hot = {heading = "Vacuum bar vacuum", unit = "bar vacuum"}
roll_length = {heading = "Coil m", unit = "m"}
price_per_m = {heading = "Price per m", unit = "m"}

[constants]
made_for_clamps = "yes"
family = "coolant"

[words.reinforcement]
"polyester braid" = "textile"
"braid + helix" = "textile-and-wire"
"plain" = "none"
"""
CARCASSES = ("polyester braid", "braid + helix", "plain")
Result = TypeVar("Result")


def comma(value: float) -> str:
    """Return a number with a decimal comma."""
    return f"{value:.10g}".replace(".", ",")


def supplier_rows(types: int = TYPES, sizes: int = SIZES) -> Iterator[tuple[str, ...]]:
    """Yield the rows of an invented sheet: two lines of headings, then one row a size."""
    yield UPPER
    yield LOWER
    for kind in range(types):
        liner, cover, cold, hot = MATERIALS[kind % len(MATERIALS)]
        for size in range(sizes):
            bore = 3.0 + 0.5 * size + 0.1 * (kind % 5)
            wall = 3.0 + 0.02 * size
            yield (
                f"Line {kind + 1}", liner, cover, CARCASSES[kind % len(CARCASSES)], cold, hot,
                comma(bore), comma(bore - 0.2), comma(bore + 0.2), comma(bore + 2 * wall),
                comma(round(8.0 * bore + 20.0)), comma(4.0 + 0.1 * (kind % 7)), "0,4", "20",
                comma(round(1.0 + 0.12 * bore, 2)), str(kind + 1),
            )  # fmt: skip


def write_csv(path: Path, rows: Iterator[tuple[str, ...]]) -> None:
    """Write rows with semicolons, as a spreadsheet does where the comma parts decimals."""
    path.write_text("".join(";".join(row) + "\r\n" for row in rows), encoding="utf-8")


def write_xlsx(path: Path, rows: Iterator[tuple[str, ...]]) -> None:
    """Write rows as a workbook: numbers as numbers, headings merged."""
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    for number, row in enumerate(rows):
        sheet.append([_number(cell) if number > 1 else cell or None for cell in row])
    for area in ("E1:F1", "G1:I1", "A1:A2", "B1:B2"):
        sheet.merge_cells(area)
    book.save(path)


def _number(cell: str) -> float | str:
    try:
        return float(cell.replace(",", "."))
    except ValueError:
        return cell


def timed(words: str, function: Callable[[], Result]) -> Result:
    """Run a function once and print how long it took."""
    start = time.perf_counter()
    result = function()
    sys.stdout.write(f"{words:<44}{time.perf_counter() - start:8.2f} s\n")
    return result


def main() -> None:
    """Measure."""
    from hoseselect.answer.coverage import coverage
    from hoseselect.application.check_catalogue import check_catalogue
    from hoseselect.application.import_catalogue import import_catalogue
    from hoseselect.application.pick import pick_hose
    from hoseselect.catalogue.read import read_catalogue
    from hoseselect.intake.read_job import read_job

    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        (home / "mapping.toml").write_text(MAPPING, encoding="utf-8")
        write_csv(home / "sheet.csv", supplier_rows())
        write_xlsx(home / "sheet.xlsx", supplier_rows())
        python = [sys.executable, "-c", "import pandas"]
        timed("import pandas, for comparison", lambda: subprocess.run(python, check=True))
        for kind in ("csv", "xlsx"):
            result = timed(
                f"import of {TYPES * SIZES} sizes from {kind.upper()}",
                lambda kind=kind: import_catalogue(  # type: ignore[misc]
                    home / f"sheet.{kind}", home / "mapping.toml", home / kind
                ),
            )
            if not result.written:
                raise SystemExit("\n".join(c.sentence for c in result.errors[:9]))
        same = (home / "csv/hose_sizes.csv").read_text() == (
            home / "xlsx/hose_sizes.csv"
        ).read_text()
        sys.stdout.write(f"both give the same sizes: {same}\n")
        catalogue = timed("reading the catalogue", lambda: read_catalogue(home / "csv"))
        timed("coverage alone", lambda: coverage(catalogue))
        timed("check with coverage", lambda: check_catalogue(home / "csv"))
        job = read_job(
            {"service": "coolant-heater", "nipples": {"outside_diameter": "16 mm", "bead": "yes"}},
            "job",
        )
        answer = timed("pick of one job", lambda: pick_hose(job, catalogue))
        timed("every finding of that pick for JSON", answer.as_json)


if __name__ == "__main__":
    main()
