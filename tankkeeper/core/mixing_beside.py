"""Salt water that no turn of a mixing makes in time for a change: it is mixed beside its turns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from tankkeeper.core.chores import Chore
from tankkeeper.core.household import Household
from tankkeeper.core.making_ready import lead_days, mixing_hours
from tankkeeper.core.moment import Moment
from tankkeeper.core.turns import ChoreState


def comes_too_late(
    preps: Iterable[Chore],
    states: Sequence[ChoreState],
    household: Household,
    day: date,
    today: date,
) -> bool:
    """Tell whether no turn of some mixings is open, nor comes in time for a change of a day.

    One that is open stands in the round, and whoever does it mixes for all that wait.
    """
    found = {one.chore.id: one for one in states}
    for prep in preps:
        one = found.get(prep.id)
        if one is None or one.open:
            return False
        last = max(day, today) - timedelta(days=lead_days(prep, household))
        if one.upcoming is not None and one.upcoming.target <= last:
            return False
    return True


def last_moment(household: Household, day: date, moment: Moment) -> datetime | None:
    """Return until when water is mixed to be ready at the round of a day, None once it is past."""
    latest = moment.round_on(day) - timedelta(hours=mixing_hours(household))
    return latest if latest > moment.now else None
