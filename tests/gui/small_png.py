"""Pictures in few bytes: the most used colours in a palette, the rest as the nearest of them."""

from __future__ import annotations

from pathlib import Path

import numpy
from PySide6.QtGui import QImage, qRgb

COLOURS = 256
# Colours nearer to each other than this in every channel share a place in the palette.
NEAR = 14
# What covers more of a picture than this is a ground, and keeps its colour whatever is near it.
GROUND = 0.002
# Qt's "quality" of a PNG is how little it is packed.
_PACKED = 0


def save_small(image: QImage, path: Path) -> None:
    """Save a picture with at most 256 colours; flat grounds keep theirs exactly."""
    plain = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = numpy.frombuffer(plain.constBits(), dtype=numpy.uint32) & 0xFFFFFF
    found, where, counts = numpy.unique(flat, return_inverse=True, return_counts=True)
    parts = _channels(found)
    order = numpy.argsort(counts)[::-1]
    grounds = int((counts > GROUND * flat.size).sum())
    own = _palette(parts[order], grounds)
    # By blocks, because all distances at once take some hundred megabytes.
    nearest = numpy.concatenate(
        [
            ((block[:, None, :] - own[None, :, :]) ** 2).sum(axis=2).argmin(axis=1)
            for block in numpy.array_split(parts, max(1, len(parts) // 2000))
        ]
    )
    indexes = nearest.astype(numpy.uint8)[where].reshape(plain.height(), plain.width())
    small = QImage(
        indexes.tobytes(),
        plain.width(),
        plain.height(),
        plain.width(),
        QImage.Format.Format_Indexed8,
    )
    small.setColorTable([qRgb(*(int(part) for part in colour)) for colour in own])
    small.save(str(path), "PNG", _PACKED)


def _palette(
    parts: numpy.ndarray[tuple[int, ...], numpy.dtype[numpy.int32]], grounds: int
) -> numpy.ndarray[tuple[int, ...], numpy.dtype[numpy.int32]]:
    """Return the most used colours: all grounds, and of others that are alike the most used."""
    kept = list(parts[: min(grounds, COLOURS)])
    for colour in parts[len(kept) :]:
        if len(kept) == COLOURS:
            break
        far = not kept or numpy.abs(numpy.stack(kept) - colour).max(axis=1).min() > NEAR
        if far:
            kept.append(colour)
    return numpy.stack(kept)


def _channels(
    colours: numpy.ndarray[tuple[int, ...], numpy.dtype[numpy.uint32]],
) -> numpy.ndarray[tuple[int, ...], numpy.dtype[numpy.int32]]:
    return numpy.stack([colours >> 16, colours >> 8 & 255, colours & 255], axis=1).astype(
        numpy.int32
    )
