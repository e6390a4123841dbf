"""A short run of the fuzzer over every reader, and every input that found something once."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("fastapi", reason="the page is an extra: pip install 'hoseselect[page]'")

from .mutate import mutated
from .reader import EXIT_CODES, HangError, Reader, smallest, tried
from .short import FOUND, READERS, found

INPUTS = 200
"""Of a reader whose inputs take no time."""

SAVED = sorted(path for path in FOUND.rglob("*") if path.is_file())


@pytest.mark.parametrize("name", READERS)
def test_a_value_or_a_sentence_of_our_own_comes_out(name: str, tmp_path: Path) -> None:
    reader = READERS[name]
    told = [
        f"{data!r}\n{find.told}"
        for data, find in found(reader, round(INPUTS * reader.share), name, tmp_path)
    ]
    assert not told, "\n".join(told)


@pytest.mark.parametrize("path", SAVED, ids=lambda path: f"{path.parent.name}-{path.name}")
def test_what_was_found_once_is_found_no_more(path: Path, tmp_path: Path) -> None:
    find = tried(READERS[path.parent.name], path.read_bytes(), tmp_path)
    assert find is None, find.told if find else ""


def planted(data: bytes, _: Path) -> None:
    """Read what is sound but for one thing, and leave with a code."""
    if b"bad" in data:
        raise ZeroDivisionError
    raise SystemExit(len(data) % 5)


def test_a_planted_fault_is_found_and_made_small(tmp_path: Path) -> None:
    reader = Reader("planted", planted, lambda: [b"01234", b"ab", b"dba"], (b"bad",))
    finds = list(found(reader, 400, "0", tmp_path))
    kinds = {find.kind for _, find in finds}
    assert kinds == {"ZeroDivisionError", "SystemExit"}
    codes = {len(data) % 5 for data, find in finds if find.kind == "SystemExit"}
    assert codes == set(range(5)) - set(EXIT_CODES)
    data, find = next((data, find) for data, find in finds if find.kind == "ZeroDivisionError")
    assert smallest(reader, b"before " + data, find, tmp_path) == b"bad"


def test_a_hang_is_a_find_though_the_reader_catches_every_exception(tmp_path: Path) -> None:
    def hangs(_data: bytes, _folder: Path) -> None:
        try:
            raise HangError
        except Exception as error:
            raise AssertionError from error

    find = tried(Reader("hangs", hangs, lambda: [b""]), b"", tmp_path)
    assert find is not None and find.kind == "HangError"


def test_inputs_follow_from_their_seed() -> None:
    from random import Random

    seeds = READERS["quantity"].seeds()
    first, again = ([mutated(seeds, (), Random(seed)) for _ in "ab"] for seed in (1, 1))
    assert first == again
