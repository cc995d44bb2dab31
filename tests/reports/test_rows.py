"""The words of a row: amount, state, who, caution, and the sentence for a screen reader."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest

from tankkeeper.core.advice import ADVICE, EARLIER
from tankkeeper.core.amounts import AmountDue
from tankkeeper.core.catalogue_row import CatalogueRow
from tankkeeper.core.catalogue_rows import ROWS
from tankkeeper.core.chores import (
    Amount,
    AmountUnit,
    ChoreKind,
    IfMissed,
    Once,
)
from tankkeeper.core.household import Animal, ShownUnits, TopOffLimits
from tankkeeper.core.logbook import (
    Pause,
    PauseMode,
    PutOff,
    ReservoirCheck,
    Skip,
    TopOff,
    Turn,
    WaterChange,
)
from tankkeeper.core.making_ready import NotReady
from tankkeeper.core.state import Item, items_of
from tankkeeper.core.turns import OpenTurn, State
from tankkeeper.reports.cautions import advice_of, caution_at
from tankkeeper.reports.numbers import NBSP, plain
from tankkeeper.reports.reasons import reason
from tankkeeper.reports.rows import (
    amount_words,
    caution_long,
    caution_short,
    place_line,
    row_sentence,
    short_line,
    state_words,
    who_words,
)
from tankkeeper.reports.window_words import move_verb, moved_word
from tankkeeper.reports.words import WEEKDAYS
from tests.builders import a_box, a_household, an_entry, by_rule
from tests.reports.scenes import (
    EVAPORATION,
    MOMENT,
    NB,
    PEOPLE,
    TODAY,
    change,
    chore,
    item,
    items,
    nook,
    state,
    top_off,
    words_for,
)


def an_item(state: State, target: str, **more: object) -> Item:
    """Return a row of the water change with a turn on `target`."""
    day = date.fromisoformat(target)
    one = change()
    turn = OpenTurn(Turn(one.id, "first"), day, day, day, state)
    made = Item(turn=turn.turn, state=state, chore=one, tank=None, open=turn)
    return replace(made, **more)  # type: ignore[arg-type]


def with_turn(item: Item, **more: object) -> Item:
    """Return the row with its turn changed."""
    assert item.open is not None
    return replace(item, open=replace(item.open, **more))  # type: ignore[arg-type]


def at(hour: int, on: date = TODAY) -> datetime:
    """Return a moment of the household's day."""
    return MOMENT.at(on, time(hour))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (an_item(State.OVERDUE, "2026-03-10"), f"2{NB}days overdue"),
        (an_item(State.OVERDUE, "2026-03-11"), f"1{NB}day overdue"),
        (
            with_turn(an_item(State.OVERDUE, "2026-03-07"), missed=2),
            f"5{NB}days overdue, 3{NB}turns",
        ),
        (
            with_turn(an_item(State.DUE, "2026-03-11"), latest=date(2026, 3, 12), missed=1),
            f"today, its last day, 2{NB}turns",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 14), missed=1),
            f"since Tue, until Sat, 2{NB}turns",
        ),
        (an_item(State.DUE, "2026-03-12"), "today"),
        (with_turn(an_item(State.DUE, "2026-03-12"), due_at=at(19)), "today by 19:00"),
        (
            with_turn(an_item(State.DUE, "2026-03-12"), due_at=at(19), latest=date(2026, 3, 13)),
            "today at 19:00",
        ),
        (with_turn(an_item(State.DUE, "2026-03-12"), due_at=at(6)), "today, since 06:00"),
        (
            with_turn(
                an_item(State.DUE, "2026-03-12"),
                due_at=at(18),
                turn=Turn("it", "2026-03-12", time(18)),
            ),
            "from 18:00",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-13"), latest=date(2026, 3, 14)),
            "can wait to Sat",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-13"), latest=date(2026, 3, 24)),
            f"can wait to 24{NB}Mar",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 13)),
            "since Tue, until Fri",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 16)),
            "since Tue, until Mon",
        ),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 17)),
            f"since Tue, until 17{NB}Mar",
        ),
        (
            with_turn(an_item(State.DUE, "2026-03-10"), latest=date(2026, 3, 12)),
            "today, its last day",
        ),
        (an_item(State.PROJECTED, "2026-03-14"), f"about Sat{NB}14"),
        (
            with_turn(an_item(State.MAY_WAIT, "2026-03-14"), is_put_off=True),
            f"put off to Sat{NB}14",
        ),
        (
            with_turn(an_item(State.PROJECTED, "2026-03-14"), is_put_off=True),
            f"put off to Sat{NB}14",
        ),
        (an_item(State.DONE, "2026-03-12", open=None), "done"),
        (an_item(State.SKIPPED, "2026-03-12", open=None), "skipped"),
        (an_item(State.PAUSED, "2026-03-12", open=None), "paused"),
    ],
)
def test_the_state_is_told_in_words(row: Item, said: str) -> None:
    """Overdue counts the days past the latest day; several missed turns are one row."""
    assert state_words(row, words_for()) == said


def test_missed_work_is_said_in_whole_words_to_the_ear() -> None:
    """The row is short; a screen reader says that it can wait."""
    row = with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 13))
    assert state_words(row, words_for(), for_ear=True) == f"since Tue{NBSP}10, can wait to tomorrow"
    week = with_turn(an_item(State.MAY_WAIT, "2026-03-10"), latest=date(2026, 3, 17))
    said = state_words(week, words_for(), for_ear=True)
    assert said == f"since Tue{NBSP}10, can wait to 17{NBSP}March"


def test_a_turn_that_was_brought_forward_was_not_put_off() -> None:
    """A Saturday's turn that stands on Friday; the reason says from where to where it went."""
    weekly = chore(rhythm=by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-14"))
    row, words = item(
        weekly, [an_entry(1, "2026-03-12", PutOff(Turn("it", "2026-03-14"), date(2026, 3, 13)))]
    )
    assert state_words(row, words) == f"moved to Fri{NB}13"
    assert "It was brought forward from Saturday to tomorrow." in reason(row, words)


@pytest.mark.parametrize(
    ("target", "verb", "done"),
    [("2026-03-13", "Put off", "Put off"), ("2026-03-15", "Bring forward", "Brought forward")],
)
def test_moving_to_an_earlier_day_is_bringing_forward(target: str, verb: str, done: str) -> None:
    """Saturday 14 is later than Friday and earlier than Sunday."""
    items = [an_item(State.PROJECTED, target)]
    assert move_verb(items, date(2026, 3, 14)) == verb
    assert moved_word(items, date(2026, 3, 14)) == done


def test_a_day_that_no_tick_moves_is_told_without_about() -> None:
    """A single day, or one by the calendar, stands where it stands."""
    once, words = item(chore(rhythm=Once(date(2026, 3, 20))))
    weekly = chore(rhythm=by_rule("FREQ=WEEKLY;BYDAY=SA", "2026-03-14", (time(18),)))
    saturday, _ = item(weekly)

    assert state_words(once, words) == f"Fri{NB}20"
    assert state_words(saturday, words) == f"Sat{NB}14 at 18:00"


def test_done_skipped_and_paused_rows_come_from_the_logbook() -> None:
    """The time of a tick is the wall time in the household's zone."""
    turn = Turn("it", "after:e1")
    before = an_entry(1, "2026-02-24", done="it")
    ticked = replace(an_entry(2, TODAY, done="it", key="after:e1", at=time(6, 58)), by="ilse")
    skipped = replace(an_entry(2, TODAY, Skip(turn), at=time(6)), by="jonas")
    pause = an_entry(2, TODAY, Pause(PauseMode.HOLD, "it", date(2026, 4, 1)))

    done, words = item(change(), [before, ticked])
    left_out, _ = item(change(), [before, skipped])
    paused, _ = item(change(), [before, pause])

    assert state_words(done, words) == "done 06:58"
    assert who_words(done, words) == "Ilse"
    assert (state_words(left_out, words), who_words(left_out, words)) == ("skipped", "Jonas")
    assert state_words(paused, words) == f"paused to 1{NB}April"


def test_a_turn_put_off_stands_on_its_new_day() -> None:
    """It is open or to come by that day alone."""
    before = an_entry(1, "2026-02-24", done="it")
    moved = an_entry(2, "2026-03-10", PutOff(Turn("it", "after:e1"), date(2026, 3, 15)))

    row, words = item(change(), [before, moved])

    assert state_words(row, words) == f"put off to Sun{NB}15"


def test_a_turn_put_off_past_its_own_window_is_not_late_before_it_is_overdue() -> None:
    """Its own last day is 10 March and 2 days; its window moved with it, to 17 March."""
    before = an_entry(1, "2026-02-24", done="it")
    moved = an_entry(2, "2026-03-10", PutOff(Turn("it", "after:e1"), date(2026, 3, 15)))

    row, words = item(replace(change(), late_days=2), [before, moved])

    assert state_words(row, words) == f"put off to Sun{NB}15"
    assert state_words(row, words, for_ear=True) == f"put off to Sun{NB}15"


def test_a_turn_put_off_can_wait_from_its_new_day_as_long_as_from_its_own() -> None:
    """Its own day is 8 March and it can wait 2 days; from the 11th, that is until Friday 13."""
    before = an_entry(1, "2026-02-22", done="it")
    moved = an_entry(2, "2026-03-08", PutOff(Turn("it", "after:e1"), date(2026, 3, 11)))

    row, words = item(replace(change(), late_days=2), [before, moved])

    assert row.state is State.MAY_WAIT
    assert state_words(row, words) == "since Wed, until Fri"


@pytest.mark.parametrize(
    ("amount", "kind", "said"),
    [
        (AmountDue(40.0, "L"), ChoreKind.WATER_CHANGE, f"40{NB}L salt water"),
        (AmountDue(2.7, "L", 2.3, 3.0), ChoreKind.TOP_OFF, f"2.7{NB}L fresh water"),
        (AmountDue(0.71, "L", 0.55, 0.9), ChoreKind.RESERVOIR, f"0.71{NB}L fresh water"),
        (AmountDue(0.7, "L", 0.5, 0.9), ChoreKind.TOP_OFF, f"0.7{NB}L fresh water"),
        (AmountDue(0.01, "L", 0.0, 0.02), ChoreKind.TOP_OFF, "hardly any water"),
        (
            AmountDue(14.0, "L", salt_g=515.2),
            ChoreKind.MIX_SALT_WATER,
            f"14{NB}L, 515{NB}g salt",
        ),
        (AmountDue(2.0, "tests"), ChoreKind.TEST, f"2{NB}tests"),
        (AmountDue(1.0, "tests"), ChoreKind.TEST, f"1{NB}test"),
        (AmountDue(1.0, "pieces"), ChoreKind.FILTER_MEDIA, f"1{NB}piece"),
        (AmountDue(1.5, "pieces"), ChoreKind.FILTER_MEDIA, f"1.5{NB}pieces"),
        (AmountDue(4.0, "g"), ChoreKind.FEEDING, f"4{NB}g"),
        (AmountDue(20.0, "L"), ChoreKind.FETCH_WATER, f"20{NB}L"),
    ],
)
def test_the_amount_is_told_with_its_unit(amount: AmountDue, kind: ChoreKind, said: str) -> None:
    """Water, salt and tests each have their own words."""
    row = replace(an_item(State.DUE, "2026-03-12"), chore=chore(kind), amount=amount)

    assert amount_words(row, words_for()) == said


def test_an_amount_that_is_not_known_says_how_far_to_fill() -> None:
    """Nothing logged: the mark tells how much."""
    row, words = item(top_off())

    assert amount_words(row, words) == "fill to the mark"
    assert short_line(row, words) == "Top off, fill to the mark"


def test_a_done_row_tells_what_was_written_down() -> None:
    """What was proposed is the past."""
    row, words = item(top_off(), [an_entry(1, TODAY, TopOff(2.4), tank="nook", done="it")])

    assert amount_words(row, words) == f"2.4{NB}L fresh water"
    changed, _ = item(
        change(), [an_entry(1, TODAY, WaterChange(38.0, salinity=35.1), tank="nook", done="it")]
    )
    assert amount_words(changed, words) == f"38{NB}L salt water"


def test_the_head_of_the_panel_and_the_line_above_it() -> None:
    """Chore with amount, and the tank with the state."""
    row, words = item(change(), [an_entry(1, "2026-02-24", done="it")])

    assert short_line(row, words) == f"Change water, 40{NB}L"
    assert place_line(row, words) == f"Nook, 2{NB}days overdue"


def test_a_row_is_read_aloud_with_its_units_spoken() -> None:
    """A screen reader gets words, no signs."""
    row, words = item(change(), [an_entry(1, "2026-02-24", done="it")])

    assert row_sentence(row, words) == (
        "Nook, change water, 40 litres salt water, 25 minutes, Jonas, 2 days overdue, "
        "caution: unplug the heater"
    )


def test_grams_gallons_and_weekdays_are_spoken_too() -> None:
    """One litre is one litre, and Sat is Saturday."""
    mixing = chore(
        ChoreKind.MIX_SALT_WATER,
        "Mix salt water",
        tank=None,
        first_due=TODAY + timedelta(days=1),
        early_days=2,
        late_days=1,
        amount=Amount(14.0, AmountUnit.LITRES),
    )
    row, words = item(mixing)
    gallons = words_for(replace(a_household(), units=ShownUnits("US gal")))

    assert row_sentence(row, words) == (
        "Household, mix salt water, 14 litres, 515 grams salt, can wait to Saturday, "
        "caution: keep cables dry"
    )
    assert "3.7 US gallons, 515 grams salt" in row_sentence(row, gallons)


def test_the_chores_own_caution_leads() -> None:
    """The keeper knows what is in the tank."""
    row, _ = item(change(caution="Lionfish"))
    long, _ = item(change(caution="the urchin sits behind the pump and stings through gloves"))

    assert caution_short(row, words_for()) == "lionfish"
    assert caution_short(long, words_for()) == "unplug the heater"
    assert caution_long(long).startswith(
        "The urchin sits behind the pump and stings through gloves. Switch off and unplug"
    )


def test_the_chores_own_caution_begins_as_small_as_the_other_marks() -> None:
    """In the row it stands among them; an abbreviation stays as it is written."""
    cables = next(row for row in ROWS if row.key == "cables")
    dry, _ = item(chore(cables.kind, cables.name, caution=cables.caution))
    rcd, _ = item(change(caution="RCD on first."))

    assert caution_short(dry, words_for()) == "dry hands only"
    assert caution_long(dry).startswith("Dry hands only.")
    assert caution_short(rcd, words_for()) == "RCD on first"


@pytest.mark.parametrize("name", ["Nook", "Old Tom", "Ilse"])
def test_a_caution_that_begins_with_a_name_keeps_its_letter(name: str) -> None:
    """Of a tank, an animal or a person; where the name is only part of a word it is none."""
    animals = (Animal("nook", "Old Tom", 1),)
    home = replace(a_household(), people=PEOPLE, tanks=(nook(),), animals=animals)
    bites, _ = item(change(caution=f"{name} bites."))
    longer, _ = item(change(caution=f"{name}ish water"))
    words = words_for(home)

    assert caution_short(bites, words) == f"{name} bites"
    assert caution_short(longer, words) == f"{name[0].lower()}{name[1:]}ish water"
    assert f"caution: {name} bites" in row_sentence(bites, words)


@pytest.mark.parametrize("kind", list(ChoreKind))
def test_cautions_are_short_in_the_row_and_defer_to_local_rules_in_the_panel(
    kind: ChoreKind,
) -> None:
    """Electricity is left to the rules of the place and to licensed people."""
    row, _ = item(chore(kind, "It"))
    short, long = caution_short(row, words_for()), caution_long(row)

    assert short == "" or 2 <= len(short.split()) <= 4
    assert bool(long) == bool(short)
    if "socket" in long or "tap" in long:
        assert long.endswith("belong to licensed people.")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_what_the_panel_cautions_of_has_its_sign_in_the_row(row: CatalogueRow) -> None:
    """A caution that shows only in the panel is met by nobody who ticks from the list."""
    it, _ = item(chore(row.kind, row.name, tests=row.tests, caution=row.caution))

    assert bool(caution_short(it, words_for())) == bool(caution_long(it))


def test_the_weight_of_water_is_told_in_the_units_of_the_household() -> None:
    """5 US gallons are 5 * 3.785 = 18.9 L, 18.9 kg, and those 18.9 / 0.4536 = 41.7 pounds."""
    row, words = item(change())
    gallons = words_for(replace(a_household(), units=ShownUnits("US gal")))

    assert f"5{NB}US{NB}gal of water weigh about 42{NB}lb: pump" in caution_at(row, gallons)
    assert "20 litres of water weigh about 20 kg: pump" in caution_at(row, words)


def test_a_part_of_what_is_missing_says_of_how_much() -> None:
    """The level shows all of it, so the row must not look as if it were less."""
    fill = an_item(State.DUE, "2026-03-12", chore=top_off())
    part = replace(fill, amount=AmountDue(5.5, "L", 5.0, 6.0, whole=11.0, days=2))
    assert amount_words(part, words_for()) == f"5.5{NB}L of 11{NB}L fresh water"


def test_a_day_that_is_over_is_not_taken_for_the_next_one_of_its_name() -> None:
    """Monday three days ago has its date."""
    row, _ = item(change(late_days=1, first_due=TODAY - timedelta(days=4)))
    said = reason(row, words_for())
    day = TODAY - timedelta(days=3)
    assert f"It could wait until {WEEKDAYS[day.weekday()]} {day.day}" in said


def test_advice_that_warns_of_no_harm_carries_no_sign() -> None:
    """It stands beside the line in the panel; a caution of one's own always has its sign."""
    text = "What lies uneaten after two minutes was too much."
    tip, _ = item(chore(ChoreKind.FEEDING, "Feed", caution=text))
    own, _ = item(chore(ChoreKind.FEEDING, "Feed", caution=f"{text} The lionfish stings."))

    assert (caution_short(tip, words_for()), caution_long(tip), advice_of(tip)) == ("", "", text)
    assert (caution_short(own, words_for()), advice_of(own)) == ("read the caution", "")
    assert caution_long(own).startswith(text)


def test_an_instrument_needs_no_reagents() -> None:
    """A test of nitrate warns of them, a thermometer does not."""
    kit, _ = item(chore(ChoreKind.TEST, "Test", tests=("nitrate",)))
    meter, _ = item(chore(ChoreKind.TEST, "Test", tests=("temperature",)))

    assert "Reagents" in caution_long(kit)
    assert caution_long(meter) == ""


def test_all_advice_is_the_catalogues() -> None:
    """Word for word, so that none of it is lost when a text is changed there."""
    assert {row.caution for row in ROWS} >= ADVICE
    assert not ADVICE & EARLIER


def test_heavy_water_carries_a_caution_and_light_water_none() -> None:
    """15 L weigh 15 kg: common practice, no source."""
    heavy, _ = item(top_off(amount=Amount(16.0, AmountUnit.LITRES)))
    light, _ = item(top_off(amount=Amount(2.0, AmountUnit.LITRES)))

    assert caution_short(heavy, words_for()) == "mind the weight"
    assert (caution_short(light, words_for()), caution_long(light)) == ("", "")


def test_feedings_of_a_day_are_told_apart_by_their_time() -> None:
    """The one done shows when, the one to come from when."""
    feeding = chore(
        ChoreKind.FEEDING,
        "Feed",
        rhythm=by_rule("FREQ=DAILY", "2026-01-01", (time(6), time(18))),
        if_missed=IfMissed.EXPIRE,
    )
    done = an_entry(1, TODAY, done="it", key="2026-03-12", slot=time(6), at=time(6, 58))

    rows, words = items(feeding, [done])

    assert [state_words(row, words) for row in rows] == [
        "done 06:58",
        "from 18:00",
        f"Fri{NB}13 at 06:00",
    ]


@pytest.mark.parametrize(
    ("filled", "seen", "heard"),
    [
        ("2026-02-24", "expected, until Tue", "can wait to Tuesday, expected, not measured yet"),
        ("2026-02-19", "today, expected", "today, expected, not measured yet"),
        ("2026-03-06", "today, expected", "today, expected, not measured yet"),
    ],
)
def test_a_reservoir_whose_loss_is_a_guess_says_so_instead_of_being_late(
    filled: str, seen: str, heard: str
) -> None:
    """Until the expected day; the reason says that it is expected, not measured."""
    tank = a_box("Nook", top_off=TopOffLimits(reservoir_l=25.0))
    refill = chore(ChoreKind.RESERVOIR, "Fill the reservoir", EVAPORATION)
    log = [an_entry(1, filled, ReservoirCheck(fill_l=8.0), tank="nook", done="it")]

    row, words = item(refill, log, tanks=(tank,))

    assert state_words(row, words) == seen
    assert plain(state_words(row, words, for_ear=True)) == heard
    assert "expected, not measured yet, so it is overdue only after that" in reason(row, words)


def test_a_change_says_that_its_water_is_not_mixed_or_when_it_is_ready() -> None:
    """In the row, to the ear, and with the litres in the reason."""
    mix = chore(ChoreKind.MIX_SALT_WATER, "Mix salt water", by_rule("FREQ=DAILY", "2026-03-01"))
    mix = replace(mix, id="mix", tank=None)
    one = change(first_due=TODAY)
    folded = state(one, chores=(one, mix))
    row, words = items_of(folded, folded.chores[0])[0], words_for(folded.household)

    assert state_words(row, words) == "today, not mixed yet"
    assert state_words(row, words, for_ear=True) == "today, its water is not mixed yet"
    assert f"It needs 40{NB}L of mixed salt water, and Mix salt water is not done yet." in reason(
        row, words
    )
    for at, seen in ((MOMENT.at(TODAY, time(19)), "ready 19:00"), (MOMENT.usual(-1), "ready Fri")):
        later = replace(row, not_ready=NotReady(mix, at))
        assert state_words(later, words) == f"today, {seen}"
        assert later.open is not None
        waiting = replace(later.open, target=TODAY - timedelta(days=1), state=State.MAY_WAIT)
        waiting = replace(waiting, latest=TODAY + timedelta(days=2))
        since = replace(later, state=State.MAY_WAIT, open=waiting)
        assert state_words(since, words).startswith("until ")
        assert state_words(since, words).endswith(f", {seen}")
        assert state_words(since, words, for_ear=True).startswith("since ")
        assert "Its salt water was mixed and is ready " in reason(later, words)
