"""A photo as a file: its size, what it says of its lens, and its grey. It is never written."""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from hoseselect.files.open_file import read_bytes
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES = 40_000_000
MOST_PIXELS = 120_000_000
"""Of a photo that is opened; telephones make up to 50 million, now and then 108."""

FORMATS = ("JPEG", "PNG", "WEBP")
EXPECTED = "a photo, JPEG, PNG or WebP"
ORIENTATION, EXIF_PART, FOCAL_35MM, TAKEN_WIDTH, TAKEN_HEIGHT = 274, 34665, 41989, 40962, 40963
"""Tags of Exif 2.3 (CIPA DC-008), from memory."""

ON_ITS_SIDE = 5
"""Orientations from this one on show the picture turned by a right angle."""

SAME_SHAPE = 0.01


@dataclass(frozen=True)
class Picture:
    """What is known of a photo.

    Parameters
    ----------
    name : of the file, for complaints
    size : width and height as it is shown [px]
    focal_35mm : focal length in terms of 35 mm film, NaN if it does not say [mm]
    cropped : whether it says that it was larger, of another shape
    data : the file
    """

    name: str
    size: tuple[int, int]
    focal_35mm: float
    cropped: bool
    data: bytes = field(repr=False)

    def grey(self) -> npt.NDArray[np.uint8]:
        """Return its grey as it is shown, from 0 to 255, shape (height, width).

        Raises
        ------
        InputError
            when it is damaged.
        """
        from PIL import ImageOps

        try:
            with _quiet():
                shown = _opened(self.data, self.name)
                ImageOps.exif_transpose(shown, in_place=True)
                shown = shown.convert("L")
        except (OSError, ValueError, SyntaxError):
            raise InputError(self.name, "a damaged picture", EXPECTED) from None
        return np.asarray(shown, dtype=np.uint8)


def read_picture(path: Path) -> Picture:
    """Return a photo of the disk.

    Raises
    ------
    InputError
        when it cannot be read, or is no photo of sane size.
    """
    return picture_of(read_bytes(path, EXPECTED, MOST_BYTES), path.name)


def picture_of(data: bytes, name: str) -> Picture:
    """Return a photo of the bytes of its file; no pixel is looked at.

    Raises
    ------
    InputError
        when it is no photo of sane size.
    """
    if len(data) > MOST_BYTES:
        raise InputError(name, f"more than {MOST_BYTES // 1_000_000} MB", EXPECTED)
    image = _opened(data, name)
    width, height = image.size
    if not 0 < width * height <= MOST_PIXELS:
        found = f"{width} by {height} pixels"
        raise InputError(name, found, f"at most {MOST_PIXELS // 1_000_000} million pixels")
    try:
        with _quiet():
            entries = image.getexif()
            inner, stands = entries.get_ifd(EXIF_PART), _figure(entries.get(ORIENTATION))
    except (OSError, ValueError, SyntaxError, KeyError):  # a photo whose notes are damaged
        inner, stands = {}, math.nan
    taken = [_figure(inner.get(tag)) for tag in (TAKEN_WIDTH, TAKEN_HEIGHT)]
    told = all(side > 0 for side in taken)
    shape = max(taken) / min(taken) if told else math.nan
    now = max(width, height) / min(width, height)
    turned = stands >= ON_ITS_SIDE
    focal = _figure(inner.get(FOCAL_35MM))
    return Picture(
        name=name,
        size=(height, width) if turned else (width, height),
        focal_35mm=focal if focal > 0 else math.nan,
        cropped=abs(now / shape - 1) > SAME_SHAPE,
        data=data,
    )


@contextmanager
def _quiet() -> Iterator[None]:
    """Say nothing of damaged notes, which are passed over, nor of pixels, which are counted."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _opened(data: bytes, name: str) -> Image:
    """Return the picture, undecoded.

    Raises
    ------
    InputError
        when it is none, or the library that reads it is not there.
    """
    try:
        from PIL import Image
    except ImportError:
        expected = "pip install 'hoseselect[page]'"
        raise InputError(name, "a photo, and no library that reads one", expected) from None
    try:
        with _quiet():
            return Image.open(io.BytesIO(data), formats=FORMATS)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise InputError(name, "what is no picture, or one beyond measure", EXPECTED) from None


def _figure(value: object) -> float:
    """Return a figure of the notes in a photo; NaN where there is none."""
    try:
        figure = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError):
        return math.nan
    return figure if math.isfinite(figure) else math.nan
