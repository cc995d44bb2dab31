"""Reading the logbook page by page, however deep it is."""

from __future__ import annotations

from collections.abc import Iterator

from tankkeeper.core.household import Household
from tankkeeper.core.moment import Moment, moment_of
from tankkeeper.core.values import dataclass
from tankkeeper.services.desk import Desk
from tankkeeper.services.log_search import LogExtent, LogSearch, LogSlice, Place, ValuesTold

# A page is more than a high window shows; a stretch is looked through within some milliseconds.
PAGE = 100
REACH = 10_000


@dataclass(frozen=True, slots=True)
class LogPage:
    """One stretch of the logbook with what wording it needs; `gone` as `names_gone` tells it."""

    household: Household
    moment: Moment
    slice: LogSlice
    gone: tuple[tuple[str, str], ...] = ()


def log_page(
    desk: Desk,
    search: LogSearch,
    below: Place | None = None,
    most: int = PAGE,
    told: ValuesTold | None = None,
) -> LogPage:
    """Return the next entries below a place that a search asks for, newest first.

    May be empty before the end of the log is reached: `slice.reached` tells where to go on. By what
    is `told` of them changes are found as well.
    """
    with desk.store.reading() as reading:
        household = desk.household(reading)
        found = reading.search(search, below, most, REACH, told)
        gone = tuple(reading.names_gone())
    return LogPage(household, moment_of(household, desk.clock.now()), found, gone)


def log_pages(desk: Desk, search: LogSearch, most: int = PAGE) -> Iterator[LogPage]:
    """Return all pages of what a search asks for."""
    below: Place | None = None
    while True:
        page = log_page(desk, search, below, most)
        yield page
        below = page.slice.reached
        if below is None:
            return


def log_extent(desk: Desk) -> LogExtent:
    """Return how many entries the logbook has, and since when."""
    with desk.store.reading() as reading:
        return reading.extent()
