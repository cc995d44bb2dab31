"""What undo reaches in a window in which nothing was done yet: the newest entry, if of today."""

from __future__ import annotations

from tankkeeper.core.logbook import Entry
from tankkeeper.core.moment import Moment
from tankkeeper.reports.logbook_words import entry_text
from tankkeeper.reports.words import Words
from tankkeeper.services import taking_back
from tankkeeper.services.desk import Desk

NOTHING = "Nothing stands in the logbook that could be undone."
AT_ITS_LINE = "In the logbook (Ctrl+6), Del takes it back at its line."


def undo_newest(
    desk: Desk, person_id: str | None, moment: Moment
) -> taking_back.TakenBack | Entry | None:
    """Take back the newest entry, or return it where it is left alone, None without any.

    What was done on older days or by other people is not taken back by a key that did not say so.
    """
    newest = read_newest(desk)
    if newest is None or is_left_alone(newest, person_id, moment):
        return newest
    return taking_back.undo(desk, newest.id, person_id)


def read_newest(desk: Desk) -> Entry | None:
    """Return the newest entry that stands, None without any."""
    with desk.store.reading() as reading:
        return reading.newest_standing()


def is_left_alone(newest: Entry, person_id: str | None, moment: Moment) -> bool:
    """Tell whether undo takes the newest entry back only at its line of the logbook.

    What counts is the day on which it was written, not the one it tells of: a correction of
    yesterday's reading that was made today is a deed of today.
    """
    return moment.day_of(newest.written_at) != moment.day or newest.by not in (None, person_id)


def elsewhere_words(deed: str) -> str:
    """Return what undo would do from a page on which there is nothing to undo."""
    return f"Nothing to undo on this page. Ctrl+Z again undoes: {deed}"


def left_alone_words(entry: Entry, person_id: str | None, words: Words) -> str:
    """Return why the newest entry was left alone, and how it is taken back all the same."""
    text = entry_text(entry, words, {})
    if entry.by not in (None, person_id):
        why = f"The newest entry that stands is by {words.person(entry.by) or 'somebody else'}"
    else:
        day = words.named_date(words.moment.day_of(entry.written_at))
        # What was written today may have been taken back, so it is no day without an entry.
        why = f"Nothing written today is left to undo; the newest entry that stands is of {day}"
    return f"{why}: {text}. {AT_ITS_LINE}"
