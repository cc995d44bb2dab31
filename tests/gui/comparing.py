"""How much a picture differs from its baseline."""

from __future__ import annotations

import numpy
from PySide6.QtGui import QImage

Distances = numpy.ndarray[tuple[int, int], numpy.dtype[numpy.uint8]]
Pixels = numpy.ndarray[tuple[int, int, int], numpy.dtype[numpy.uint8]]

DRAWN_WITH = "6.11."
# Other machines differ in the last digits of antialiasing, not in what is drawn where.
A_LOT = 32
SHARE_ALLOWED = 0.005
# A word of the smallest type fills about a tile, and far fewer pixels than the share above.
TILE_WIDTH, TILE_HEIGHT = 64, 32
OTHER_INK = 96
TILE_ALLOWED = 0.025


def told_difference(drawn: QImage, baseline: QImage) -> str:
    """Return what is different in a picture by more than is allowed; empty where it is the same."""
    if drawn.size() != baseline.size():
        return "it has another size"
    apart = distances(drawn, baseline)
    share = _share(apart)
    if share > SHARE_ALLOWED:
        return f"{share:.2%} of the picture differ"
    left, top, worst = _worst_tile(apart)
    return f"something differs at {left}, {top} ({worst:.1%})" if worst > TILE_ALLOWED else ""


def worst_tile(one: QImage, other: QImage) -> tuple[int, int, float]:
    """Return left, top and share of the tile in which most pixels have another ink.

    Both are of one size. What is left over at the right and at the foot counts as well.
    """
    return _worst_tile(distances(one, other))


def share_that_differs(one: QImage, other: QImage) -> float:
    """Return the share of the pixels that differ by more than 32 of 255 in a channel."""
    return 1.0 if one.size() != other.size() else _share(distances(one, other))


def _worst_tile(apart: Distances) -> tuple[int, int, float]:
    height, width = apart.shape
    rows = numpy.arange(0, height, TILE_HEIGHT)
    columns = numpy.arange(0, width, TILE_WIDTH)
    far = (apart > OTHER_INK).astype(numpy.int32)
    counts = numpy.add.reduceat(numpy.add.reduceat(far, rows, axis=0), columns, axis=1)
    row, column = numpy.unravel_index(counts.argmax(), counts.shape)
    share = float(counts[row, column]) / (TILE_HEIGHT * TILE_WIDTH)
    return (int(columns[column]), int(rows[row]), share) if share else (0, 0, 0.0)


def _share(apart: Distances) -> float:
    return float((apart > A_LOT).mean())


def distances(one: QImage, other: QImage) -> Distances:
    """Return by how much each pixel differs in the channel that differs most, 0 to 255.

    Both are of one size.
    """
    here, there = pixels(one), pixels(other)
    by_channel = numpy.maximum(here, there) - numpy.minimum(here, there)
    # Channel by channel: numpy takes many times as long over an axis of three.
    blue, green, red = (by_channel[:, :, channel] for channel in range(3))
    return numpy.maximum(numpy.maximum(blue, green), red)


def pixels(image: QImage) -> Pixels:
    """Return the blue, green and red of every pixel, by rows and columns, and what fills up."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = numpy.frombuffer(plain.constBits(), dtype=numpy.uint8)
    # A copy: the image goes, and its bits with it.
    return flat.reshape(plain.height(), plain.width(), 4).copy()
