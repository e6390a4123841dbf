"""Random shelves: rows of the built-in catalogue, as they are or changed, some of them lying."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable
from pathlib import Path

from .flowing import all_fluids
from .tables import ROOT, Row, read_rows, rows

CATALOGUE = ROOT / "catalog"
SIZES_OF_A_SHELF = 10


def write_shelf(folder: Path, chance: random.Random) -> tuple[float, ...]:
    """Write a shelf of a few sizes, and return the bores that it is about [mm]."""
    types = {row["hose_type"]: row for row in read_rows(CATALOGUE / "hose_types.csv")}
    sizes = read_rows(CATALOGUE / "hose_sizes.csv")
    bores = tuple(float(chance.choice(sizes)["bore_mm"]) for _ in range(2))
    near = [row for row in sizes if any(abs(float(row["bore_mm"]) - b) < 0.08 * b for b in bores)]
    shelf = [dict(row) for row in chance.sample(near, min(len(near), SIZES_OF_A_SHELF))]
    while len(shelf) < SIZES_OF_A_SHELF:
        shelf.append(dict(chance.choice(sizes)))
    made_types = []
    for place, size in enumerate(shelf):
        own = dict(types[size["hose_type"]])
        own["hose_type"] = size["hose_type"] = f"T{place}"
        size["hose_size"] = f"S{place}"
        if chance.random() < 0.65:
            change_type(own, chance)
            change_size(size, chance)
        made_types.append(own)
    write(folder / "hose_types.csv", made_types)
    write(folder / "hose_sizes.csv", shelf)
    clamps = read_rows(CATALOGUE / "clamps.csv")
    if chance.random() < 0.85:
        kept = [dict(row) for row in chance.sample(clamps, chance.choice((3, 15, len(clamps))))]
        for row in chance.sample(kept, chance.choice((0, 0, 2))):
            row["band_width_mm"] = ""
        write(folder / "clamps.csv", kept)
    write_rolls(folder / "rolls.csv", shelf, chance)
    return bores


def write(path: Path, made: Iterable[Row]) -> None:
    """Write rows of one form."""
    found = list(made)
    with path.open("w", encoding="utf-8", newline="") as lines:
        writer = csv.DictWriter(lines, list(found[0]))
        writer.writeheader()
        writer.writerows(found)


def write_rolls(path: Path, shelf: list[Row], chance: random.Random) -> None:
    """Write the rolls in stock; some without a date."""
    made = [
        {
            "roll": f"R{number}",
            "hose_size": chance.choice(shelf)["hose_size"],
            "length_m": f"{chance.choice((0.3, 0.5, 1.2, 7, 20))}",
            "place": "rack",
            "date_made": chance.choice(
                ("", "2026-02-08", "2024-Q3", "2019-11-30", "2016-01-02", "2009-05-05", "2013-Q1")
            ),
        }
        for number in range(chance.randint(0, 8))
    ]
    if made:
        write(path, made)


def change_type(row: Row, chance: random.Random) -> None:
    """Change what a type claims: a few cells, by others of the table or by nothing."""
    polymers = [own["symbol"] for own in rows("polymers")]
    markings = [own["marking"] for own in rows("markings")]
    families = [own["family"] for own in rows("families")]
    kinds = sorted({own["family"] for own in rows("fluids")})
    fluids = list(all_fluids())

    def some(words: list[str], most: int) -> str:
        return ";".join(dict.fromkeys(chance.choices(words, k=chance.randint(0, most))))

    changes = {
        "liner": lambda: chance.choice(
            (
                "",
                chance.choice(polymers),
                chance.choice(polymers),
                "|".join(chance.sample(polymers, 2)),
            )
        ),
        "cover": lambda: chance.choice(
            ("", "textile", chance.choice(polymers), "|".join(chance.sample(polymers, 2)))
        ),
        "reinforcement": lambda: chance.choice(("", "none", "textile", "wire", "textile-and-wire")),
        "marking": lambda: some(markings, 2),
        "print_line": lambda: chance.choice(
            (
                "",
                "SAE J20 R3 CLASS D-3 EC",
                "SAE 30R7",
                "SAE 30R9",
                "SAE J1532 TYPE A CLASS 3",
                "BLACK",
            )
        ),
        "temperature_continuous_degc": lambda: chance.choice(
            ("", "60", "100", "125", "150", "200")
        ),
        "temperature_short_time_degc": lambda: chance.choice(("", "125", "150", "260")),
        "temperature_cold_degc": lambda: chance.choice(("", "-5", "-25", "-40", "-60")),
        "hardness_shore_a": lambda: chance.choice(("", "15", "50", "65", "79", "90")),
        "fluids_claimed": lambda: some(fluids, 4),
        "made_for_clamps": lambda: chance.choice(("", "yes", "no")),
        "submersible": lambda: chance.choice(("", "yes", "no")),
        "family": lambda: some(families, 2),
        "not_for": lambda: some([*fluids, *kinds], 2),
        "only_for": lambda: some(fluids, 2),
    }
    for name in chance.sample(list(changes), chance.choice((1, 2, 4))):
        row[name] = changes[name]()
    if set(row["not_for"].split(";")) & set(row["fluids_claimed"].split(";")) - {""}:
        row["not_for"] = ""


def change_size(row: Row, chance: random.Random) -> None:
    """Change the figures of a size, or leave them out."""
    for name in chance.sample(
        [name for name in row if name not in ("hose_size", "hose_type", "bore_mm")],
        chance.choice((0, 1, 3, 6)),
    ):
        text = row[name]
        if chance.random() < 0.4 or not text:
            row[name] = {
                "suction_limit_cold_kpa": chance.choice(("", "-20", "-60", "-90")),
                "suction_limit_hot_kpa": chance.choice(("", "-15", "-50", "-85")),
                "roll_length_m": chance.choice(("", "0.3", "1.5")),
                "working_pressure_clamped_kpa": chance.choice(("", "60", "700", "5000")),
            }.get(name, "")
        else:
            figure = float(text) * chance.choice((0.3, 0.7, 0.9, 1.1, 1.6))
            if name == "outside_diameter_mm":
                figure = max(figure, 1.1 * float(row["bore_mm"]))
            row[name] = f"{max(figure, -101.3):.2f}"
