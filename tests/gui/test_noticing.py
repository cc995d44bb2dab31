"""Days off are told in one sentence and written down in one form; a clock that is wrong is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest

from tankkeeper.core.chores import Calendar, Chore, ChoreKind, IfMissed
from tankkeeper.core.communities import Community
from tankkeeper.core.household import Household
from tankkeeper.core.logbook import Entry, Readings, TopOff, WaterChange
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.away_form import AwayForm
from tankkeeper.gui.noticing import NO_DAYS_OFF
from tankkeeper.gui.palette import Scheme
from tankkeeper.gui.widgets.buttons import Button
from tankkeeper.gui.widgets.notice_bar import NoticeBar
from tankkeeper.reports.numbers import plain
from tankkeeper.services.away import AWAY_AFTER
from tests.builders import BERLIN, an_entry, day
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import SEVEN, Hands, chore, small_house
from tests.gui.setting_hands import save

DAILY = Calendar("FREQ=DAILY", date(2026, 3, 1))
SUNDAY_EVENING = an_entry(1, "2026-03-08", done="trap", at=time(19, 30))
SENTENCE = "Away since Sunday evening: 3 overdue, 4 due."


def _house(*chores: Chore) -> Household:
    """Return the small house with other chores; the trap, done on Sunday, is not due before 15."""
    usual = (
        chore("glass", "Clean the glass", 10),
        chore("wipe", "Wipe the lid", 11),
        chore("look", "Look at the pump", None, rhythm=DAILY, tank="nook"),
        *(one for one in small_house().chores if one.id in ("change", "test", "fill", "meter")),
    )
    return small_house(chores=(chore("trap", "Rinse the trap", 1), *(chores or usual)))


def _away(live_in: LiveIn, *entries: Entry, **more: object) -> Hands:
    """Open the house on Thursday morning, four days after the last entry."""
    values = {"household": _house(), "entries": entries or (SUNDAY_EVENING,)} | more
    return live_in(**values)


def _notice(hands: Hands) -> str:
    assert hands.window.morning is not None
    return hands.window.morning.notices.sentence


def _form(hands: Hands) -> AwayForm:
    form = hands.form()
    assert isinstance(form, AwayForm)
    return form


def _say(form: AwayForm, chore_id: str, option: str) -> None:
    """Choose an option of a line, as the arrow keys would."""
    line = next(one for one in form.lines if one._piled.item.chore.id == chore_id)
    options = [line.choice.itemText(n).replace("\N{NO-BREAK SPACE}", " ") for n in range(9)]
    line.choice.setCurrentIndex(options.index(option))


def _done(hands: Hands) -> dict[str, date]:
    """Return the day on which each chore stands as done in the file, without the first entry."""
    return {
        one.entry.completes[0].chore: one.entry.day
        for one in hands.log()
        if one.entry.completes and not one.revoked and one.entry.at > SUNDAY_EVENING.at
    }


def test_days_off_are_told_in_one_sentence(live_in: LiveIn) -> None:
    """Since when, and how much is overdue and due in the whole house; no form opens by itself."""
    hands = _away(live_in)

    assert _notice(hands) == SENTENCE
    assert not hands.has_form()
    assert hands.list.hasFocus()


def test_the_sentence_counts_the_whole_house_whatever_tank_is_chosen(live_in: LiveIn) -> None:
    """Looking at one tank makes the others no less overdue."""
    hands = _away(live_in)

    hands.press("Ctrl+Down")

    assert _notice(hands) == "Away since Sunday evening: 3 overdue, 4 due in the whole house."
    hands.press("Ctrl+Home")
    assert _notice(hands) == SENTENCE


@pytest.mark.parametrize(
    ("ago", "is_told"), [(AWAY_AFTER, False), (AWAY_AFTER + timedelta(minutes=1), True)]
)
def test_a_day_without_an_entry_is_no_absence(
    live_in: LiveIn, ago: timedelta, is_told: bool
) -> None:
    """Anybody's entry of the last 36 hours counts."""
    at = (SEVEN - ago).astimezone(BERLIN)
    hands = _away(live_in, an_entry(1, at.date(), done="glass", at=at.time()))

    assert bool(_notice(hands)) is is_told


def test_whoever_wrote_down_an_earlier_day_was_there_when_it_was_written(live_in: LiveIn) -> None:
    """The look of Tuesday, written down on Thursday at 07:04: on Saturday that Thursday counts."""
    look = chore("look", "Look at the pump", None, rhythm=DAILY, tank="nook")
    first = _away(live_in, household=_house(look))
    first.press("W")
    _say(_form(first), "look", "Done Tue 10")
    first.press("Return")
    assert _done(first) == {"look": day("2026-03-10")}
    first.close()

    hands = live_in(is_there=True, now=SEVEN + timedelta(days=2))

    assert _notice(hands).startswith("Away since Thursday morning: ")


def test_a_household_without_an_entry_was_left_by_nobody(live_in: LiveIn) -> None:
    """The first morning begins without a question."""
    assert _notice(live_in()) == ""


def test_the_sentence_follows_the_ticks_and_goes_when_all_is_done(live_in: LiveIn) -> None:
    """Ticking at the lines is as good; the sentence stays until nothing is overdue or due."""
    house = _house(chore("glass", "Clean the glass", 10), chore("wipe", "Wipe", 12))
    hands = _away(live_in, household=house)
    assert _notice(hands) == "Away since Sunday evening: 1 overdue, 1 due."

    hands.press("Space")
    assert _notice(hands) == "Away since Sunday evening: 1 due."
    hands.press("Space")

    assert _notice(hands) == ""


def test_escape_closes_the_notice_and_what_was_done_can_still_be_said(live_in: LiveIn) -> None:
    """What was read need not be told again; the keys stay in the list; a slip loses nothing."""
    hands = _away(live_in)

    hands.press("Esc")
    hands.press("Space")

    assert _notice(hands) == ""
    assert hands.list.hasFocus()
    hands.press("W")
    assert hands.has_form()
    hands.press("Return")
    assert not hands.has_form()
    # Dealt with: it stands no more, but who forgot something says it by the same key.
    assert _notice(hands) == ""
    hands.press("W")
    assert hands.has_form()


def test_what_was_done_meanwhile_is_one_deed_with_the_day_of_each(live_in: LiveIn) -> None:
    """Two chores of two days are kept at once, and one undo takes both back."""
    hands = _away(live_in, person="Bo")
    hands.press("W")
    form = _form(hands)
    _say(form, "look", "Done Tue 10")
    _say(form, "wipe", "Done Wed 11")

    hands.press("Return")

    assert not hands.has_form()
    assert _notice(hands) == ""
    assert _done(hands) == {"look": day("2026-03-10"), "wipe": day("2026-03-11")}
    assert {one.entry.by for one in hands.log()[:2]} == {"bo"}
    assert hands.told.replace("\u00a0", " ") == (
        "Wrote down 2 chores done while you were away, from Tuesday 10 March to Wednesday 11 March."
    )
    hands.press("Ctrl+Z")
    assert _done(hands) == {}


def test_what_was_answered_stands_there_again_after_the_form_was_left(live_in: LiveIn) -> None:
    """Escape drops no answers: days, numbers and who did it come back; what is kept is gone."""
    fill = next(one for one in small_house().chores if one.id == "fill")
    look = chore("look", "Look at the pump", None, rhythm=DAILY, tank="nook")
    hands = _away(live_in, household=_house(look, replace(fill, early_days=3)), person="bo")
    hands.press("W")
    form = _form(hands)
    _say(form, "look", "Done Tue 10")
    _say(form, "fill", "Done Wed 11")
    line = next(one for one in form.lines if one._piled.item.chore.id == "fill")
    assert line.litres is not None
    line.litres.set_text("1,2 l")
    form.who.setCurrentIndex(form.who.findText("Ada"))
    hands.press("Esc")
    assert _done(hands) == {}

    hands.press("W")

    form = _form(hands)
    days = {one._piled.item.chore.id: one.day for one in form.lines if one.day is not None}
    assert days == {"look": day("2026-03-10"), "fill": day("2026-03-11")}
    line = next(one for one in form.lines if one._piled.item.chore.id == "fill")
    assert line.litres is not None
    assert line.litres.isVisible()
    assert line.litres.text == "1,2 l"
    assert form.who.currentText() == "Ada"
    hands.press("Return")
    assert _done(hands) == {"look": day("2026-03-10"), "fill": day("2026-03-11")}


def test_the_whole_form_goes_by_keyboard(live_in: LiveIn) -> None:
    """Down chooses a day, Tab goes on, Return keeps; nothing needs the mouse."""
    hands = _away(live_in)
    hands.press("W")
    form = _form(hands)
    assert form.lines[0].choice.hasFocus()

    hands.press("Down", "Tab")
    assert form.lines[0].day is not None
    # Who did it is asked of what was done, where several may have.
    assert hands.focus() is form.lines[0].who
    hands.press("Tab")
    assert form.lines[1].choice.hasFocus()
    hands.press("Return")

    assert len(_done(hands)) == 1
    assert hands.list.hasFocus()


def _by(hands: Hands) -> dict[str, str | None]:
    """Return who did each chore as it stands in the file, without the first entry."""
    return {
        one.entry.completes[0].chore: one.entry.by
        for one in hands.log()
        if one.entry.completes and one.entry.at > SUNDAY_EVENING.at
    }


def test_each_line_is_of_a_person_of_its_own_where_there_are_several(live_in: LiveIn) -> None:
    """What is chosen for all goes for the lines of which nothing else was said; Esc keeps it."""
    feed = chore("feed", "Feed", None, rhythm=DAILY, tank="nook", if_missed=IfMissed.EXPIRE)
    glass, wipe = chore("glass", "Clean the glass", 10), chore("wipe", "Wipe the lid", 11)
    hands = _away(live_in, household=_house(glass, wipe, feed), person="ada")
    hands.press("W")
    form = _form(hands)
    (daily,), (first, second) = form.daily, form.lines[:2]
    for line in (daily, first, second):
        assert line.who is not None
        assert not line.who.isVisible()
        assert line.who.currentText() == "Ada"

    hands.press("Down", "Tab")
    assert hands.focus() is daily.who
    hands.press("Tab", "Down", "Tab")
    assert hands.focus() is first.who
    hands.type("B")
    hands.press("Tab", "Down")
    form.who.setFocus()
    hands.type("N")
    assert [one.who and one.who.currentText() for one in (daily, first, second)] == [
        "Nobody named",
        "Bo",
        "Nobody named",
    ]
    hands.press("Esc", "W")
    form = _form(hands)
    form.who.setFocus()
    hands.type("A")
    hands.press("Return")

    assert _by(hands) == {"feed": "ada", "glass": "bo", "wipe": "ada"}


def test_a_household_of_one_is_asked_once_who_did_it(live_in: LiveIn) -> None:
    """There is nobody else a line could be of."""
    alone = replace(_house(), people=_house().people[:1])
    hands = _away(live_in, household=alone, person="ada")
    hands.press("W", "Down", "Tab")
    form = _form(hands)
    assert form.lines[0].who is None
    assert form.lines[1].choice.hasFocus()
    hands.press("Return")
    assert list(_by(hands).values()) == ["ada"]


def test_only_days_on_which_it_could_be_done_are_offered(live_in: LiveIn) -> None:
    """From the day after the last entry, and not before its window; today is the round's."""
    house = _house(
        chore("early", "Scrape", 12, early_days=1),
        chore("today", "Rinse", 12),
        chore("old", "Empty", 2),
    )
    hands = _away(live_in, household=house)
    hands.press("W")

    offered = {
        line._piled.item.chore.id: [one.day for one in line._piled.days]
        for line in _form(hands).lines
    }

    assert offered == {"early": [11], "old": [9, 10, 11]}


HOURS = Calendar("FREQ=DAILY", date(2026, 3, 1), (time(6), time(18)))


def _fed_house() -> Household:
    return _house(
        chore("feed", "Feed", None, rhythm=HOURS, if_missed=IfMissed.EXPIRE),
        chore("dose", "Dose calcium", None, rhythm=DAILY, kind=ChoreKind.DOSE),
        chore("look", "Look", None, rhythm=DAILY),
    )


def test_what_comes_day_by_day_is_one_line_and_one_key_says_it_of_all(live_in: LiveIn) -> None:
    """All since Sunday, on which nothing but the trap was ticked, at 19:30.

    Eight feedings and four doses: Down and Return write all of them down. The doses are one line
    of the round that is overdue, and are counted there.
    """
    hands = _away(live_in, household=_fed_house(), person="bo")
    assert _notice(hands).endswith(", 8 not written down.")

    hands.press("W")
    form = _form(hands)
    assert [line.name for line in form.daily] == ["Feed, Reef", "Dose calcium, Reef"]
    assert [line._piled.item.chore.id for line in form.lines] == ["look"]
    hands.press("Down", "Return")

    kept = [one.entry for one in hands.log() if one.entry.id != SUNDAY_EVENING.id]
    feeds = sorted(one.at.astimezone(BERLIN) for one in kept if one.completes[0].chore == "feed")
    assert [f"{at:%d %H:%M}" for at in feeds] == [
        "08 06:00",
        "08 18:00",
        "09 06:00",
        "09 18:00",
        "10 06:00",
        "10 18:00",
        "11 06:00",
        "11 18:00",
    ]
    doses = sorted(one.day.day for one in kept if one.completes[0].chore == "dose")
    assert doses == [8, 9, 10, 11]
    assert {one.by for one in kept} == {"bo"}
    assert hands.told.startswith("Wrote down 12 turns of 2 chores done while you were away")
    # Today's own stand as before.
    assert hands.state("dose") is State.DUE
    hands.press("Ctrl+Z")
    assert [one for one in hands.log() if not one.revoked and one.entry.completes] == [
        one for one in hands.log() if one.entry.id == SUNDAY_EVENING.id
    ]


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_days_of_another_month_are_read_in_full(
    live_in: LiveIn, wear: Wear, percent: int
) -> None:
    """Closed, a choice is as wide as the longest of its words, whatever the type."""
    wear(Scheme.LIGHT, percent)
    daily = Calendar("FREQ=DAILY", date(2026, 2, 1))
    house = _house(
        chore("feed", "Feed", None, rhythm=daily, if_missed=IfMissed.EXPIRE),
        chore("dose", "Dose calcium", None, rhythm=daily, kind=ChoreKind.DOSE),
        chore("look", "Look", 1),
    )
    last = an_entry(1, "2026-02-25", done="trap", at=time(19, 30))
    hands = _away(live_in, last, household=house, now=SEVEN - timedelta(days=11))

    hands.press("W")

    form = _form(hands)
    assert plain(form.daily[0].choice.itemText(1)) == "Done Wed 25 Feb to Sat 28 Feb"
    for line in form._rows:
        choice = line.choice
        assert choice.width() >= choice.widest()
        right = choice.mapTo(form, choice.rect().topRight()).x()
        assert right < form.width()
        assert form._lines_inside.width() <= form._lines_area.viewport().width()


def test_tab_comes_to_each_row_as_they_stand(live_in: LiveIn) -> None:
    """Also to those that come day by day, and back again with Shift."""
    hands = _away(live_in, household=_fed_house())
    hands.press("W")
    form = _form(hands)
    assert form.all_daily is not None
    # What lapsed are doses and work of every day; the other lines are not changed by it.
    assert form.all_daily.name == "All doses and daily work"
    rows = [form.all_daily, *form.daily, *form.lines]
    stops = [*(row.choice for row in rows), form.who, form.leave, form.primary]

    assert hands.focus() is stops[0]
    for stop in [*stops[1:], stops[0]]:
        hands.press("Tab")
        assert hands.focus() is stop
    for stop in reversed(stops):
        hands.press("Shift+Tab")
        assert hands.focus() is stop


def test_after_an_undo_of_the_days_off_the_notice_stands_again(live_in: LiveIn) -> None:
    """All is unwritten again, so W asks once more; done anew it is dealt with."""
    hands = _away(live_in, household=_fed_house())
    before = _notice(hands)
    hands.press("W", "Down", "Return")
    assert _notice(hands) == ""

    hands.press("Ctrl+Z")

    assert _notice(hands) == before
    hands.press("W")
    assert _form(hands).daily
    hands.press("Esc", "Ctrl+Y")
    assert _notice(hands) == ""


def test_one_day_of_what_comes_day_by_day_can_be_said_alone(live_in: LiveIn) -> None:
    """Fed on Tuesday only; a line chosen by itself takes back what was said of all."""
    hands = _away(live_in, household=_fed_house())
    hands.press("W", "Down")
    form = _form(hands)
    assert form.all_daily is not None
    form.daily[0].choice.setCurrentIndex(4)
    form.daily[1].choice.setCurrentIndex(0)
    assert form.all_daily.choice.currentText() == "As chosen below"

    hands.press("Return")

    kept = [one.entry for one in hands.log() if one.entry.at > SUNDAY_EVENING.at]
    assert {(one.completes[0].chore, one.day.day) for one in kept} == {("feed", 10)}


def test_the_sentence_stands_in_whatever_view_the_window_opens(live_in: LiveIn) -> None:
    """In the calendar W opens the form, and once more after it was answered with "not done"."""
    hands = _away(live_in)
    hands.press("Ctrl+2")

    assert _notice(hands) == SENTENCE
    hands.press("W")
    assert hands.has_form()
    hands.press("Return")

    assert not hands.has_form()
    assert _notice(hands) == ""
    hands.press("W")
    assert hands.has_form()
    hands.press("Esc", "Ctrl+1")
    assert _notice(hands) == ""


def test_the_key_says_so_once_nothing_is_left_to_tell_of(live_in: LiveIn) -> None:
    """All four feedings of the days off were written down, and nothing else came."""
    feed = chore("feed", "Feed", None, rhythm=DAILY, kind=ChoreKind.FEEDING)
    hands = _away(live_in, household=small_house(chores=(feed, chore("trap", "Rinse", 1))))
    hands.press("W", "Down", "Return")
    while any(one.item.chore.id == "trap" for one in hands.rows()):
        hands.go_to("trap")
        hands.press("Space")
        hands.settle()

    hands.press("W")

    assert not hands.has_form()
    assert hands.told == NO_DAYS_OFF


def test_what_was_left_out_of_an_answer_is_asked_again_by_the_key(live_in: LiveIn) -> None:
    """Tuesday's feeding was written down; that of Wednesday was remembered a moment later."""
    hands = _away(live_in, household=_fed_house())
    hands.press("W")
    before = {one.day.day for one in _form(hands).daily[0].lapsed.turns}
    _form(hands).daily[0].choice.setCurrentIndex(4)
    hands.press("Return")
    assert _notice(hands) == ""

    hands.press("W")

    assert {one.day.day for one in _form(hands).daily[0].lapsed.turns} == before - {10}
    hands.press("Esc")
    assert _notice(hands) == ""


@pytest.mark.parametrize("key", ["Return", "Esc"])
def test_days_off_that_were_dealt_with_stand_no_more_after_a_new_start(
    live_in: LiveIn, key: str
) -> None:
    """Answered with "not done", or closed: nothing was written, and yet nobody is asked twice."""
    first = _away(live_in)
    first.press(*(("W", key) if key == "Return" else (key,)))
    assert _notice(first) == ""
    left = []
    first.window.left.connect(lambda _where, standing: left.append(standing))
    first.close()
    assert left[0].days_off_closed == SUNDAY_EVENING.at

    hands = live_in(is_there=True)
    here = hands.window.doors.here
    hands.window.open(lambda: replace(here(), standing=left[0]))
    hands.settle()

    assert _notice(hands) == ""
    hands.press("W")
    assert hands.has_form()


@pytest.mark.parametrize(
    "view", [("Ctrl+1",), ("Ctrl+2",), ("Ctrl+2", "Return"), ("Ctrl+2", "B")], ids="-".join
)
def test_no_letter_that_is_a_key_begins_to_find(live_in: LiveIn, view: tuple[str, ...]) -> None:
    """Where nobody was away W says so; what is done in the round alone says so elsewhere."""
    hands = live_in()
    hands.press(*view)

    hands.press("W")
    assert hands.told == NO_DAYS_OFF
    # With the text that a keyboard gives.
    QTest.keyClick(hands.focus(), "O", Qt.KeyboardModifier.ShiftModifier)
    hands.settle()
    if view != ("Ctrl+1",):
        assert hands.told == "Pumps or heater switched off (Shift+O) cannot be done here."
    assert hands.window.morning is not None
    assert hands.window.morning.finders is None
    hands.press("K")
    assert hands.window.morning.finders is not None


def test_the_logbook_tells_of_days_off_with_a_button(live_in: LiveIn) -> None:
    """Its letters are typed into its line, so the button names no key."""
    hands = _away(live_in)
    hands.press("Ctrl+6")

    assert _notice(hands) == SENTENCE
    bar = hands.window.morning.logbook.page.findChild(NoticeBar)  # type: ignore[union-attr]
    assert [button.text() for button in bar.findChildren(Button)] == ["Say what was done", "Close"]
    bar.findChildren(Button)[0].click()
    hands.settle()
    assert hands.has_form()


def test_what_must_be_written_down_is_asked_in_the_same_form(live_in: LiveIn) -> None:
    """Litres may stay as proposed; what was measured is asked for, and only where it was done."""
    house = _house(
        *(
            replace(one, early_days=3)
            for one in small_house().chores
            if one.id in ("change", "test", "fill")
        )
    )
    hands = _away(live_in, household=house)
    hands.press("W")
    form = _form(hands)
    for name in ("change", "test", "fill"):
        _say(form, name, "Done Wed 11")
    hands.press("Return")
    lines = {line._piled.item.chore.id: line for line in form.lines}
    assert hands.has_form(), "what is missing keeps the form open"
    assert [bool(field.fault) for field in lines["fill"].fields()] == [False]
    assert lines["change"].salinity is not None
    assert lines["change"].salinity.fault

    lines["change"].salinity.set_text("35")
    lines["test"].values["salinity"].set_text("34,8")
    lines["test"].values["nitrate"].set_text("5")
    form.primary.setFocus()
    hands.press("Return")

    facts = {one.entry.completes[0].chore: one.entry.fact for one in hands.log()[:3]}
    change, test, fill = facts["change"], facts["test"], facts["fill"]
    assert isinstance(change, WaterChange)
    assert (change.litres, change.salinity, change.estimated) == (9.0, 35.0, True)
    assert isinstance(test, Readings)
    assert [value.value for value in test.values] == [34.8, 5.0]
    assert isinstance(fill, TopOff)
    assert (fill.litres, fill.estimated) == (1.5, True)
    assert set(_done(hands).values()) == {day("2026-03-11")}


@pytest.mark.parametrize("size", [(1280, 800), (800, 600)])
def test_what_a_choice_asks_comes_into_view(live_in: LiveIn, size: tuple[int, int]) -> None:
    """A water change at the lower edge of the list asks two fields below it."""
    many = [chore(f"pane{at:02}", f"Wipe pane {at}", 9) for at in range(12)]
    change = next(one for one in small_house().chores if one.id == "change")
    hands = _away(live_in, household=_house(*many, replace(change, early_days=3)), size=size)
    hands.press("W")
    form = _form(hands)
    line = next(one for one in form.lines if one._piled.item.chore.id == "change")
    line.choice.setFocus()
    hands.settle()

    hands.press("Down")

    assert line.day is not None
    assert len(line.fields()) == 2
    for seen in (line.choice, *line.fields()):
        whole = QRect(QPoint(0, 0), seen.size())
        assert seen.visibleRegion().boundingRect() == whole


def test_what_is_unlike_the_usual_is_asked_about_once_and_kept_if_it_is_confirmed(
    live_in: LiveIn,
) -> None:
    """The same questions as at a tick, with the turn that each is about."""
    house = _house(
        *(replace(one, early_days=3) for one in small_house().chores if one.id in ("test", "fill"))
    )
    reef, *others = house.tanks
    corals = replace(reef, community=Community.SMALL_POLYP_STONY)
    hands = _away(live_in, household=replace(house, tanks=(corals, *others)))
    hands.press("W")
    form = _form(hands)
    for name in ("test", "fill"):
        _say(form, name, "Done Wed 11")
    lines = {line._piled.item.chore.id: line for line in form.lines}
    lines["fill"].litres.field.setFocus()
    hands.type("9")
    lines["test"].values["nitrate"].field.setFocus()
    hands.type("80")
    lines["test"].values["salinity"].field.setFocus()
    hands.type("34,8")
    hands.press("Return")
    assert hands.form() is form
    told = form.accessibleDescription().replace("\u00a0", " ").replace("\u2060", "")
    assert f"{lines['fill'].name}: 9 L is far more than the 1.5 L proposed." in told
    assert f"{lines['test'].name}: Nitrate 80 mg/L is far outside the range of Reef" in told
    assert told.count("Keep it if it was read so.") == 1
    assert form.primary.text().replace("&", "") == "Keep all the same"
    assert _done(hands) == {}
    save(form, "away-doubts")

    lines["fill"].litres.field.setFocus()
    hands.hit("Ctrl+A")
    hands.type("1,6")
    assert form.accessibleDescription() == ""
    assert form.primary.text().replace("&", "") == "Keep"
    hands.press("Return")
    assert "far more" not in form.accessibleDescription()
    hands.press("Return")
    assert not hands.has_form()
    assert set(_done(hands)) == {"test", "fill"}


def test_a_refusal_keeps_form_and_choices(live_in: LiveIn) -> None:
    """Somebody else skipped one meanwhile: nothing of it is kept, and it is said why."""
    from tankkeeper.app.bootstrap import open_desk
    from tankkeeper.services.moving import skip

    hands = _away(live_in)
    hands.press("W")
    form = _form(hands)
    _say(form, "look", "Done Wed 11")
    _say(form, "glass", "Done Wed 11")
    chosen = [line._piled.item for line in form.lines if line.day is not None]
    desk = open_desk(hands.path, hands.clock)
    try:
        skip(desk, [chosen[0].id])
    finally:
        desk.store.close()

    hands.press("Return")

    assert hands.form() is form
    assert form.accessibleDescription()
    assert _done(hands) == {}
    assert [line._piled.item for line in form.lines if line.day is not None] == chosen


def test_a_tank_that_was_full_already_asks_for_the_litres_at_its_line(live_in: LiveIn) -> None:
    """Filled on Wednesday at noon by the one chore; the other is said to be done that morning.

    No option of the command line is named: the field of the litres is here.
    """
    tops = [
        chore(name, f"Top off in the {name}", 11, kind=ChoreKind.TOP_OFF, tank="nook")
        for name in ("morning", "evening")
    ]
    full = an_entry(2, "2026-03-11", TopOff(2.0), done="evening", tank="nook", at=time(12))
    hands = _away(live_in, SUNDAY_EVENING, full, household=_house(*tops))
    hands.press("W")
    form = _form(hands)
    _say(form, "morning", "Done Wed 11")
    field = next(one.litres for one in form.lines if one.litres is not None)

    hands.press("Return")

    assert hands.form() is form
    assert plain(field.fault) == (
        "It was filled to the mark yesterday at 12:00, which made up for all that was missing "
        "before. Write down the litres if some went in besides."
    )
    assert field.field.hasFocus()
    hands.type("0,5")
    hands.press("Return")
    assert not hands.has_form()
    facts = {one.entry.completes[0].chore: one.entry.fact for one in hands.log()}
    assert facts["morning"] == TopOff(0.5)


def test_keeping_nothing_closes_form_and_notice(live_in: LiveIn) -> None:
    """Nothing was done: that is an answer, too."""
    hands = _away(live_in)
    hands.press("W", "Return")

    assert not hands.has_form()
    assert _notice(hands) == ""
    assert _done(hands) == {}


def test_a_clock_behind_the_newest_entry_is_told_and_ticking_asks_for_the_day(
    live_in: LiveIn,
) -> None:
    """More than a day behind: one of the two is wrong, so no tick is dated by the clock alone."""
    ahead = an_entry(1, "2026-03-14", done="glass", at=time(9))
    hands = _away(live_in, ahead, now=SEVEN + timedelta(days=3))
    hands.clock.forward(timedelta(days=-3))
    hands.window.morning._poll.timeout.emit()  # type: ignore[union-attr]
    hands.settle()
    assert _notice(hands).startswith("The clock says")
    hands.go_to("wipe")

    hands.press("Space")
    form = hands.form()
    assert form.when.at is not None  # type: ignore[attr-defined]
    hands.press("Return")

    assert hands.state("wipe") is State.DONE
    assert hands.log()[0].entry.day == day("2026-03-12")


def test_a_clock_less_than_a_day_behind_is_told_nowhere(live_in: LiveIn) -> None:
    """A zone or a battery: the order of the log is kept by its numbers anyway."""
    ahead = an_entry(1, "2026-03-13", done="glass", at=time(6))
    hands = _away(live_in, ahead, now=SEVEN + timedelta(days=1))
    hands.clock.forward(timedelta(days=-1))
    hands.window.morning._poll.timeout.emit()  # type: ignore[union-attr]
    hands.settle()

    assert _notice(hands) == ""


def test_the_sentence_is_read_aloud_with_its_sign(live_in: LiveIn) -> None:
    """The notice has a name of its own, and its buttons say their keys."""
    hands = _away(live_in)
    bar = hands.window.morning.page.findChild(NoticeBar)  # type: ignore[union-attr]

    names = [part.accessibleName() or part.words for part in bar._buttons]
    notice = bar._whole.label.accessibleName()

    assert notice.endswith(SENTENCE)
    assert names == ["Say what was done (W)", "Close (Esc)"]


def test_what_was_written_down_before_is_not_offered_after_two_days(
    live_in: LiveIn,
) -> None:
    """Of a chore only the last days are at hand: a feeding of Sunday morning stays done."""
    feed = chore(
        "feed",
        "Feed",
        None,
        rhythm=DAILY,
        tank="nook",
        kind=ChoreKind.FEEDING,
        if_missed=IfMissed.EXPIRE,
    )
    fed = an_entry(1, "2026-03-08", done="feed", key="2026-03-08", at=time(8))
    hands = _away(live_in, fed, household=small_house(chores=(feed,)))
    # Monday, Tuesday and Wednesday.
    assert "3 not written down" in _notice(hands)
    for _day in ("Thursday", "Friday"):
        hands.go_to("feed")
        hands.press("Space")
        assert "3 not written down" in _notice(hands)
        hands.clock.forward(timedelta(days=1))
        hands.window.session.refresh()
        hands.settle()
    # Nobody fed on Saturday yet, which is today.
    assert "3 not written down" in _notice(hands)
    hands.press("W")

    (line,) = _form(hands).daily
    assert [one.day.day for one in line.lapsed.turns] == [9, 10, 11]


def test_a_page_on_in_a_long_list_takes_the_keys_along(live_in: LiveIn) -> None:
    """The field with the keys is in sight after each page, at the end the last line has them."""
    many = [chore(f"wipe{at}", f"Wipe {at}", 9) for at in range(30)]
    hands = _away(live_in, household=_house(*many))
    hands.press("W")
    form = _form(hands)
    bar = form._lines_area.verticalScrollBar()
    assert bar.maximum() > 2 * bar.pageStep()
    first = hands.focus()

    for _ in range(3):
        hands.press("PgDown")
        area = form._lines_area.viewport()
        top = hands.focus().mapTo(area, QPoint(0, 0)).y()
        assert hands.focus() is not first
        assert top >= 0
        assert top + hands.focus().height() <= area.height()
    for _ in range(9):
        hands.press("PgDown")
    assert hands.focus() is form.lines[-1].choice
    for _ in range(12):
        hands.press("PgUp")
    assert hands.focus() is first


def test_a_tick_that_was_taken_back_ends_no_days_off_for_the_next_start(live_in: LiveIn) -> None:
    """Both are rows of today; what stood there before stands there again, and W asks."""
    first = _away(live_in)
    first.press("Space", "Ctrl+Z")
    assert _notice(first) == SENTENCE
    first.close()

    hands = live_in(is_there=True)

    assert _notice(hands) == SENTENCE
    hands.press("W")
    found = {line._piled.item.chore.id for line in _form(hands).lines}
    assert found == {"glass", "wipe", "look"}


def test_after_work_of_today_a_new_start_offers_the_days_off_by_their_key_alone(
    live_in: LiveIn,
) -> None:
    """Fed once today: nobody is away. The feedings and doses of the days before can still be said.

    In the window in which it was fed they stand until they are closed or dealt with.
    """
    first = _away(live_in, household=_fed_house())
    first.go_to("feed")
    first.press("Space")
    before = _notice(first)
    assert before.endswith(", 8 not written down.")
    first.close()

    hands = live_in(is_there=True)

    assert _notice(hands) == ""
    hands.press("W", "Down", "Return")
    assert _notice(hands) == ""
    # The trap of Sunday, what was fed today, and the twelve.
    assert len(hands.log()) == 14


def test_days_off_that_were_told_in_part_are_offered_but_stand_no_longer(live_in: LiveIn) -> None:
    """Fed on Tuesday alone, it was said: only by its key is asked about the others."""
    first = _away(live_in, household=_fed_house())
    first.press("W")
    _form(first).daily[0].choice.setCurrentIndex(4)
    first.press("Return")
    told = [one.entry for one in first.log() if one.entry.at > SUNDAY_EVENING.at]
    assert {(one.completes[0].chore, one.day.day) for one in told} == {("feed", 10)}
    first.close()

    hands = live_in(is_there=True)

    assert _notice(hands) == ""
    hands.press("W")
    feed, dose = _form(hands).daily
    # Sunday's second hour is over at 19:30, so what lapsed of feedings begins on Monday.
    assert 10 not in {one.day.day for one in feed.lapsed.turns}
    assert {one.day.day for one in dose.lapsed.turns} == {8, 9, 10, 11}


def test_on_the_next_day_the_days_off_are_asked_about_by_their_key(live_in: LiveIn) -> None:
    """Somebody was there on Thursday and told nothing of the days before."""
    first = _away(live_in, household=_fed_house())
    first.go_to("feed")
    first.press("Space")
    first.close()

    hands = live_in(is_there=True, now=SEVEN + timedelta(days=1))

    assert _notice(hands) == ""
    hands.press("W")
    assert {one.day.day for one in _form(hands).daily[1].lapsed.turns} == {8, 9, 10, 11, 12}


def test_without_days_off_that_ended_of_late_the_key_says_so(live_in: LiveIn) -> None:
    """Three weeks ago nobody wrote for four days, which nobody remembers day by day."""
    ago = (day("2026-02-15"), day("2026-02-19"))
    before = tuple(an_entry(seq, on, done="trap") for seq, on in enumerate(ago, start=1))
    since = tuple(
        an_entry(seq, day("2026-02-19") + timedelta(days=seq - 2), done="trap")
        for seq in range(3, 23)
    )
    hands = _away(live_in, *before, *since)

    hands.press("W")

    assert not hands.has_form()
    assert hands.told == NO_DAYS_OFF
