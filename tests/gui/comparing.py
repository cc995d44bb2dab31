"""How much a picture differs from its baseline."""

from __future__ import annotations

import numpy
from PySide6.QtGui import QImage

DRAWN_WITH = "6.11."
# Other machines differ in the last digits of antialiasing, not in what is drawn where.
A_LOT = 32
SHARE_ALLOWED = 0.005


def share_that_differs(one: QImage, other: QImage) -> float:
    """Return the share of the pixels that differ by more than 32 of 255 in a channel."""
    if one.size() != other.size():
        return 1.0
    far = numpy.abs(pixels(one) - pixels(other)).max(axis=2) > A_LOT
    return float(far.mean())


def pixels(image: QImage) -> numpy.ndarray[tuple[int, ...], numpy.dtype[numpy.int16]]:
    """Return the blue, green and red of every pixel, by rows and columns."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = numpy.frombuffer(plain.constBits(), dtype=numpy.uint8)
    return flat.reshape(plain.height(), plain.width(), 4)[:, :, :3].astype(numpy.int16)
