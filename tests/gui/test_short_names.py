"""Names that are cut stay apart from each other."""

from __future__ import annotations

import pytest

from tankkeeper.gui.models.short_names import cut_name, telling_of

HOUSES = (
    ("House", "Bay", "Pebble", "Ledge", "Sprout", "Ward"),
    ("House", "Pebble", "Pelican", "Pe"),
    tuple(f"Tank {at}" for at in range(1, 13)),
    ("Reef", "Reef left", "Reef right", "Rock left", "Reef10", "Reef1"),
    ("Quarantine A", "Quarantine B", "Quarantene", "The Northern Barrier", "reef", "Reef"),
)


def wide(text: str) -> float:
    return float(len(text))


@pytest.mark.parametrize("names", HOUSES)
@pytest.mark.parametrize("room", range(1, 21))
def test_no_two_names_are_cut_to_the_same(names: tuple[str, ...], room: int) -> None:
    """A name is cut to what tells it from the others, or not at all; it never takes more room."""
    telling = telling_of(names)
    cut = [cut_name(name, telling[name], wide, float(room)) for name in names]
    shown = [one for one in cut if one]

    assert len(set(shown)) == len(shown)
    assert all(len(one) <= room for one in shown)


@pytest.mark.parametrize(
    ("name", "room", "shown"),
    [
        ("Pebble", 6, "Pebble"),
        ("Pebble", 5, "Pebb."),
        ("Pebble", 4, "Peb."),
        ("Pebble", 3, ""),
        ("Pelican", 4, "Pel."),
        ("Tank 12", 5, "T. 12"),
        ("Tank 1", 5, "Ta. 1"),
        ("Tank 1", 3, ""),
        ("Reef left", 7, "R. left"),
    ],
)
def test_what_tells_a_name_apart_is_kept(name: str, room: int, shown: str) -> None:
    """First letters where they differ early, the number or the words at the end where late."""
    names = ("Pebble", "Pelican", "Tank 1", "Tank 12", "Reef left", "Reef right")

    assert cut_name(name, telling_of(names)[name], wide, float(room)) == shown
