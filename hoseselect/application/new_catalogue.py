"""Write a new catalogue folder for a shop, empty or with invented example rows."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hoseselect.catalogue.file_form import CatalogueFile
from hoseselect.catalogue.locate import BUILT_IN
from hoseselect.catalogue.tables import CLAMPS, FITTINGS, HOSE_SIZES, HOSE_TYPES, ROLLS, TABLES
from hoseselect.catalogue.write import (
    FILE,
    csv_text,
    descriptor_text,
    refuse_occupied,
    sole_use,
    staged,
    stored_rows,
    write_files,
)

EXAMPLE_TYPES = 2
"""Hose types of the built-in catalogue that serve as an example, from the top, all their sizes."""

EXAMPLE_PIECES = 4
"""Clamps and fittings that serve as an example."""

OWN = "What this shop sells, as stated by its suppliers. A cell left empty means: not stated."
INVENTED = (
    "Invented data: rows of the built-in catalogue that show the form. They belong to no product."
    " Replace them by your own before use."
)


@dataclass(frozen=True)
class NewCatalogue:
    """A catalogue folder that was written.

    Parameters
    ----------
    folder : the folder
    rows : number of rows of each file, by its name
    """

    folder: Path
    rows: dict[str, int]

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON."""
        return {"folder": str(self.folder), "rows": dict(self.rows), "descriptor": FILE}


def new_catalogue(folder: Path, *, example: bool = False, title: str = "") -> NewCatalogue:
    """Write a new catalogue folder, whole or not at all.

    Parameters
    ----------
    folder : where; nothing may stand there but an empty folder
    example : put in a few rows of the built-in, invented catalogue
    title : title of the catalogue; default from the name of the folder

    Raises
    ------
    CatalogueError
        when something stands there already, or the place cannot be written.
    """
    refuse_occupied(folder)
    name = folder.resolve().name or "catalogue"
    title = title or (f"Catalogue {name}, invented examples" if example else f"Catalogue {name}")
    rows = _example_rows() if example else {table.file: [] for table in TABLES}
    with sole_use(folder), staged(folder) as stage:
        refuse_occupied(folder)
        write_files(
            stage.path,
            {
                **{table.file: csv_text(table.headings, rows[table.file]) for table in TABLES},
                FILE: descriptor_text(name, title, INVENTED if example else OWN),
            },
        )
    return NewCatalogue(folder, {table.file: len(rows[table.file]) for table in TABLES})


def _example_rows() -> dict[str, list[dict[str, str]]]:
    """Return rows that belong together: types, their sizes and rolls, some clamps and fittings."""
    types = _rows(HOSE_TYPES)[:EXAMPLE_TYPES]
    names = {row["hose_type"] for row in types}
    sizes = [row for row in _rows(HOSE_SIZES) if row["hose_type"] in names]
    sold = {row["hose_size"] for row in sizes}
    return {
        HOSE_TYPES.file: types,
        HOSE_SIZES.file: sizes,
        CLAMPS.file: _rows(CLAMPS)[:EXAMPLE_PIECES],
        FITTINGS.file: _rows(FITTINGS)[:EXAMPLE_PIECES],
        ROLLS.file: [row for row in _rows(ROLLS) if row["hose_size"] in sold],
    }


def _rows(table: CatalogueFile) -> list[dict[str, str]]:
    return stored_rows(next(f for f in BUILT_IN if f.is_dir()) / table.file)[1]
