"""Photos as files: what they may cost, and what is passed over in silence."""

from __future__ import annotations

import io

import numpy as np
import pytest

pytest.importorskip("PIL", reason="pillow is an extra: pip install 'hoseselect[page]'")

from PIL import Image

from hoseselect.files.picture_file import ORIENTATION, picture_of


def photo(size: tuple[int, int], orientation: int = 1, form: str = "PNG") -> bytes:
    image, out = Image.new("1", size, 1), io.BytesIO()
    image.putpixel((0, 0), 0)
    notes = image.getexif()
    notes[ORIENTATION] = orientation
    image.save(out, form, exif=notes)
    return out.getvalue()


def test_the_grey_of_a_photo_is_one_byte_a_pixel() -> None:
    """The largest one that is opened has 120 million: as figures of eight bytes nearly 1 GB."""
    grey = picture_of(photo((30, 20)), "photo").grey()
    assert (grey.shape, grey.nbytes) == ((20, 30), 600)
    assert grey[0, 0] == 0
    assert np.count_nonzero(grey == 255) == 599


def test_a_photo_that_was_turned_is_shown_upright() -> None:
    picture = picture_of(photo((30, 20), orientation=6), "photo")
    grey = picture.grey()
    assert picture.size == (20, 30)
    assert grey.shape == (30, 20)
    assert grey[0, -1] == 0


def test_damaged_notes_are_passed_over_without_a_word(recwarn: pytest.WarningsRecorder) -> None:
    whole = photo((30, 20), form="JPEG")
    start = whole.index(b"Exif") + 6
    for at in range(start, start + 24):
        picture = picture_of(whole[:at] + b"\xff" + whole[at + 1 :], "photo")
        assert sorted(picture.size) == [20, 30]
    assert len(recwarn) == 0
