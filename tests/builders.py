"""Small builders for tests: chores, entries and moments with as little said as possible."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from tankkeeper.core.chores import AfterLastDone, Calendar, Chore, ChoreKind, Rhythm
from tankkeeper.core.household import Household, Tank
from tankkeeper.core.intervals import Interval, IntervalUnit
from tankkeeper.core.logbook import Entry, Fact, Turn
from tankkeeper.core.moment import Moment
from tankkeeper.core.turns import ChoreState
from tankkeeper.core.volume import Shape, ShapeKind

BERLIN = ZoneInfo("Europe/Berlin")
NOON = time(12, 0)


def day(text: str) -> date:
    """Return the date written in ISO form."""
    return date.fromisoformat(text)


def a_moment(on: str | date, at: time = NOON, zone: ZoneInfo = BERLIN) -> Moment:
    """Return the moment `at` on a day, with a day that begins at four."""
    on = day(on) if isinstance(on, str) else on
    local = datetime.combine(on, at, zone)
    today = on if at >= time(4) else on - timedelta(days=1)
    return Moment(local.astimezone(UTC), today, zone, time(4), time(7))


def days(count: int) -> Interval:
    """Return an interval of whole days."""
    return Interval(count, IntervalUnit.DAYS)


def a_chore(rhythm: Rhythm | None = None, **changes: object) -> Chore:
    """Return a chore called "wipe", every seven days after last done unless said otherwise."""
    chore = Chore(
        id="wipe", kind=ChoreKind.GLASS, name="Wipe", rhythm=rhythm or AfterLastDone(days(7))
    )
    return replace(chore, **changes)  # type: ignore[arg-type]


def by_rule(rule: str, start: str, slots: tuple[time, ...] = ()) -> Calendar:
    """Return a calendar rhythm."""
    return Calendar(rule, day(start), slots)


def an_entry(
    seq: int,
    on: str | date,
    fact: Fact | None = None,
    *,
    done: str | None = None,
    key: str = "",
    slot: time | None = None,
    tank: str | None = None,
    at: time = NOON,
    entry_id: str | None = None,
) -> Entry:
    """Return a log entry of a day at noon; `done` names the chore that it completes."""
    on = day(on) if isinstance(on, str) else on
    moment = datetime.combine(on, at, BERLIN).astimezone(UTC)
    turns = () if done is None else (Turn(done, key, slot),)
    return Entry(
        id=entry_id or f"e{seq}",
        seq=seq,
        at=moment,
        day=on,
        zone="Europe/Berlin",
        tank=tank,
        completes=turns,
        fact=fact,
    )


def a_box(name: str = "Nook", **changes: object) -> Tank:
    """Return a box of 60 x 40 cm with 36 cm of water, measured inside, without a sump."""
    shape = Shape(ShapeKind.BOX, length_cm=60.0, width_cm=40.0, height_cm=42.0, water_depth_cm=36.0)
    tank = Tank(id=name.lower(), name=name, shape=shape, target_salinity=35.0)
    return replace(tank, **changes)  # type: ignore[arg-type]


def a_household(**changes: object) -> Household:
    """Return an empty household in Berlin."""
    return replace(Household(name="Test house", zone="Europe/Berlin"), **changes)  # type: ignore[arg-type]


def target_of(state: ChoreState) -> date | None:
    """Return the target of what is open, else of what comes next."""
    turns = state.open or ((state.upcoming,) if state.upcoming else ())
    return turns[0].target if turns else None
