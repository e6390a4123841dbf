"""The shop that a page serves: its catalogue, settings and job book, read anew when they change."""

from __future__ import annotations

import json
import os
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import BUILT_IN, find_catalogue
from hoseselect.domain.job import Job
from hoseselect.interfaces.in_use import book_in_use, catalogue_in_use, settings_in_use, today
from hoseselect.knowledge.errors import HoseselectError
from hoseselect.settings.settings import Settings

Stamp = tuple[object, ...]
MOST_ANSWERS = 32
"""Last answers that are kept: a reply, the page after it and a look at its papers are one job."""


@dataclass
class Shop:
    """What a page serves.

    Parameters
    ----------
    catalog : folder of the catalogue, as the option names it; None = as for every command
    """

    catalog: str | None = None
    _read: tuple[Stamp, Catalogue] | None = field(default=None, repr=False)
    _answers: dict[tuple[str, str], Answer] = field(default_factory=dict, repr=False)

    @cached_property
    def _lock(self) -> threading.Lock:
        return threading.Lock()

    @property
    def folder(self) -> Path:
        """Folder of the catalogue in use."""
        return find_catalogue(self.catalog, os.environ)

    @property
    def invented(self) -> bool:
        """Whether it is the built-in catalogue, of which nothing can be bought."""
        try:
            return self.folder in BUILT_IN
        except HoseselectError:  # what is wrong with it is told where it is asked for
            return False

    @property
    def named(self) -> str:
        """Name of the folder of the shop's own catalogue; empty where that cannot be told."""
        try:
            return self.folder.resolve().name
        except HoseselectError:
            return ""

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue in use, read again where a file of it or the settings have changed.

        Raises
        ------
        CatalogueError
            when it cannot be used.
        """
        stamp = (*_stamps(self.folder), self.settings, today())
        if self._read is None or self._read[0] != stamp:
            with self._lock:
                if self._read is None or self._read[0] != stamp:
                    self._read = stamp, catalogue_in_use(self.catalog)
        return self._read[1]

    def picked(self, values: Mapping[str, Any], units: str, read: Callable[[], Job]) -> Answer:
        """Return the answer to a job; the last few are kept, as long as the catalogue is the same.

        Parameters
        ----------
        values : keys as in a job file
        units : "mm" or "in"
        read : makes the job of them

        Raises
        ------
        InputError
            when the job or the catalogue cannot be used.
        """
        catalogue = self.catalogue
        key = json.dumps(values, sort_keys=True, default=str), units
        with self._lock:
            kept = self._answers.pop(key, None)
        if kept is None or kept.catalogue is not catalogue:
            kept = pick_hose(read(), catalogue, units=units)
        with self._lock:
            self._answers[key] = kept
            while len(self._answers) > MOST_ANSWERS:
                del self._answers[next(iter(self._answers))]
        return kept

    @property
    def settings(self) -> Settings:
        """What the shop has set."""
        return settings_in_use()

    @property
    def book(self) -> Path | None:
        """File of the job book; None where none is kept."""
        return book_in_use()


def _stamps(folder: Path) -> Stamp:
    """Return name, size and time of every file of a folder."""
    found = []
    for path in sorted(folder.glob("*")):
        known = path.stat()
        found.append((path.name, known.st_size, known.st_mtime_ns))
    return tuple(found)
