"""Whatever stands in a catalogue file, the check answers with complaints, never with a crash."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.catalogue.tables import HOSE_SIZES, HOSE_TYPES, TABLES
from hoseselect.knowledge.errors import ManyFaultsError

ROW = "C1,hose,EPDM,textile,EPDM,,,125,150,-40,65,,yes,no,"
CELL = st.one_of(
    st.sampled_from(["", "C1", "9.5", "9,5", "-40", "nan", "1e400", "EPDM", "yes", "a;b", "|"]),
    st.text(max_size=6),
    st.floats().map(str),
)


def cells_of(rows: list[list[str]]) -> str:
    return "\n".join(",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows)


def answer(files: dict[str, bytes]) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, data in files.items():
            (folder / file).write_bytes(data)
        complaints = examine(folder)[1]
        errors = [complaint for complaint in complaints if complaint.severity == "error"]
        assert all("\n" not in complaint.place for complaint in complaints)
        assert all("\x1b" not in complaint.sentence for complaint in complaints)
        try:
            sizes = read_catalogue(folder).sizes
        except ManyFaultsError as error:
            assert list(map(str, error.faults)) == [complaint.sentence for complaint in errors]
            assert errors
        else:
            assert not errors
            assert (sizes.type_index >= 0).all()
            assert (sizes.bore > 0).all()
            assert not np.isinf(sizes.price_per_m).any()


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([table.file for table in TABLES]), st.binary(max_size=200))
def test_any_bytes(file: str, data: bytes) -> None:
    answer({file: data})


@settings(max_examples=150, deadline=None)
@given(st.lists(st.lists(CELL, min_size=13, max_size=13), max_size=5))
def test_any_cells(rows: list[list[str]]) -> None:
    types = f"{','.join(HOSE_TYPES.headings)}\n{ROW}\n"
    sizes = f"{','.join(HOSE_SIZES.headings)}\n{cells_of(rows)}\n"
    answer({"hose_types.csv": types.encode(), "hose_sizes.csv": sizes.encode("utf-8", "ignore")})
