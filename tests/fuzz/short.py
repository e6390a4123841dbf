"""A short run in this process: inputs made of the seeds by chance, no coverage looked at."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

from .file_readers import FILE_READERS
from .mutate import mutated
from .page_readers import PAGE_READERS
from .reader import Find, Reader, tried
from .sheet_readers import SHEET_READERS
from .text_readers import TEXT_READERS

READERS = {one.name: one for one in (*TEXT_READERS, *FILE_READERS, *SHEET_READERS, *PAGE_READERS)}
FOUND = Path(__file__).with_name("found")


def found(reader: Reader, inputs: int, seed: str, folder: Path) -> Iterator[tuple[bytes, Find]]:
    """Yield what some inputs find."""
    chance, seeds = random.Random(seed), reader.seeds()
    for number in range(inputs):
        data = seeds[number] if number < len(seeds) else mutated(seeds, reader.words, chance)
        find = tried(reader, data, folder)
        if find is not None:
            yield data, find
