"""A small invented household for the tests of wording, on Thursday 12 March 2026 at 07:04."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, time, timedelta

from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Chore,
    ChoreKind,
    Condition,
    Rhythm,
    WhenWaterSays,
)
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Household, Person, SaltMix, Tank, TopOffLimits
from tankkeeper.core.logbook import Entry, TopOff
from tankkeeper.core.state import HouseholdState, Item, fold_household, items_of, upcoming_item
from tankkeeper.reports.words import Words
from tests.builders import a_box, a_household, a_moment, an_entry, days

TODAY = date(2026, 3, 12)
NB = "\u00a0"
EVAPORATION = WhenWaterSays(Condition.EVAPORATION)
PEOPLE = (Person("ilse", "Ilse"), Person("jonas", "Jonas"))
MOMENT = a_moment(TODAY, time(7, 4))


def chore(
    kind: ChoreKind = ChoreKind.GLASS,
    name: str = "Clean the glass",
    rhythm: Rhythm | None = None,
    **more: object,
) -> Chore:
    """Return a chore of the tank Nook, every 14 days after it is done unless said otherwise."""
    made = Chore(
        id="it",
        kind=kind,
        name=name,
        rhythm=rhythm or AfterLastDone(days(14)),
        tank="nook",
        first_due=TODAY,
    )
    return replace(made, **more)  # type: ignore[arg-type]


def change(**more: object) -> Chore:
    """Return a water change of 40 L."""
    return chore(
        ChoreKind.WATER_CHANGE,
        "Change water",
        amount=Amount(40.0, AmountUnit.LITRES),
        minutes=25,
        who=("jonas",),
        **more,
    )


def top_off(**more: object) -> Chore:
    """Return a top-off that evaporation decides."""
    made = chore(ChoreKind.TOP_OFF, "Top off", EVAPORATION)
    return replace(made, **more)  # type: ignore[arg-type]


def nook(**limits: float) -> Tank:
    """Return a box of 86 L with these limits for its top-off."""
    return a_box("Nook", top_off=TopOffLimits(**limits))


def fills(last: str, litres: float = 1.1, every: int = 2, count: int = 12) -> list[Entry]:
    """Return fills to the mark, the last one on the day given."""
    end = date.fromisoformat(last)
    found = [end - timedelta(days=every * back) for back in range(count)][::-1]
    return [
        an_entry(seq, on, TopOff(litres), tank="nook", done="it")
        for seq, on in enumerate(found, start=1)
    ]


def state(one: Chore, entries: Iterable[Entry] = (), **more: object) -> HouseholdState:
    """Return the folded household with this single chore."""
    home = replace(
        a_household(),
        name="Harbour",
        people=PEOPLE,
        tanks=(nook(),),
        chores=(one,),
        salt_mix=SaltMix(grams_per_litre=36.8),
    )
    home = replace(home, **more)  # type: ignore[arg-type]
    return fold_household(home, history_of(entries), MOMENT.now)


def words_for(home: Household | None = None, decimal_sign: str = ".") -> Words:
    """Return the words of a household with Ilse and Jonas."""
    home = home or replace(a_household(), people=PEOPLE, tanks=(nook(),))
    return Words(home, MOMENT, decimal_sign)


def items(one: Chore, entries: Iterable[Entry] = (), **more: object) -> tuple[list[Item], Words]:
    """Return the lines of the chore, with the coming one, and the words for them."""
    folded = state(one, entries, **more)
    found = items_of(folded, folded.chores[0])
    coming = upcoming_item(folded, folded.chores[0])
    found += [] if coming is None else [coming]
    return found, Words(folded.household, folded.moment)


def item(one: Chore, entries: Iterable[Entry] = (), **more: object) -> tuple[Item, Words]:
    """Return the first line of the chore, and the words for it."""
    found, words = items(one, entries, **more)
    return found[0], words
