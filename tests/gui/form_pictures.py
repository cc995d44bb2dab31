"""The pictures of forms, and of households that are unlike the sample."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.proposal_list import ProposalList
from tests.builders import an_entry
from tests.gui.house_file_pictures import (
    import_bad,
    import_cove,
    import_long,
    import_taken,
    open_recent,
    restore,
)
from tests.gui.pictures import TYPED, Shot, in_all_looks
from tests.gui.round_house import SEVEN, Hands, box, chore, make, small_house
from tests.gui.test_how_far import fills
from tests.gui.test_how_far import house as house_by_water
from tests.gui.test_log_form import house as house_with_reservoir

LONG_TANK = "The large tank in the winter garden behind the piano, with the stony corals"
LONG_CHORE = "Take the pump apart, rinse every part of it in warm vinegar, and oil the bearing"


def _made(household: Household, *entries: Entry) -> Callable[[Path], None]:
    return lambda path: make(path, household, FixedClock(SEVEN), entries)


def _nothing(_path: Path) -> None:
    """Make no household at all."""


def _one_tank() -> Household:
    small = small_house()
    chores = tuple(one for one in small.chores if one.tank == "reef")
    return small_house(tanks=small.tanks[:1], chores=chores)


def _twelve_tanks() -> Household:
    names = ("Reef", "Nook", "Bay", "Cove", "Shoal", "Lagoon", "Inlet", "Strait", "Ledge", "Spit")
    tanks = tuple(
        box(name.lower(), name, at) for at, name in enumerate((*names, "Sound", "Fjord"), start=1)
    )
    chores = tuple(
        chore(f"{kind}-{tank.id}", name, 8 + at % 7, tank=tank.id)
        for at, tank in enumerate(tanks)
        for kind, name in (("glass", "Clean the glass"), ("lamp", "Wipe the lamp"))
    )
    return small_house(tanks=tanks, chores=chores)


def _long_names() -> Household:
    small = small_house()
    reef, nook = small.tanks
    chores = tuple(
        replace(one, name=LONG_CHORE) if one.id in ("wipe", "lamp") else one for one in small.chores
    )
    people = tuple(
        replace(one, name=f"{one.name} Featherstonehaugh-Marchbanks") for one in small.people
    )
    return small_house(
        name=f"{LONG_TANK}, and all the others",
        tanks=(replace(reef, name=LONG_TANK), nook),
        chores=tuple(replace(one, who=("ada", "bo")) for one in chores),
        people=people,
    )


def _heap() -> Household:
    """Return a house in which thirty chores wait since February."""
    names = ("Clean the glass", "Wipe the lid", "Swap the floss", "Rinse the trap", "Oil the fan")
    chores = tuple(
        chore(
            f"{tank}-{at}",
            f"{names[at % 5]} {at // 5 + 1}",
            1 + at % 9,
            tank=None if tank == "house" else tank,
            minutes=10 + at,
        )
        for tank in ("reef", "nook", "house")
        for at in range(10)
    )
    return small_house(chores=chores)


def _all_done() -> Household:
    chores = (
        chore("glass", "Clean the glass", 14),
        chore("lamp", "Wipe the lamp", 20, tank="nook"),
    )
    return small_house(chores=chores)


_LATE = an_entry(1, "2026-03-08", done="glass")
_LONG = chore("wipe", LONG_CHORE, 12)
_FORMS: tuple[tuple[str, Callable[[Path], None], tuple[str, ...]], ...] = (
    ("form-log", _made(house_with_reservoir()), ("Ctrl+L",)),
    ("form-feeding", _made(house_with_reservoir()), ("Ctrl+L", f"{TYPED}f")),
    (
        "form-readings",
        _made(house_with_reservoir()),
        ("Ctrl+L", f"{TYPED}r", "Tab", "Tab", f"{TYPED}350", "Tab"),
    ),
    (
        "form-tick-refused",
        _made(small_house()),
        ("Down", "Down", "Space", "Shift+Tab", f"{TYPED}9", "Tab", f"{TYPED}1.025", "Return"),
    ),
    ("form-put-off", _made(small_house()), ("Down", "P", "Down")),
    ("form-pause", _made(small_house()), ("Down", "Shift+P", "End")),
    ("form-tick", _made(small_house()), ("Down", "Down", "Space")),
    ("form-note", _made(small_house()), ("Down", "N")),
    ("form-skip", _made(small_house()), ("Down", "Shift+S")),
    (
        "form-ticks",
        _made(small_house()),
        ("Down", "Ctrl+L", f"{TYPED}w", "Tab", "Tab", f"{TYPED}3"),
    ),
    (
        "form-correct",
        _made(small_house(), replace(_LATE, tank="reef")),
        ("Ctrl+6", "Home", "Return"),
    ),
    ("form-stage", _made(small_house()), ("Ctrl+Down", "F2", "@stage")),
    ("form-copy", _made(small_house()), ("Ctrl+Down", "F2", "@copy")),
    ("form-catalogue", _made(small_house()), ("Ctrl+Down", "F3", "@more", "Down", "Space")),
    ("form-away", _made(small_house(), _LATE), ("W", "Down")),
)


def _change_proposal(hands: Hands) -> None:
    """Open what a proposed chore may be changed in, before its tank is there."""
    hands.press("Ctrl+Shift+N")
    hands.frame.findChildren(ProposalList)[0].setFocus()
    hands.press("Home", "Down", "Return")


_FILES: tuple[tuple[str, Callable[[Hands], None]], ...] = (
    ("form-proposal", _change_proposal),
    ("form-import", import_cove),
    ("form-import-wrong", import_bad),
    ("form-import-taken", import_taken),
    ("form-import-long", import_long),
    ("form-recent", open_recent),
    ("form-restore", restore),
)


def _ask_how_far(hands: Hands) -> None:
    """Tick less than was missing, so that it is asked how far it went."""
    hands.go_to("fill")
    hands.press("Space")
    hands.type("0.8")
    hands.press("Return")


def _say_what_it_holds(hands: Hands) -> None:
    """Say of a reservoir that it is not full."""
    hands.go_to("refill")
    hands.press("Space", "Tab", "End")


_ASKED: tuple[tuple[str, Callable[[Hands], None]], ...] = (
    ("form-how-far", _ask_how_far),
    ("form-reservoir", _say_what_it_holds),
)
_WINDOWS: tuple[tuple[str, Callable[[Path], None], tuple[str, ...]], ...] = (
    ("find", _made(small_house()), ("Ctrl+F", f"{TYPED}wi")),
    ("days-off", _made(small_house(), _LATE), ()),
    ("all-done", _made(_all_done()), ()),
    ("no-household", _nothing, ()),
    ("one-tank", _made(_one_tank()), ()),
    ("twelve-tanks", _made(_twelve_tanks()), ()),
    ("long-names", _made(_long_names()), ("Down",)),
    ("heap", _made(_heap()), ()),
    ("why-refused", _made(small_house()), ("Down",) * 5 + ("P",)),
    ("paused", _made(small_house()), ("Down", "Shift+P", "Return", "End")),
)


# Pages of setting down, drawn in all looks.
_PAGES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("new-tank", ("Ctrl+Shift+N", f"{TYPED}Bay")),
    ("animal", ("Ctrl+Down", "F3", "@animals", "@new")),
    ("equipment", ("Ctrl+Down", "F3", "@equipment", "@new")),
)
_SCHEMES = (("light", Scheme.LIGHT), ("dark", Scheme.DARK))


def _all() -> tuple[Shot, ...]:
    """Return the forms in light, dark and larger type, and the windows in light and dark."""
    shots: list[Shot] = []
    for name, household, keys in _FORMS:
        usual = Shot(name, keys=keys, is_form=True, make=household, now=SEVEN)
        shots.extend(in_all_looks(usual))
    for name, do in _FILES:
        usual = Shot(name, is_form=True, make=_made(small_house()), now=SEVEN, do=do)
        shots.extend(in_all_looks(usual))
    for name, do in _ASKED:
        how_far = _made(house_by_water(), *fills())
        shots.extend(in_all_looks(Shot(name, is_form=True, make=how_far, now=SEVEN, do=do)))
    for name, keys in _PAGES:
        shots.extend(in_all_looks(Shot(name, keys=keys, make=_made(small_house()), now=SEVEN)))
    for name, household, keys in _WINDOWS:
        usual = Shot(name, keys=keys, make=household, now=SEVEN)
        for look, scheme in _SCHEMES:
            shots.append(replace(usual, name=f"{name}-{look}", scheme=scheme))
    return tuple(shots)


FORM_SHOTS = _all()
