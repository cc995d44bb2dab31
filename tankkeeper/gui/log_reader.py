"""Reads the logbook for its page in the worker, a short look at a time."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.household import Household
from tankkeeper.gui.models.log_rows import LogChunk, LogRow, LogWish, read_extent
from tankkeeper.gui.pages.logbook_page import LogbookPage
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.reports.numbers import NBSP, counted
from tankkeeper.reports.people_names import shown_people
from tankkeeper.reports.words import Words
from tankkeeper.services.log_pages import PAGE
from tankkeeper.services.log_search import EVERYTHING, LogExtent, LogSearch, Place

NOTHING_YET = ("Nothing is written down yet.", "What is ticked in the round stands here.")
NOTHING_FOUND = ("Nothing found.", "Esc shows every entry again.")
# Rows that were shown already are read anew in larger looks.
AGAIN = 500


class LogReader(QObject):
    """Shows what the filter leaves; `shown` tells that rows changed.

    At most one look is under way: the worker ticks between two of them, and while somebody types
    only the last text is looked for.
    """

    shown = Signal()

    def __init__(self, session: Session, page: LogbookPage, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._page = page
        self._list = page.list
        self.search: LogSearch = EVERYTHING
        self._number = 0
        self._is_under_way = False
        self._is_stopped = False
        # What this wish has given so far, what it is to give, and where it goes on.
        self._pending: list[LogRow] | None = None
        self._given = 0
        self._wanted = PAGE
        self._reached: Place | None = None
        self._is_ended = True
        self._extent: LogExtent | None = None
        self._needs_extent = True
        self._entry_wanted: str | None = None
        self._seen: tuple[object, ...] = ()
        self._list.log_model.more_wanted.connect(self._on_more)
        session.broke.connect(self._on_broke)

    def stop(self) -> None:
        """Ask for nothing more."""
        self._is_stopped = True

    def want(self, entry_id: str) -> None:
        """Go to this entry once it was read."""
        self._entry_wanted = entry_id

    def begin_at_newest(self) -> None:
        """Go to the newest entry, and to the one that a look under way brings before it."""
        self._entry_wanted = None
        if self._pending is not None:
            self._is_anew = True
        self._list.begin()

    def take(self, shown: Shown) -> None:
        """Read anew what is shown where something was written, or another day began."""
        house, words = shown.state.household, shown.sheet.words
        tank_id = self._session.tank_id
        self._page.filter.set_words(words, tank_id)
        seen = (shown.change_mark, house, words.today, tank_id)
        if seen == self._seen:
            return
        self._seen = seen
        self._keep_room(house, tank_id)
        self._needs_extent = True
        search = self._page.filter.search(tank_id)
        if search == self.search and self._list.log_model.rows:
            self._start(max(PAGE, self._shown_entries()), anew=False)
        else:
            self.search = search
            self._start(PAGE, anew=True)

    def look_anew(self) -> None:
        """Look for what the filter says now."""
        search = self._page.filter.search(self._session.tank_id)
        if search != self.search:
            self.search = search
            self._start(PAGE, anew=True)

    def _keep_room(self, house: Household, tank_id: str | None) -> None:
        tanks = [one.name for one in house.tanks] if tank_id is None else []
        self._list.set_names(tanks, shown_people(house).values())

    def _shown_entries(self) -> int:
        return sum(1 + len(row.besides) for row in self._list.log_model.rows)

    def _start(self, wanted: int, *, anew: bool) -> None:
        """Begin at the top: rows of something else go at once, others once all were read anew."""
        self._number += 1
        self._pending = []
        self._is_anew = anew
        self._given, self._wanted = 0, wanted
        self._reached, self._is_ended = None, False
        self._go_on()

    def _on_more(self) -> None:
        if not self._is_ended and self._pending is None and self._given >= self._wanted:
            self._wanted = self._given + PAGE
            self._go_on()

    def _go_on(self) -> None:
        if self._is_under_way or self._is_stopped:
            return
        most = min(self._wanted - self._given, AGAIN)
        wish = LogWish(self._number, self.search, self._reached, most)
        self._is_under_way = self._session.last is not None
        self._session.read_with(wish.read, self._on_chunk)

    def _on_chunk(self, chunk: object) -> None:
        self._is_under_way = False
        if not isinstance(chunk, LogChunk) or self._is_stopped:
            return
        if chunk.number != self._number:
            self._go_on()
            return
        self._given += chunk.entries
        self._reached = chunk.reached
        self._is_ended = chunk.reached is None
        is_full = self._given >= self._wanted
        self._put(chunk, is_done=self._is_ended or is_full)
        self._tell()
        if not self._is_ended and not is_full:
            self._go_on()
        elif self._needs_extent:
            # Only once there is something to be seen.
            self._needs_extent = False
            self._session.read_with(read_extent, self._on_extent)

    def _on_extent(self, extent: object) -> None:
        if isinstance(extent, LogExtent) and not self._is_stopped:
            self._extent = extent
            self._tell()

    def _on_broke(self, _error: object) -> None:
        """Let the next look begin where the last one that came to its end ended."""
        self._number += 1
        self._is_under_way = False

    def _put(self, chunk: LogChunk, *, is_done: bool) -> None:
        """Show what came: at once, or with all else where the same rows are read anew."""
        has_more = not self._is_ended
        if self._pending is None:
            self._list.add_rows(chunk.rows, has_more=has_more)
            return
        self._pending += chunk.rows
        if not is_done and not (self._is_anew and self._pending):
            return
        # A key that takes back must never act on the match of a text that was half typed.
        self._list.set_rows(self._pending, has_more=has_more, from_top=self._is_anew)
        self._pending = None
        if not self._list.log_model.rows:
            self._list.set_empty(self._nothing())
        wanted = self._entry_wanted
        if wanted is not None and self._list.go_to_id(wanted):
            self._entry_wanted = None
        self.shown.emit()

    def _nothing(self) -> tuple[str, str]:
        """Return what is said in place of rows."""
        return NOTHING_YET if self._is_all_of_tank else NOTHING_FOUND

    @property
    def _is_all_of_tank(self) -> bool:
        """Whether nothing was typed or chosen above the list, be it of one tank."""
        return self.search == LogSearch(tank=self.search.tank)

    def _tell(self) -> None:
        last = self._session.last
        if last is not None:
            self._page.tell(self._sentence(last.sheet.words))

    def _sentence(self, words: Words) -> str:
        """Return how much there is, or how far was looked."""
        if self.search.is_all:
            extent = self._extent
            if extent is None or extent.first_on is None:
                return "What was done, and by whom."
            count = counted_entries(extent.entries)
            return f"{count} since {words.full_date(extent.first_on)}, the newest first."
        # All of a tank is there; nobody looked for it.
        of = "found" if not self._is_all_of_tank else f"of {words.tank_name(self.search.tank)}"
        told = f"{counted_entries(self._given)} {of}"
        if self._is_ended:
            return f"{told}, the newest first." if self._given else self._nothing()[0]
        if self._given >= self._wanted:
            return f"{told} so far, the newest first."
        back = "" if self._reached is None else words.full_date(self._reached.at.date())
        return f"{told}, looking back to {back}."


def counted_entries(count: int) -> str:
    """Return a number of entries, in groups of three digits where it is long."""
    text = counted(count, "entry", "entries")
    if count < 10_000:
        return text
    return text.replace(str(count), f"{count:,}".replace(",", NBSP))
