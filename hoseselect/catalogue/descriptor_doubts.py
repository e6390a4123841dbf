"""Whether the descriptor in a catalogue folder describes the files beside it.

Nothing is read by the descriptor; other programs read the folder by it, and go wrong with it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.descriptor import FILE, descriptor
from hoseselect.files.open_file import read_bytes
from hoseselect.knowledge.errors import InputError

MOST = 5_000_000
"""Bytes of a descriptor."""

EXPECTED = "the descriptor that `hoseselect catalog new` writes"


def descriptor_doubts(folder: Path) -> list[Complaint]:
    """Return a warning where the descriptor is missing, is none, or describes other files."""
    try:
        told = json.loads(read_bytes(folder / FILE, EXPECTED, MOST))
    except InputError as error:
        return [_doubt(error.found)]
    except (ValueError, RecursionError):
        return [_doubt("what is no JSON")]
    own, wanted = _columns(told), _columns(descriptor("", "", "", {}))
    if not own:
        return [_doubt("no description of files")]
    odd = [
        f"other columns of {path}" for path in own if path in wanted and own[path] != wanted[path]
    ]
    odd += [f"'{path}', which is no file of a catalogue" for path in own.keys() - wanted.keys()]
    odd += [
        f"nothing of {path}" for path in wanted.keys() - own.keys() if (folder / path).is_file()
    ]
    return [_doubt(found) for found in sorted(odd)]


def _doubt(found: str) -> Complaint:
    return Complaint("warning", FILE, 0, 0, "", found, EXPECTED)


def _columns(told: Any) -> dict[str, set[str]]:
    """Return the columns of each file as a descriptor tells them; nothing where it tells none."""
    try:
        return {
            str(one["path"]): {str(field["name"]) for field in one["schema"]["fields"]}
            for one in told["resources"]
        }
    except (TypeError, KeyError):
        return {}
