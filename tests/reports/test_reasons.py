"""The reason of a turn, for every rhythm and state."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.chores import (
    AfterLastDone,
    Amount,
    AmountUnit,
    Chore,
    ChoreKind,
    Condition,
    EarlierRhythm,
    Once,
    Use,
    WhenWaterSays,
)
from tankkeeper.core.climate import ClimateRow
from tankkeeper.core.communities import Community
from tankkeeper.core.estimate import Estimate
from tankkeeper.core.history import history_of
from tankkeeper.core.household import Room, Stage, Supply, TopOffLimits
from tankkeeper.core.intervals import MonthDay, Season, parse_interval
from tankkeeper.core.logbook import (
    Entry,
    Pause,
    PauseMode,
    PutOff,
    Readings,
    ReservoirCheck,
    Skip,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.parameters import ReadingValue, parse_reading
from tankkeeper.core.state import Item, fold_household, items_of
from tankkeeper.core.turns import State
from tankkeeper.core.volume import Shape, ShapeKind
from tankkeeper.reports.amount_reasons import _split, amount_reason
from tankkeeper.reports.documents import item_fields, tank_fields
from tankkeeper.reports.numbers import NBSP, plain
from tankkeeper.reports.numbers_used import last_times, numbers_used
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.reservoir_reasons import lasts_or_reserve
from tankkeeper.reports.rows import state_words
from tankkeeper.reports.settling_words import litres_line, loss_line
from tankkeeper.reports.words import Words
from tankkeeper.services.ahead import ahead_of
from tests.builders import BERLIN, a_box, a_household, a_moment, an_entry, by_rule, days
from tests.reports.scenes import (
    EVAPORATION,
    MOMENT,
    NB,
    TODAY,
    change,
    chore,
    fills,
    item,
    items,
    nook,
    state,
    top_off,
)

FEBRUARY_24 = an_entry(1, "2026-02-24", WaterChange(40.0), tank="nook", done="it")


def said(one: Chore, entries: list[Entry] | None = None, **more: object) -> str:
    """Return the reason of the first line, without the signs of a page."""
    row, words = item(one, entries or [], **more)
    return plain(reason(row, words))


def test_a_counted_chore_tells_its_last_day_and_its_interval() -> None:
    """The share of the change is told with the water of the system."""
    assert said(change(), [FEBRUARY_24]) == (
        "Last done on 24 February. This chore comes 14 days after it is done, so its day was "
        "Tue 10. 40 L is 46 % of the 86 ± 9 L in the system."
    )


@pytest.mark.parametrize(
    ("first", "verb"),
    [("2026-03-10", "was Tue 10"), ("2026-03-12", "is today"), ("2026-03-14", "will be Saturday")],
)
def test_a_chore_that_was_never_done_tells_its_first_day(first: str, verb: str) -> None:
    """In the tense of the day."""
    assert said(chore(first_due=date.fromisoformat(first))) == (
        f"It has not been done yet, and its first day {verb}. "
        "After that it comes 14 days after it is done."
    )


def test_a_test_that_was_read_besides_is_not_told_as_never_done() -> None:
    """The last times beside it show the reading, so the sentence tells it, too."""
    test = chore(first_due=date(2026, 3, 14), kind=ChoreKind.TEST, tests=("alkalinity",))
    read = Readings((ReadingValue("alkalinity", 12.0, "dKH", 12.0),))

    assert said(test, [an_entry(1, "2026-03-12", read, tank="nook")]).startswith(
        "Alkalinity was read today without a tick of this chore, and its first day will be "
        "Saturday. "
    )


def test_a_skip_is_told_as_what_it_counts_from() -> None:
    """The last completion no longer decides."""
    skip = an_entry(2, "2026-03-01", Skip(Turn("it", "after:e1"), date(2026, 3, 1)))

    assert said(chore(), [an_entry(1, "2026-02-10", done="it"), skip]) == (
        "The last turn was skipped, so it counts from 1 March. "
        "This chore comes 14 days after it is done, so its day will be Sunday."
    )


def test_a_turn_put_off_tells_from_where_to_where() -> None:
    """A calendar turn has a day of its own, a counted one only the new day."""
    moved = an_entry(2, "2026-03-10", PutOff(Turn("it", "after:e1"), TODAY))
    weekly = chore(rhythm=by_rule("FREQ=WEEKLY;BYDAY=TU", "2026-03-10"))
    other = an_entry(1, "2026-03-10", PutOff(Turn("it", "2026-03-10"), TODAY))

    assert said(chore(), [an_entry(1, "2026-02-24", done="it"), moved]) == (
        "Last done on 24 February. This chore comes 14 days after it is done. "
        "It was put off to today."
    )
    assert said(weekly, [other]) == (
        "This chore comes every Tuesday. It has not been done yet. "
        "It was put off from Tue 10 to today."
    )


def test_the_window_of_a_turn_put_off_moves_with_it_and_its_own_is_told() -> None:
    """Its day is 10 March and 4 days it can wait: Saturday 14; from 13 March it is Tuesday 17."""
    done = an_entry(1, "2026-02-24", done="it")
    moved = an_entry(2, "2026-03-11", PutOff(Turn("it", "after:e1"), TODAY + timedelta(days=1)))

    assert said(chore(late_days=4), [done, moved]).endswith(
        "It was put off to tomorrow. Its window moved with it, so it can wait until Tuesday. "
        "By its rhythm it could wait until Saturday."
    )
    row, words = item(chore(late_days=4), [done, moved])
    figures = {name: plain(value) for name, value in numbers_used(row, words)}
    assert figures["Window"].endswith(" to 17 Mar")


@pytest.mark.parametrize("to", [0, 1, 7])
def test_the_own_window_of_a_turn_put_off_is_told(to: int) -> None:
    """Its own day is 24 February and 14 days, and 2 days it can wait: 12 March, today."""
    done = an_entry(1, "2026-02-24", done="it")
    moved = an_entry(2, "2026-03-11", PutOff(Turn("it", "after:e1"), TODAY + timedelta(days=to)))
    row, words = item(chore(late_days=2), [done, moved])

    assert "By its rhythm it could wait until today." in plain(reason(row, words))
    assert ("Its own window", "to 12 Mar") in [
        (name, plain(value)) for name, value in numbers_used(row, words)
    ]


def test_on_the_last_day_of_the_window_that_moved_no_lateness_is_told() -> None:
    """Its own last day was 7 March; put off to the 10th, it can wait 2 days there, till today."""
    done = an_entry(1, "2026-02-19", done="it")
    moved = an_entry(2, "2026-03-07", PutOff(Turn("it", "after:e1"), TODAY - timedelta(days=2)))
    row, words = item(chore(late_days=2), [done, moved])
    assert row.state is State.DUE

    assert plain(reason(row, words)).endswith(
        "Today is the last day that it can wait. By its rhythm it could have waited until Sat 7."
    )
    assert plain(state_words(row, words)) == "today, its last day"
    assert plain(state_words(row, words, for_ear=True)) == "today, its last day"


def test_missed_turns_are_told_once() -> None:
    """One tick settles them all."""
    weekly = chore(rhythm=by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-02-21"))

    assert said(weekly) == (
        "This chore comes every Saturday. It has not been done yet. "
        "The day of this turn was 21 February. "
        "3 turns wait together, and one tick settles them all."
    )


def test_a_window_is_told() -> None:
    """How far it could or can wait."""
    done = an_entry(1, "2026-02-24", done="it")

    assert said(chore(late_days=1), [done]).endswith("It could wait until yesterday.")
    assert said(chore(late_days=2), [done]).endswith("Today is the last day that it can wait.")
    assert said(chore(late_days=5), [done]).endswith("It can wait until Sunday.")
    early = chore(rhythm=AfterLastDone(days(20)), early_days=6)
    assert said(early, [done]).endswith("It may be done already since Tue 10.")


def test_a_window_begins_no_earlier_than_its_chore() -> None:
    """Begun yesterday and due on 20 March, it may be done 12 days before: not since 8 March.

    Where it came by another rhythm before, the first day of that one counts.
    """
    begun = replace(
        chore(early_days=12, rhythm=AfterLastDone(days(30))),
        first_due=date(2026, 3, 20),
        valid_from=date(2026, 3, 11),
    )
    row, words = item(begun)

    assert said(begun).endswith("It may be done already since yesterday.")
    assert dict(numbers_used(row, words))["Window"] == f"11{NB}Mar to 20{NB}Mar"
    assert item_fields(row, words)["earliest"] == "2026-03-11"
    before = EarlierRhythm(date(2026, 3, 9), AfterLastDone(days(60)))
    longer = replace(begun, earlier=(before,))
    assert said(longer).endswith("It may be done already since Mon 9.")


def test_a_window_begins_no_earlier_than_its_tank() -> None:
    """Started on 11 March and due on 20 March, 12 days before that there was no water in it.

    Where the chore was done before that day, it is only the stage that is new.
    """
    early = replace(
        chore(early_days=12, rhythm=AfterLastDone(days(16))), first_due=date(2026, 3, 20)
    )
    row, words = item(early)
    assert row.tank is not None
    started = replace(row, tank=replace(row.tank, since=date(2026, 3, 11)))

    assert item_fields(row, words)["earliest"] == "2026-03-08"
    assert item_fields(started, words)["earliest"] == "2026-03-11"
    row, words = item(early, [an_entry(1, "2026-03-04", done="it")])
    assert row.tank is not None
    later = replace(row, tank=replace(row.tank, since=date(2026, 3, 11)))
    assert item_fields(later, words)["earliest"] == "2026-03-08"


def test_seasons_hours_and_single_days_have_their_sentences() -> None:
    """Each rhythm in its own words."""
    summer = (Season(MonthDay(6, 1), MonthDay(9, 15), parse_interval("10 days")),)
    seasonal = chore(rhythm=AfterLastDone(parse_interval("14 days"), summer))
    hourly = chore(rhythm=AfterLastDone(parse_interval("8 hours")))

    assert "14 days after it is done, 10 days from 1 June to 15 September, so its day was" in said(
        seasonal, [an_entry(1, "2026-02-24", done="it")]
    )
    assert said(hourly, [an_entry(1, TODAY, done="it", at=time(6, 30))]) == (
        "Done today at 06:30. It comes 8 hours after it is done. Next today at 14:30."
    )
    assert said(chore(rhythm=Once(date(2026, 3, 20)))) == (
        "This comes once, and its day will be 20 March."
    )


def test_hours_are_told_with_their_time() -> None:
    """Due at a moment, not on a day."""
    rows, words = items(
        chore(rhythm=AfterLastDone(parse_interval("8 hours"))),
        [an_entry(1, "2026-03-11", done="it", at=time(22))],
    )

    assert plain(reason(rows[0], words)) == (
        "Last done yesterday. This chore comes 8 hours after it is done, "
        "so its time is today at 06:00."
    )


def test_after_midnight_work_of_the_day_that_runs_is_told_by_its_weekday() -> None:
    """At 03:29 of Friday 13 the day of Thursday runs: 07:45 "today" would be still to come."""
    row, words = item(chore(), [an_entry(1, TODAY, done="it", at=time(7, 45))])
    night = datetime(2026, 3, 13, 3, 29, tzinfo=BERLIN)
    words = replace(words, moment=replace(words.moment, now=night))

    assert words.today == date(2026, 3, 12)
    assert plain(reason(row, words)).startswith("Done on Thu 12 at 07:45. ")


def test_a_pause_that_moved_a_turn_is_told() -> None:
    """Frozen days do not count."""
    pause = an_entry(2, "2026-03-01", Pause(PauseMode.FREEZE, "it", date(2026, 3, 5)))

    assert said(chore(), [an_entry(1, "2026-02-24", done="it"), pause]) == (
        "Last done on 24 February. This chore comes 14 days after it is done. "
        "A pause moved it from Tue 10 to Sunday."
    )


def test_paused_chores_and_tanks_say_until_when() -> None:
    """And whether the days count."""
    done = an_entry(1, "2026-02-24", done="it")
    hold = an_entry(2, TODAY, Pause(PauseMode.HOLD, "it", date(2026, 4, 1)))
    freeze = an_entry(2, TODAY, Pause(PauseMode.FREEZE, "it"))

    assert said(chore(), [done, hold]) == (
        "Paused until 1 April, that day included. "
        "Time goes on during the pause, so it may be due as soon as it ends."
    )
    assert said(chore(), [done, freeze]) == (
        "Paused until somebody resumes it. The days of the pause do not count."
    )
    assert said(chore(), [done], tanks=(replace(nook(), stage=Stage.RETIRED),)) == (
        "The tank Nook is retired, so nothing is due there."
    )


def test_done_and_skipped_rows_tell_when_and_by_whom() -> None:
    """A reason is never empty."""
    done = replace(an_entry(1, TODAY, done="it", at=time(6, 58)), by="ilse")
    skip = replace(
        an_entry(1, TODAY, Skip(Turn("it", "first"), TODAY), at=time(6)), note="fish hide there"
    )

    assert said(chore(), [done]) == (
        "Done today at 06:58 by Ilse. It comes 14 days after it is done. Next on Thu 26."
    )
    assert said(chore(first_due=TODAY), [skip]) == (
        "Skipped today at 06:00. The note says: fish hide there. The next turn counts from today. "
        "Next on Thu 26."
    )


def test_a_closed_line_ends_with_its_next_day_and_has_no_window_any_more() -> None:
    """14 days after Thursday 12 March is Thursday 26; the window of the turn that is done is over.

    The water expects its next day only. What rests, and what comes once, has none.
    """
    early = chore(early_days=3, rhythm=AfterLastDone(days(14)))
    before = an_entry(1, "2026-02-24", done="it")
    done = an_entry(2, TODAY, done="it", at=time(6))
    skip = an_entry(2, TODAY, Skip(Turn("it", "2026-02-24"), TODAY), at=time(6))

    assert "Window" in figures(*item(early, [before]))
    for closing in (done, skip):
        row, words = item(early, [before, closing])
        assert row.state in (State.DONE, State.SKIPPED)
        assert plain(reason(row, words)).endswith(" Next on Thu 26.")
        assert "Window" not in figures(row, words)
    rest = an_entry(3, TODAY, Pause(PauseMode.FREEZE, chore="it"), at=time(6, 30))
    assert "Next" not in said(early, [before, done, rest])
    assert "Next" not in said(chore(rhythm=Once(date(2026, 3, 12))), [done])


def test_a_tick_of_an_hour_says_the_next_hour_of_the_day() -> None:
    """Fed at seven, the hour of the evening is next; with both done it is that of tomorrow."""
    hours = (time(7), time(18))
    twice = chore(rhythm=by_rule("FREQ=DAILY", "2026-03-12", hours))
    entries = [
        an_entry(seq, TODAY, done="it", key="2026-03-12", slot=hour, at=time(6, seq))
        for seq, hour in enumerate(hours, start=1)
    ]

    assert said(twice, entries[:1]).endswith(" Next today at 18:00.")
    assert said(twice, entries).endswith(" Next tomorrow at 07:00.")


# What the water says


def test_a_level_that_binds_is_told_with_its_loss_and_its_day() -> None:
    """Litres since the last fill, the loss with its span, millimetres, safe and usual day."""
    tank = nook(allowed_drop_mm=6.0, allowed_salinity_rise=5.0)

    text = said(top_off(), fills("2026-03-09"), tanks=(tank,))

    assert text.startswith("About 1.6 L has evaporated since Mon 9 at 12:00; at a loss of 0.6")
    assert "a day the level is 7 mm below the mark." in text
    assert plain(text).endswith(
        "The allowed drop of 6 mm binds first: to stay within it for sure, it should have been "
        "topped off by the round of Tue 10; most likely there was time until yesterday's round."
    )


def test_a_level_below_the_bottom_is_not_told() -> None:
    """At some 0.6 L a day the 86 L of the tank would be gone within half a year."""
    tank = nook(allowed_drop_mm=6.0, allowed_salinity_rise=5.0)

    text = said(top_off(), fills("2025-03-01"), tanks=(tank,))

    assert text.startswith("By a loss of 0.6")
    assert "more would have evaporated since " in text
    assert "than can be missing: fill to the mark and say how much." in text
    assert "mm below the mark" not in text


def test_a_salinity_that_binds_is_told_with_the_salinity_now() -> None:
    """Limit and the value worked out, with its span."""
    tank = nook(allowed_drop_mm=50.0, allowed_salinity_rise=0.3)

    text = said(top_off(), fills("2026-03-09"), tanks=(tank,))

    limit = "The salinity to top off at, 35.3 PSU (0.3 PSU above the full tank; now about 35.6 ± "
    assert limit in text
    assert text.count(".") - text.count("35.") >= 2


def salinity_since(last: str) -> tuple[str, str]:
    """Return the reason's salinity and the figure's, at 0.55 L a day since the last fill."""
    tank = nook(allowed_drop_mm=5000.0, allowed_salinity_rise=0.3)
    log, more = fills(last), {"tanks": (tank,)}
    row, words = item(top_off(), log, **more)
    told = said(top_off(), log, **more).partition("above the full tank; now ")[2].partition("),")[0]
    return told, plain(dict(numbers_used(row, words))["Salinity now, worked out"])


def test_a_salinity_beyond_what_is_reckoned_is_told_by_what_it_lies_above() -> None:
    """A fifth of 86.4 L are 17.3; 0.55 L a day for 26 days are 14.3, for 58 days 31.9.

    The balance of salt is reckoned no further: 35 there are 35 / (1 - 0.2 x 997 / 1023), so 43.48;
    with 14.3 of them gone they are 35 / (1 - 0.166 x 997 / 1023), so 41.7.
    """
    likely, beyond = salinity_since("2026-02-14"), salinity_since("2026-01-13")

    # Told with what the reading of a salinity is good for, and downwards.
    # In a sentence it stands in brackets, and has none of its own there.
    assert likely == ("about 42 PSU, 39 to over 43", "42 PSU (39 to over 43)")
    assert beyond == ("over 43.4 PSU, at least 42.4", "over 43.4 PSU (at least 42.4)")


def test_what_was_put_off_before_it_was_ever_done_reads_as_sentences() -> None:
    """No "after that" is left that nothing stands before."""
    moved = an_entry(1, "2026-03-11", PutOff(Turn("it", "first"), TODAY + timedelta(days=1)))

    assert said(chore(first_due=TODAY), [moved]).startswith(
        "It has not been done yet. This chore comes 14 days after it is done. "
        "It was put off to tomorrow."
    )


@pytest.mark.parametrize(
    ("read", "limit"),
    [
        # Kept a little below its target of 35: 0.3 beyond the target.
        (34.5, "35.3 PSU (0.3 PSU above its target;"),
        # Far below it: no further than one top-off may lower it again, by 1.5 (common practice, no
        # source).
        (
            33.0,
            "34.5 PSU (as far above the full tank as one top-off may lower it, "
            "about 33.0 PSU by the reading of Mon 9;",
        ),
        # Above it: what it is when full, and 0.3.
        (
            36.0,
            "36.3 PSU (0.3 PSU above the full tank, about 36.0 PSU by the reading of Mon 9;",
        ),
    ],
)
def test_a_limit_of_the_salinity_says_what_it_follows_from(read: float, limit: str) -> None:
    """It is another number than the range of the test of the same tank, so it says why."""
    tank = nook(allowed_drop_mm=5000.0, allowed_salinity_rise=0.3)
    value = ReadingValue("salinity", read, "practical", read)
    seen = an_entry(99, "2026-03-09", Readings((value,)), tank="nook")

    text = said(top_off(), [*fills("2026-03-09"), seen], tanks=(tank,))

    assert f"The salinity to top off at, {limit}" in text


@pytest.mark.parametrize(
    ("read", "limit", "follows"),
    [
        (34.5, "35.3 PSU", "0.3 PSU above its target"),
        (35.5, "35.8 PSU", "0.3 PSU above the full tank, about 35.5 PSU by the reading of Mon 9"),
        (36.0, "36.3 PSU", "0.3 PSU above the full tank, about 36.0 PSU by the reading of Mon 9"),
    ],
)
def test_the_figures_say_which_reading_moved_the_salinity_to_top_off_at(
    read: float, limit: str, follows: str
) -> None:
    """Another reading makes it another number, also where the level binds first."""
    tank = nook(allowed_drop_mm=4.0, allowed_salinity_rise=0.3)
    value = ReadingValue("salinity", read, "practical", read)
    seen = an_entry(99, "2026-03-09", Readings((value,)), tank="nook")

    found, words = items(top_off(), [*fills("2026-03-09"), seen], tanks=(tank,))
    figures = {name: plain(value) for name, value in numbers_used(found[0], words)}

    assert figures["Salinity to top off at"] == limit
    assert figures["It follows from"] == follows


def test_a_limit_that_a_filling_keeps_for_less_than_a_day_names_no_round_for_it() -> None:
    """The last safe one was that of the filling, which was done: it is due again every day."""
    text = said(top_off(), [*fills("2026-03-11")], tanks=(nook(allowed_drop_mm=1.0),))

    assert (
        "The allowed drop of 1 mm binds first: it may be reached in less than a day after a "
        "filling. It comes a day after the last filling at the soonest: today."
    ) in text


def test_what_was_changed_since_the_reading_is_told_as_reckoned_from_it() -> None:
    """36.0 on Monday; 10 of some 86 L of 33.0 leave (76 x 36 + 10 x 33) / 86 = 35.65 at most."""
    tank = nook(allowed_drop_mm=4.0, allowed_salinity_rise=0.3)
    value = ReadingValue("salinity", 36.0, "practical", 36.0)
    seen = an_entry(98, "2026-03-09", Readings((value,)), tank="nook")
    changed = an_entry(99, "2026-03-10", WaterChange(10.0, salinity=33.0), tank="nook")

    found, words = items(top_off(), [*fills("2026-03-09"), seen, changed], tanks=(tank,))
    figures = {name: plain(value) for name, value in numbers_used(found[0], words)}

    assert figures["It follows from"] == (
        "0.3 PSU above the full tank, about 35.6 PSU reckoned from the reading of Mon 9"
    )


def test_a_limit_at_the_end_of_the_range_says_so() -> None:
    """35.2 and 0.5 more would lie above 35.5, where the range of soft corals ends."""
    text, figures = soft_corals_read(35.2)

    assert "The salinity to top off at, 35.5 PSU (the high end of its range; now about 3" in text
    assert figures["Salinity to top off at"] == "35.5 PSU"


def test_a_full_tank_that_is_there_again_within_a_day_says_so_and_what_lowers_it() -> None:
    """A tank of 86 L at 35.4 loses enough in some hours to reach 35.5: no time to top off at."""
    text, figures = soft_corals_read(35.4)

    assert (
        "Even when full it has about 35.4 PSU, near the end of its range of 33.0 to 35.5 PSU, "
        "which it reaches again in less than a day: topping off does not lower it for long, a "
        "change with weaker salt water or fresh water in place of some of it does. About " in text
    )
    assert "of fresh water in place of as much water of the full tank brings it to 35.0 PSU" in text
    assert "top off at" not in text
    assert "Salinity to top off at" not in figures
    assert "Even when full it has about 35.4 PSU, near" in soft_corals_filled(35.4)
    assert "Even when full" not in soft_corals_filled(35.0)
    assert plain(figures["Salinity when full"]) == "35.4 PSU"


@pytest.mark.parametrize("drop_mm", [4.0, 5000.0], ids=["level", "salinity"])
def test_of_a_tank_that_is_too_salty_when_full_no_salinity_is_called_safe(drop_mm: float) -> None:
    """At 36.4 fresh water brings it back to 36.4; the range of soft corals ends at 35.5."""
    text, figures = soft_corals_read(36.4, drop_mm)

    assert (
        "Even when full it has about 36.4 PSU, above its range of 33.0 to 35.5 PSU: topping off "
        "does not lower that, a change with weaker salt water or fresh water in place of some of "
        "it does." in text
    )
    assert "36.9" not in text
    assert ("for sure" in text) is (drop_mm < 5000.0)
    assert ("Last safe round" in figures) is (drop_mm < 5000.0)
    assert "Salinity to top off at" not in figures
    assert figures["Salinity when full"] == "\N{BLACK UP-POINTING TRIANGLE} 36.4 PSU, above"
    assert figures["Salinity, range"] == "33.0 to 35.5 PSU"


@pytest.mark.parametrize("read", [35.5, 35.54])
def test_a_full_tank_at_the_end_of_its_range_says_so(read: float) -> None:
    """Whatever evaporates brings it out of its range; what is told as that end is not above it."""
    text, _ = soft_corals_read(read)

    assert "has about 35.5 PSU, at the end of its range of 33.0 to 35.5 PSU: topping off" in text


def soft_corals_read(salinity: float, drop_mm: float = 5000.0) -> tuple[str, dict[str, str]]:
    """Return reason and figures of a tank of soft corals read right after it was filled."""
    tank = replace(nook(allowed_drop_mm=drop_mm), community=Community.SOFT_CORAL)
    value = ReadingValue("salinity", salinity, "practical", salinity)
    seen = an_entry(99, "2026-03-09", Readings((value,)), tank="nook")
    found, words = items(top_off(), [*fills("2026-03-09"), seen], tanks=(tank,))
    figures = {name: plain(value) for name, value in numbers_used(found[0], words)}
    return plain(reason(found[0], words)), figures


def soft_corals_filled(salinity: float) -> str:
    """Return the reason of the top-off that was done today, with the reading right after it."""
    tank = replace(nook(allowed_drop_mm=5000.0), community=Community.SOFT_CORAL)
    value = ReadingValue("salinity", salinity, "practical", salinity)
    seen = an_entry(99, "2026-03-12", Readings((value,)), tank="nook", at=time(7, 1))
    filled = an_entry(98, "2026-03-12", TopOff(1.1), tank="nook", done="it", at=time(6, 50))
    row, words = item(top_off(), [*fills("2026-03-10"), filled, seen], tanks=(tank,))
    assert row.state is State.DONE
    return plain(reason(row, words))


def test_a_tank_that_was_never_filled_says_what_to_do() -> None:
    """Before the first fill only physics speaks."""
    text = said(top_off())

    assert text.startswith(
        "No filling to the mark is written down yet, so nothing can be counted from it. "
        "Fill to the mark and say how much. From surface and usual room air alone a loss of 1.2 L"
    )


def test_a_loss_that_nothing_taught_is_told_as_expected() -> None:
    """The first filling only begins the count; the ones after it are the log that tells."""
    once, often = (fills("2026-03-11", count=count) for count in (1, 12))
    sentence = "That loss is expected from surface and usual room air alone"

    assert sentence in said(top_off(), once)
    assert sentence not in said(top_off(), often)
    for entries, told in (
        ([], "expected from surface and usual room air alone"),
        (once, "expected from surface and usual room air alone"),
        (often, "as the log tells"),
    ):
        row, words = item(top_off(), entries)
        assert row.water is not None
        assert loss_line(row.water, words).endswith(f", {told}")


@pytest.mark.parametrize("stage", [Stage.RETIRED, Stage.PLANNED])
def test_a_tank_without_water_loses_none_wherever_its_figures_stand(stage: Stage) -> None:
    """Its page, the figures beside a chore and the exported state tell the same of it."""
    dry = replace(nook(), stage=stage, since=date(2026, 3, 12))
    row, words = item(replace(change(), rhythm=by_rule("FREQ=DAILY", "2026-03-01")), tanks=(dry,))
    assert row.water is not None
    told = dict(numbers_used(row, words))
    assert told["Water in the system"] == litres_line(row.water, words)
    assert told["Water in the system"].startswith("none now; it holds ")

    log = fills("2026-03-11", count=12)
    found = state(top_off(), log, tanks=(dry,))
    row = replace(item(top_off(), log, tanks=(dry,))[0], water=found.waters["nook"])
    assert row.water is not None
    told = dict(numbers_used(row, words))
    assert told["Loss a day"] == loss_line(row.water, words) == "none: there is no water in it"
    assert told.keys().isdisjoint(
        {"Learned from", "Level below the mark", "Salinity to top off at"}
    )
    fields = tank_fields(found, dry, words)
    assert fields["loss_l_per_day"] is fields["mm_below_mark"] is fields["salinity"] is None


def test_a_reservoir_tells_what_is_left_and_for_how_long() -> None:
    """And says it when nobody has written anything down."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(seq, f"2026-02-{day:02d}", ReservoirCheck(fill_l=8.0), tank="nook", done="it")
        for seq, day in enumerate((6, 12, 18, 24), start=1)
    ]
    log.append(an_entry(9, "2026-03-10", ReservoirCheck(left_l=6.0), tank="nook"))

    text = said(refill, log, tanks=(tank,))

    assert said(refill, tanks=(tank,)).startswith(
        "Nobody has written down yet how full the reservoir is. Fill it until full, or say how much"
    )
    assert text.startswith(
        "The reservoir was looked at on Tue 10 and holds about 3.6 L now; at a loss of 1.35 ±"
    )
    assert "it lasts " in text
    bottom = (
        "The bottom of the reservoir binds first: to stay above it for sure, fill the reservoir by"
    )
    assert bottom in text
    kept = replace(tank, top_off=TopOffLimits(reservoir_l=25.0, reserve_l=2.0))
    with_reserve = said(refill, log, tanks=(kept,))
    assert " more, down to its reserve of 2 L. The reserve of 2 L " in plain(with_reserve)


@pytest.mark.parametrize(
    ("reserve", "told"),
    [
        (3.5, "looked at on Tue 10 and holds about 3.6 L now; at a loss of "),
        (3.6, "looked at on Tue 10 and is down to its reserve of 3.6 L now; the tank loses "),
        (4.0, "looked at on Tue 10, holds about 3.6 L now and is below its reserve of 4 L; the "),
    ],
)
def test_a_reservoir_that_is_likely_below_its_reserve_tells_no_hours(
    reserve: float, told: str
) -> None:
    """At best it may last a day more, but the keeper is told where it likely stands.

    Where the litres are told no less than the reserve, these are left out.
    """
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0, reserve_l=reserve))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(seq, f"2026-02-{day:02d}", ReservoirCheck(fill_l=8.0), tank="nook", done="it")
        for seq, day in enumerate((6, 12, 18, 24), start=1)
    ]
    log.append(an_entry(9, "2026-03-10", ReservoirCheck(left_l=6.0), tank="nook"))

    row, words = item(refill, log, tanks=(tank,))

    text = plain(reason(row, words))
    assert f"The reservoir was {told}" in text
    figures = {name: plain(value) for name, value in numbers_used(row, words)}
    assert figures["Reserve in it"] == f"{reserve:g} L"
    if "it lasts " in text:
        assert "Loss reckoned with" in figures
        assert figures["Reservoir lasts"] in text
    else:
        assert not figures.keys() & {"Loss reckoned with", "Reservoir lasts"}
        assert f"{figures['Reservoir']} of {reserve:g} L" in text
    assert ("it lasts " in text) == (reserve == 3.5)
    assert row.water is not None
    column = plain(lasts_or_reserve(row.water, words))
    assert column == figures.get("Reservoir", figures.get("Reservoir lasts"))


def test_a_reservoir_that_was_found_empty_lasts_no_day() -> None:
    """That is more than that it is below its reserve."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0, reserve_l=4.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(1, "2026-03-04", ReservoirCheck(fill_l=8.0), tank="nook", done="it"),
        an_entry(2, "2026-03-11", ReservoirCheck(left_l=0.0), tank="nook"),
    ]

    row, words = item(refill, log, tanks=(tank,))

    assert row.water is not None
    assert plain(lasts_or_reserve(row.water, words)) == "0 days"
    assert plain(reason(row, words)).startswith("The reservoir was found empty yesterday; ")


@pytest.mark.parametrize(
    ("filled", "litres"), [("2026-03-10", 10.8), ("2026-03-10", 18.5), ("2026-03-09", 18.5)]
)
def test_a_reservoir_lasts_at_worst_to_the_hour_that_is_warned_of(
    filled: str, litres: float
) -> None:
    """In whole hours below two days and in whole days beyond, whatever the household's day is."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=litres))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(1, date.fromisoformat(filled) - timedelta(days=2), ReservoirCheck(), tank="nook"),
        an_entry(2, filled, ReservoirCheck(), tank="nook", done="it"),
    ]
    row, words = item(refill, log, tanks=(tank,))
    assert row.limit.limit_at is not None
    hours = int((row.limit.limit_at - words.moment.now) / timedelta(hours=1))
    low = f"{hours} hours to " if hours < 48 else f"{hours // 24} to "

    text = plain(reason(row, words))

    assert re.search(rf"it lasts {low}\d+ days more", text)
    figures = dict(numbers_used(row, words))
    assert f"it lasts {plain(figures['Reservoir lasts'])} more" in text


def test_a_reservoir_that_ran_dry_tells_what_is_missing_in_the_tank() -> None:
    """Nothing keeps the level any more."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=5.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(seq, f"2026-02-{day:02d}", ReservoirCheck(fill_l=3.0), tank="nook", done="it")
        for seq, day in enumerate((18, 21, 24, 27), start=1)
    ]

    text = said(refill, log, tanks=(tank,))

    assert text.startswith("The reservoir should be empty by now; at a loss of 1.0")
    assert " L is missing in the tank. The bottom of the reservoir binds first" in text


def test_more_than_the_reservoir_holds_is_poured_in_parts() -> None:
    """The pump takes what the tank lacks while it is filled; all at once runs over."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=5.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    row, words = item(refill, tanks=(tank,))
    due = replace(row, amount=AmountDue(8.0, "L", 7.0, 9.0))
    assert amount_reason(due, words) == (
        f"The reservoir holds 5{NB}L. The pump takes about 3{NB}L of it into the tank first: "
        "pour in parts, and never over its rim."
    )
    assert amount_reason(replace(row, amount=AmountDue(4.0, "L", 3.0, 5.0)), words) == ""


def test_what_the_pump_takes_is_what_is_told_to_be_missing_in_the_tank() -> None:
    """In the same digits, though the litres to fill in are told in whole ones."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=20.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [an_entry(1, "2026-02-22", ReservoirCheck(fill_l=20.0), tank="nook", done="it")]
    row, words = item(refill, log, tanks=(tank,))
    assert row.water is not None
    water = replace(row.water, evaporated=Estimate(0.7, 0.2, 1.2))
    row = replace(row, water=water, amount=AmountDue(21.0, "L", 20.2, 21.2))

    text = plain(reason(row, words))

    assert "about 0.7 L is missing in the tank" in text
    assert "The pump takes about 0.7 L of it into the tank first" in text


def test_a_reservoir_that_was_found_empty_says_so_and_not_that_it_should_be() -> None:
    """What somebody saw is told as seen."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=5.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [
        an_entry(seq, f"2026-03-{day:02d}", ReservoirCheck(fill_l=3.0), tank="nook", done="it")
        for seq, day in enumerate((1, 4, 7), start=1)
    ]
    log.append(an_entry(4, "2026-03-09", ReservoirCheck(left_l=0.0), tank="nook"))

    text = said(refill, log, tanks=(tank,))

    assert text.startswith("The reservoir was found empty on Mon 9; at a loss of ")
    assert "should" not in text
    assert "binds first" not in text


def test_an_amount_that_the_chore_sets_says_so() -> None:
    """A feeding of 0.6 g: every amount can say where it comes from."""
    feed = chore(
        ChoreKind.FEEDING,
        "Feed",
        by_rule("FREQ=DAILY", "2026-03-01"),
        amount=Amount(0.6, AmountUnit.GRAMS),
    )

    assert "0.6 g is what the chore itself sets." in said(feed, [])


def test_a_tank_that_stood_still_says_that_its_level_is_not_known() -> None:
    """During a freeze a tank may have been emptied or moved."""
    freeze = an_entry(
        50, "2026-03-09", Pause(PauseMode.FREEZE, None, date(2026, 3, 11)), tank="nook"
    )

    assert said(top_off(), [*fills("2026-03-07"), freeze]).startswith(
        "The tank was paused since it was filled last, so nobody knows where its water stands. "
        "Fill it and say how much."
    )


def test_water_that_was_added_in_part_is_told_apart() -> None:
    """What is missing is less than what evaporated."""
    part = an_entry(50, "2026-03-11", TopOff(0.5, to_mark=False), tank="nook")

    text = said(
        top_off(),
        [*fills("2026-03-07"), part],
        tanks=(nook(allowed_drop_mm=8.0, allowed_salinity_rise=5.0),),
    )

    assert text.startswith(
        "About 2.3 L is missing: what evaporated since Sat 7 at 12:00 at a loss of 0.6"
    )
    assert "L a day, less 0.5 L added since. The allowed drop of 8 mm binds first" in text


def test_a_large_top_off_is_split_over_days() -> None:
    """Salinity is lowered at a safe pace, and the whole is told beside the part."""
    tank = nook(allowed_drop_mm=10.0, allowed_salinity_rise=0.5)

    text = said(top_off(), fills("2026-03-01", litres=1.5), tanks=(tank,))

    assert "is missing, and so much at once would lower the salinity too fast: put in " in text
    # The 8.3 L, and the 0.76 L that each day until the last takes.
    assert text.endswith("put in 3.3 L a day on 3 days, with what evaporates meanwhile.")


@pytest.mark.parametrize(
    ("value", "count", "meanwhile", "is_reservoir", "told"),
    [
        (8.0, 2, 1.0, False, "put in 8 L a day on 2 days, with what evaporates meanwhile."),
        (7.5, 2, 0.0, False, "put in 7.5 L a day on 2 days."),
        (
            8.0,
            2,
            1.0,
            True,
            "put in 8 L a day on 2 days, with what evaporates meanwhile, and on the last of them "
            "also what fills the reservoir.",
        ),
        (
            5.0,
            3,
            None,
            False,
            "put in 5 L today and as much on each day after; a day takes about as much away, so "
            "nobody can tell on which day it is full.",
        ),
    ],
)
def test_the_parts_of_a_large_top_off_and_what_they_hold_are_told(
    value: float, count: int, meanwhile: float | None, is_reservoir: bool, told: str
) -> None:
    """Twice 8 L are more than 15 L: the reason says why, or nobody can add them up."""
    split = AmountDue(value, "L", value, value, whole=15.0, days=count, meanwhile=meanwhile)

    text = _split(split, Words(a_household(), MOMENT), fills_reservoir=is_reservoir)

    assert text.replace(NBSP, " ").startswith("15 L is missing")
    assert text.replace(NBSP, " ").endswith(told)


def test_the_longest_interval_is_told_where_it_binds() -> None:
    """The water would have asked later."""
    tank = nook(allowed_drop_mm=300.0, allowed_salinity_rise=6.0)
    bounded = top_off(rhythm=WhenWaterSays(Condition.EVAPORATION, max_days=3))

    text = said(bounded, fills("2026-03-09"), tanks=(tank,))

    assert text.endswith(
        "It comes at least every 3 days, counted from Mon 9, whatever the water says."
    )


def test_a_skipped_top_off_tells_where_it_stands_now() -> None:
    """The last safe round is past, and the turn stands after the skip."""
    tank = nook(allowed_drop_mm=5.0)
    skip = an_entry(50, "2026-03-11", Skip(Turn("it", "after:e12")))

    text = said(top_off(), [*fills("2026-03-05"), skip], tanks=(tank,))

    assert "The last turn was skipped, so this one stands today." in text


def test_a_top_off_done_in_part_says_so_and_not_that_it_was_skipped() -> None:
    """How much of what was missing went in, on which day, and when the rest stands."""
    part = an_entry(50, "2026-03-11", TopOff(1.0, to_mark=False), tank="nook", done="it")
    tank = nook(allowed_drop_mm=5.0)

    text = said(top_off(), [*fills("2026-03-05"), part], tanks=(tank,))

    told = "Partly done: 1 L of about 3.5 L yesterday; the rest, with what evaporated since, is due"
    assert f"{told} today." in text
    assert "skipped" not in text


def test_the_rest_of_a_part_stands_today_and_names_no_safe_round_gone_by() -> None:
    """Row, reason and figures agree: the level may be passed, and what helps is due today."""
    tank = nook(allowed_drop_mm=6.0, allowed_salinity_rise=5.0)
    part = an_entry(50, "2026-03-11", TopOff(2.5, to_mark=False), tank="nook", done="it")

    row, words = item(top_off(), [*fills("2026-03-05"), part], tanks=(tank,))
    text = plain(reason(row, words))

    assert row.limit.limit_at == part.at
    assert state_words(row, words) == "today"
    assert (
        "The allowed drop of 6 mm may be passed; the rest brings it back. Partly done: 2.5" in text
    )
    assert "safe" not in text
    assert not {"Last safe round", "Last likely safe round"} & set(figures(row, words))


def test_a_limit_that_surely_is_passed_is_not_told_as_one_that_may_be() -> None:
    """By the least loss, too, 6 mm of a tank of 2400 cm2 are gone within a week of 1.5 L a day."""
    tank = nook(allowed_drop_mm=6.0, allowed_salinity_rise=5.0)
    part = an_entry(50, "2026-03-11", TopOff(0.1, to_mark=False), tank="nook", done="it")

    text = said(top_off(), [*fills("2026-03-01"), part], tanks=(tank,))

    assert "The allowed drop of 6 mm is passed; the rest brings it back. Partly done: 0.1" in text


def test_what_was_missing_when_a_part_went_in_does_not_grow_afterwards() -> None:
    """The rest was due the day after the part, and the total is that of the part's own moment."""
    part = an_entry(50, "2026-03-09", TopOff(1.0, to_mark=False), tank="nook", done="it")
    tank = nook(allowed_drop_mm=5.0)

    text = said(top_off(), [*fills("2026-03-05"), part], tanks=(tank,))

    told = "Partly done: 1 L of about 2.3 L on Mon 9; the rest, with what evaporated since, was due"
    assert f"{told} on Tue 10." in text


@pytest.mark.parametrize(
    ("last", "reservoir_l"),
    [
        ("2026-02-19", None),
        ("2026-02-24", None),
        ("2026-03-01", None),
        ("2026-03-05", None),
        ("2026-02-19", 4.0),
        ("2026-02-24", 4.0),
    ],
)
def test_the_total_of_a_part_is_the_one_that_was_told_when_it_went_in(
    last: str, reservoir_l: float | None
) -> None:
    """Also where the loss moves with the season, here from a dry February to a damp May."""
    climate = (ClimateRow(2, 20.0, 0.2), ClimateRow(5, 24.0, 0.8))
    tank = replace(nook(allowed_salinity_rise=0.5), room="hall")
    chore, log = top_off(), fills(last)
    if reservoir_l is not None:
        tank = replace(tank, top_off=TopOffLimits(reservoir_l=reservoir_l))
        chore = replace(chore, kind=ChoreKind.RESERVOIR)
        log = [replace(one, fact=ReservoirCheck(fill_l=1.1)) for one in log]
        log.append(an_entry(40, "2026-03-11", ReservoirCheck(left_l=0.0), tank="nook"))
    more = {"tanks": (tank,), "rooms": (Room("hall", "Hall", climate=climate),)}
    row, words = item(chore, log, **more)
    assert row.amount is not None
    assert row.amount.whole is not None
    part = an_entry(
        50, MOMENT.day, TopOff(0.4, to_mark=False), tank="nook", done="it", at=time(7, 4)
    )
    home = replace(words.household, people=())

    later = fold_household(home, history_of([*log, part]), MOMENT.now + timedelta(days=1))
    after = items_of(later, later.chores[0])[0]

    text = plain(reason(after, Words(home, later.moment)))
    total = plain(words.litres(row.amount.whole))
    assert after.amount is not None
    split = after.amount.is_split
    rest = "the rest, with what evaporated since,"
    rest = "more evaporated since, and the next part" if split else rest
    assert f"Partly done: 0.4 L of about {total} yesterday; {rest} is due today." in text


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (("2026-03-11",), "0.5 L of about 3.5 L yesterday"),
        (("2026-03-10", "2026-03-11"), "1 L of about 3.5 L on Tue 10 and yesterday"),
        (("2026-03-08", "2026-03-09"), "1 L of about 2.3 L on Sun 8 and on Mon 9"),
        (("2026-03-07", "2026-03-09", "2026-03-11"), "1.5 L of about 3.5 L since Sat 7"),
    ],
)
def test_parts_of_several_days_are_told_of_all_of_them(days: tuple[str, ...], told: str) -> None:
    """The sum of all went in on no single day."""
    parts = [
        an_entry(50 + at, on, TopOff(0.5, to_mark=False), tank="nook", done="it")
        for at, on in enumerate(days)
    ]
    tank = nook(allowed_drop_mm=5.0, allowed_salinity_rise=5.0)
    row, words = item(top_off(), [*fills("2026-03-05"), *parts], tanks=(tank,))

    assert f"Partly done: {told}; the rest, with what evaporated since, " in plain(
        reason(row, words)
    )


def test_of_a_rest_that_is_spread_over_days_only_the_next_part_is_due() -> None:
    """Not all of the rest may go in today."""
    part = an_entry(50, "2026-03-11", TopOff(1.0, to_mark=False), tank="nook", done="it")

    text = said(top_off(), [*fills("2026-02-20"), part], tanks=(nook(allowed_drop_mm=5.0),))

    assert "yesterday; more evaporated since, and the next part is due today." in text
    assert "the rest is due" not in text


def test_a_part_that_was_more_than_was_expected_to_be_missing_is_told_alone() -> None:
    """A total below what went in would be untrue."""
    part = an_entry(50, "2026-03-11", TopOff(6.0, to_mark=False), tank="nook", done="it")
    tank = nook(allowed_drop_mm=5.0)

    text = said(top_off(), [*fills("2026-03-05"), part], tanks=(tank,))

    assert "Partly done: 6 L yesterday; the rest is due today." in text


def test_a_row_done_in_part_says_that_the_rest_follows() -> None:
    """It is done for today, and yet not to the mark."""
    part = an_entry(
        50, "2026-03-12", TopOff(1.0, to_mark=False), tank="nook", done="it", at=time(6)
    )

    row, words = item(top_off(), [*fills("2026-03-05"), part])

    assert plain(reason(row, words)) == (
        "Partly done today at 06:00. 1 L fresh water went in; more follows the day after."
    )
    assert plain(last_times([part], words)[0][1]) == "1 L in part"


def test_the_last_times_tell_what_nobody_measured() -> None:
    """A part kept as proposed, a whole fill, and salt water; what was measured is told alone."""
    log = [
        an_entry(1, "2026-03-08", TopOff(2.0, estimated=True), tank="nook", done="it"),
        an_entry(2, "2026-03-09", WaterChange(9.0, estimated=True), tank="nook", done="it"),
        an_entry(3, "2026-03-10", ReservoirCheck(4.0, estimated=True), tank="nook", done="it"),
        an_entry(4, "2026-03-11", TopOff(2.0), tank="nook", done="it"),
        an_entry(5, "2026-03-12", TopOff(1.1, False, True), tank="nook", done="it"),
    ]
    _, words = item(top_off(), log[:1])

    assert [plain(told) for _, told, _ in last_times(log, words)] == [
        "about 1.1 L in part",
        "2 L",
        "4 L left",
        "about 9 L",
        "about 2 L",
    ]


def test_what_is_not_known_is_said_with_what_would_make_it_known() -> None:
    """Stock, and a tank without measures."""
    bare = replace(nook(), shape=Shape(ShapeKind.OTHER), target_salinity=None)

    assert said(chore(rhythm=WhenWaterSays(Condition.STOCK, of="salt mix", max_days=9))) == (
        "The stock of salt mix is to decide this, but nothing counts it down yet: only its longest "
        "interval does. Once done it comes at least every 9 days."
    )
    assert said(top_off(), tanks=(bare,)).endswith(
        "The loss a day is not known: give the inside measures of the tank, or its volume."
    )


def test_a_tank_without_any_limit_says_so() -> None:
    """A loss alone sets no day."""
    tank = replace(nook(), target_salinity=None)
    bounded = top_off(rhythm=WhenWaterSays(Condition.EVAPORATION, max_days=30))

    assert (
        "No limit is known: say how far the level may fall, or give the target salinity."
        in said(bounded, fills("2026-03-09"), tanks=(tank,))
    )


def test_turns_far_ahead_are_told_as_expected() -> None:
    """The first to come is counted from the last completion, the ones after it are about a day."""
    log = fills("2026-03-11")
    water = state(top_off(), log, tanks=(nook(allowed_drop_mm=10.0, allowed_salinity_rise=5.0),))
    counted = state(chore(), [an_entry(1, "2026-03-10", done="it")])
    words = Words(counted.household, counted.moment)

    weeks = ahead_of(counted, TODAY, date(2026, 4, 10)).items
    tops = ahead_of(water, TODAY, date(2026, 4, 10)).items

    assert [plain(reason(row, words)) for row in weeks] == [
        "Last done on Tue 10. This chore comes 14 days after it is done, "
        "so its day will be 24 March.",
        "Expected about 7 April, if the turns before it are done on their days. "
        "This chore comes 14 days after it is done.",
    ]
    last = plain(reason(tops[-1], words))
    assert ", if the turns before it are done on their days. At a loss of 0.6" in last
    assert last.endswith(
        " days from full, and moves with the loss. "
        "Fills of days to come are reckoned at 07:00, the hour of the round: "
        "a later one can move it by a day."
    )


def test_turns_behind_one_that_waits_since_a_past_day_say_from_when_they_count() -> None:
    """Its own day is over, so that no later one can count from it."""
    late = replace(chore(), late_days=20)
    counted = state(late, [an_entry(1, "2026-02-24", done="it")])
    words = Words(counted.household, counted.moment)

    (first, *_) = ahead_of(counted, TODAY + timedelta(days=1), date(2026, 4, 10)).items

    assert plain(reason(first, words)) == (
        "Expected about 26 March, if the turn that is open is done today and those after it "
        "on their days. This chore comes 14 days after it is done."
    )
    (first, *_) = ahead_of(counted, TODAY, date(2026, 4, 20), has_open=False, waits=True).items
    assert plain(reason(first, words)) == (
        "Expected about 13 April, if the turn that is open is done on its last day, 30 March, "
        "and those after it on their days. This chore comes 14 days after it is done."
    )


def test_amounts_tell_where_they_come_from() -> None:
    """Percent of the system, salt by the yield, tests by name."""
    tenth = change(first_due=TODAY)
    tenth = replace(tenth, amount=Amount(10.0, AmountUnit.PERCENT))
    mixing = chore(
        ChoreKind.MIX_SALT_WATER,
        "Mix",
        tank=None,
        first_due=TODAY,
        amount=Amount(14.0, AmountUnit.LITRES),
    )
    test = chore(ChoreKind.TEST, "Test", first_due=TODAY, tests=("alkalinity", "ph"))

    assert said(tenth).endswith("10 % of the 86 ± 9 L in the system is 8.6 L.")
    assert said(mixing).endswith("14 L takes 515 g of salt by the yield of the mix.")
    assert said(test).endswith("To test: alkalinity and pH.")


@pytest.mark.parametrize(("stock", "is_short"), [(20.0, True), (515.0, False), (None, False)])
def test_salt_that_is_too_little_is_told(stock: float | None, is_short: bool) -> None:
    """14 L take 515 g by the yield of the mix; only of a supply that the chore uses."""
    salt = Supply("salt", "Reef salt", "g", stock)
    mixing = chore(
        ChoreKind.MIX_SALT_WATER,
        "Mix",
        tank=None,
        first_due=TODAY,
        amount=Amount(14.0, AmountUnit.LITRES),
        uses=(Use("salt"),),
    )

    told = said(mixing, supplies=(salt,))

    assert ("The salt is too little: 20 g of Reef salt were counted last." in told) is is_short
    assert ("too little" in told) is is_short
    other = replace(mixing, uses=())
    assert "too little" not in said(other, supplies=(salt,))


@pytest.mark.parametrize("litres", [0.2, 1.0, 4.0, 9.0])
@pytest.mark.parametrize("last", ["2025-01-01", "2026-02-20", "2026-03-09", "2026-03-11"])
def test_a_reason_has_one_to_four_sentences(last: str, litres: float) -> None:
    """Whatever the log says."""
    tank = nook(allowed_drop_mm=10.0, allowed_salinity_rise=0.5)
    rows, words = items(top_off(late_days=2), fills(last, litres), tanks=(tank,))

    for row in rows:
        text = reason(row, words)
        assert 1 <= text.count(". ") + 1 <= 4
        assert text.endswith(".")


# The figures beside it


def figures(row: Item, words: Words) -> dict[str, str]:
    """Return the figures by their label."""
    return {label: plain(value) for label, value in numbers_used(row, words)}


def test_the_numbers_of_a_top_off_are_listed() -> None:
    """Each with its unit and its span."""
    tank = nook(allowed_drop_mm=10.0, allowed_salinity_rise=0.5)
    row, words = item(top_off(), fills("2026-03-09"), tanks=(tank,))

    found = figures(row, words)

    assert found["Water in the system"] == "86 ± 9 L"
    assert found["Learned from"] == "11 fills in 22 days"
    assert found["Level below the mark"] == "7 mm"
    assert found["Allowed drop"] == "10 mm"
    assert found["Salinity to top off at"] == "35.5 PSU"
    assert found["Last done"] == "Mon 9"
    assert {"Loss a day", "Salinity now, worked out", "Last safe round"} <= set(found)


def test_a_part_adds_no_day_to_what_the_loss_was_learned_from() -> None:
    """The fills that count lie in the same days as before it, as many as they are."""
    part = an_entry(50, "2026-03-12", TopOff(0.5, to_mark=False), tank="nook", at=time(6))
    row, words = item(top_off(), [*fills("2026-03-09"), part])

    assert figures(row, words)["Learned from"] == "11 fills in 22 days"


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        (time(7), time(7), "2 fills in 4 days"),
        (time(6), time(22, 48), "2 fills in 4.7 days"),
        (time(23), time(21, 40), "2 fills in 3.9 days"),
        (time(6), time(6, 40), "2 fills in 4 days"),
    ],
)
def test_few_days_of_which_the_loss_was_learned_are_told_to_a_tenth(
    first: time, last: time, told: str
) -> None:
    """Cut off, 4.7 days would read as a loss that is a sixth higher than it is."""
    log = [
        an_entry(1, "2026-03-05", TopOff(2.0), tank="nook", done="it", at=first),
        an_entry(2, "2026-03-07", TopOff(1.2), tank="nook", done="it", at=time(7)),
        an_entry(3, "2026-03-09", TopOff(1.2), tank="nook", done="it", at=last),
    ]

    assert figures(*item(top_off(), log))["Learned from"] == told


def test_many_days_of_which_the_loss_was_learned_are_rounded_to_whole_ones() -> None:
    """Six fills every two days lie in 12 days, from 5 to 23 o'clock in 12.75."""
    log = fills("2026-03-09", count=7)
    log[0] = an_entry(1, "2026-02-25", TopOff(1.1), tank="nook", done="it", at=time(5))
    log[-1] = an_entry(7, "2026-03-09", TopOff(1.5), tank="nook", done="it", at=time(23))

    assert figures(*item(top_off(), log))["Learned from"] == "6 fills in 13 days"


def test_the_first_figure_says_where_it_comes_from() -> None:
    """With no log it is physics."""
    row, words = item(top_off())

    assert figures(row, words)["Learned from"] == "surface, air not fully known"


def test_a_water_change_lists_the_readings_it_is_for_with_their_day() -> None:
    """The newest salinity, nitrate and phosphate; what a change does not thin out is left away."""
    values = (parse_reading("nitrate", "14 mg/L"), parse_reading("alkalinity", "8.2 dKH"))
    log = [FEBRUARY_24, an_entry(2, "2026-03-10", Readings(values), tank="nook")]
    row, words = item(change(late_days=3), log)

    found = figures(row, words)

    assert found[f"Nitrate, Tue{NBSP}10"] == "14 mg/L"
    assert not any(label.startswith("Alkalinity") for label in found)
    assert found["Interval"] == "14 days"
    assert found["Window"] == "10 Mar to 13 Mar"


def test_the_last_times_come_newest_first_and_at_most_five() -> None:
    """Day, amount, person."""
    log = [replace(entry, by="jonas") for entry in fills("2026-03-09", every=7)]
    _, words = item(top_off(), log)

    found = last_times(log, words)

    assert len(found) == 5
    assert found[0] == (f"Mon{NB}9{NB}Mar", f"1.1{NB}L", "Jonas")
    assert found[-1] == (f"9{NB}Feb", f"1.1{NB}L", "Jonas")


def test_after_midnight_a_day_of_figures_is_named_until_the_next_one_begins() -> None:
    """At 01:30 on Friday the day of the household is still Thursday 12, which its readings are of.

    What was read at one o'clock is of this night.
    """
    read = Readings((parse_reading("nitrate", "14 mg/L"),))
    daily = change(rhythm=by_rule("FREQ=DAILY", "2026-03-12", (time(8), time(18))))
    done = an_entry(1, "2026-03-12", done="it", key="2026-03-12", slot=time(8), at=time(8))
    evening = an_entry(2, "2026-03-12", read, tank="nook", at=time(19))
    night = replace(an_entry(3, "2026-03-13", read, tank="nook", at=time(1)), day=TODAY)

    def told(read: Entry) -> tuple[dict[str, str], dict[str, str]]:
        found, words = items(daily, [done, read])
        row = next(one for one in found if one.is_open)
        late = replace(words, moment=a_moment("2026-03-13", time(1, 30)))
        return figures(row, words), figures(row, late)

    by_day, late = told(evening)
    assert by_day["Nitrate, today"] == late[f"Nitrate, Thu{NB}12"] == "14 mg/L"
    assert (by_day["Last done"], late["Last done"]) == ("today", "Thu 12")
    assert told(night)[1]["Nitrate, tonight"] == "14 mg/L"


def test_the_last_times_tell_no_hour_of_what_was_written_down_without_one() -> None:
    """The round is at 07:00; what was done yesterday stands there in the log, and nobody said so.

    The hour of a turn that has one is told.
    """
    usual = an_entry(1, "2026-03-11", done="it", at=time(7))
    again = an_entry(2, "2026-03-11", done="it", at=time(19, 20))
    row, words = item(chore(), [usual, again])
    fed = [
        an_entry(seq, "2026-03-11", done="it", key="2026-03-11", slot=at, at=at)
        for seq, at in enumerate((time(7), time(18)), start=3)
    ]
    filled = [
        an_entry(seq, "2026-03-11", TopOff(1.0), done="it", tank="nook", at=at)
        for seq, at in enumerate((time(7), time(18)), start=5)
    ]

    def told(log: list[Entry]) -> list[str]:
        return [plain(what) for _, what, _ in last_times(log, words, row)]

    assert told([usual, again]) == ["19:20", ""]
    assert told(fed) == ["18:00", "07:00"]
    assert told(filled) == ["1 L, 18:00", "1 L"]


def test_a_reading_between_two_tests_is_told_as_one() -> None:
    """The test was last done before it, and the panel says so above."""
    test = chore(ChoreKind.TEST, "Test nitrate", tests=("nitrate",))
    read = [Readings((parse_reading("nitrate", text),)) for text in ("6 mg/L", "9 mg/L")]
    done = an_entry(1, "2026-03-05", read[0], tank="nook", done="it")
    beside = an_entry(2, "2026-03-10", read[1], tank="nook")
    row, words = item(test, [done, beside])

    told = [plain(what) for _, what, _ in last_times([done, beside], words, row)]

    assert told == ["9 mg/L, in between", "6 mg/L"]
    assert figures(row, words)["Last done"] == "5 March"


def test_water_changed_besides_is_told_as_extra() -> None:
    """It is one of the last times of the water, and no turn of the chore."""
    change = chore(ChoreKind.WATER_CHANGE, "Change water")
    done = an_entry(1, "2026-03-05", WaterChange(9.0), tank="nook", done="it")
    beside = an_entry(2, "2026-03-10", WaterChange(5.0, estimated=True), tank="nook")
    row, words = item(change, [done, beside])

    told = [plain(what) for _, what, _ in last_times([done, beside], words, row)]

    assert told == ["about 5 L, extra", "9 L"]
    assert figures(row, words)["Last done"] == "5 March"


def test_a_test_by_trend_tells_which_test_read_it_last() -> None:
    """Round and panel tell the same: what another test read does it, and so is its last time."""
    test = chore(
        ChoreKind.TEST,
        "Alkalinity by trend",
        WhenWaterSays(Condition.FORECAST, of="alkalinity", max_days=1),
        tests=("alkalinity",),
    )
    other = chore(name="Test alkalinity", kind=ChoreKind.TEST, id="other", tests=("alkalinity",))
    days_of_march = ("2026-03-05", "2026-03-10", "2026-03-11")
    does = ("it", None, "other")
    log = [
        an_entry(seq, on, Readings((parse_reading("alkalinity", "8"),)), tank="nook", done=done)
        for seq, (on, done) in enumerate(zip(days_of_march, does, strict=True), start=1)
    ]
    state_now = state(test, log, chores=(test, other), tanks=(nook(),))
    words = Words(state_now.household, state_now.moment)
    row = items_of(state_now, state_now.chores[0])[0]

    told = [plain(what) for _, what, _ in last_times(log, words, row)]

    assert told == ["8 dKH, with Test alkalinity", "8 dKH, logged", "8 dKH"]
    assert figures(row, words)["Last read"] == "yesterday, with Test alkalinity"
    assert "Last done" not in figures(row, words)

    (read,) = (one for one in log if one.completes_chore("other"))
    today = replace(read, day=TODAY, at=MOMENT.now, by="jonas")
    state_now = state(test, [*log[:2], today], chores=(test, other), tanks=(nook(),))
    row = items_of(state_now, state_now.chores[0])[0]
    assert row.state is State.DONE
    assert plain(reason(row, words)).startswith(
        "Read with Test alkalinity today at 07:04 by Jonas. It comes when the forecast"
    )


def test_last_times_of_one_day_are_told_apart_and_a_skipped_one_says_so() -> None:
    """Two feeds of a day looked like one written down twice."""
    log = fills("2026-03-09", every=7)[:2]
    first, second = (replace(one, fact=None, day=log[0].day) for one in log)
    skipped = replace(first, fact=Skip(Turn("fill", "2026-03-09")), day=TODAY)
    _, words = item(top_off(), log)

    assert [told[1] for told in last_times([first], words)] == [""]
    amounts = [told[1] for told in last_times([first, second, skipped], words)]
    assert amounts[0] == "skipped"
    assert sorted(amounts[1:]) == sorted(words.clock(one.at) for one in (first, second))


def test_amounts_of_one_day_have_their_hour_in_the_last_times() -> None:
    """Two doses of a day looked like one written down twice; one alone has its amount only."""
    log = fills("2026-03-09", every=7)[:3]
    first, second = (replace(one, day=log[0].day) for one in log[:2])
    _, words = item(top_off(), log)

    amounts = [told[1] for told in last_times([first, second, log[2]], words)]

    hours = [f"1.1{NB}L, {words.clock(one.at)}" for one in (first, second)]
    assert sorted(amounts) == sorted([*hours, f"1.1{NB}L"])


@pytest.mark.parametrize(
    ("litres", "told"),
    [
        (40.0, "40 L is 46 % of the 86 ± 9 L in the system."),
        (13.0, "13 L is 15 % of the 86 ± 9 L in the system."),
        (20.5, "20.5 L is 23.8 % of the 86 ± 9 L in the system."),
        (0.6, "0.6 L is 0.7 % of the 86 ± 9 L in the system."),
    ],
)
def test_the_share_of_a_change_comes_to_the_litres_told(litres: float, told: str) -> None:
    """60 x 40 x 36 cm are 86.4 L, told as 86: 46 % of it are 39.6, so 40; 24 % would be 20.6.

    The water is told as the numbers beside the reason tell it.
    """
    one = replace(change(first_due=TODAY), amount=Amount(litres, AmountUnit.LITRES))

    assert said(one).endswith(told)
    figures = dict(numbers_used(*item(one)))
    assert f"of the {plain(figures['Water in the system'])} in the system" in told
