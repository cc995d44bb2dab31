"""How much a picture differs from its baseline."""

from __future__ import annotations

import numpy
from PySide6.QtGui import QImage

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
    share = share_that_differs(drawn, baseline)
    if share > SHARE_ALLOWED:
        return f"{share:.2%} of the picture differ"
    left, top, worst = worst_tile(drawn, baseline)
    return f"something differs at {left}, {top} ({worst:.1%})" if worst > TILE_ALLOWED else ""


def worst_tile(one: QImage, other: QImage) -> tuple[int, int, float]:
    """Return left, top and share of the tile in which most pixels have another ink.

    Both are of one size. What is left over at the right and at the foot counts as well.
    """
    far = numpy.abs(pixels(one) - pixels(other)).max(axis=2) > OTHER_INK
    worst = (0, 0, 0.0)
    for top in range(0, far.shape[0], TILE_HEIGHT):
        for left in range(0, far.shape[1], TILE_WIDTH):
            tile = far[top : top + TILE_HEIGHT, left : left + TILE_WIDTH]
            share = float(tile.sum()) / (TILE_HEIGHT * TILE_WIDTH)
            worst = max(worst, (left, top, share), key=lambda found: found[2])
    return worst


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
