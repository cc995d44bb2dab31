"""How far fresh water went, in the form of a tick and in the one that writes down, by key."""

from dataclasses import replace
from datetime import time

import pytest

from tankkeeper.core.amounts import safe_of_spread_l
from tankkeeper.core.chores import ChoreKind, Condition, WhenWaterSays
from tankkeeper.core.household import Household, TopOffLimits
from tankkeeper.core.logbook import Entry, ReservoirCheck, TopOff
from tankkeeper.core.turns import State
from tankkeeper.gui.forms.extent_field import ExtentField
from tankkeeper.gui.forms.log_fields import What
from tankkeeper.gui.forms.log_form import LogForm
from tankkeeper.gui.forms.tick_form import TickForm
from tankkeeper.gui.palette import Scheme
from tankkeeper.services.fresh_fills import Extent
from tests.builders import an_entry
from tests.gui.checks import cut_labels, nameless, overlapping
from tests.gui.conftest import LiveIn, Wear
from tests.gui.round_house import Hands, chore, small_house

BY_WATER = WhenWaterSays(Condition.EVAPORATION, max_days=3)


def house() -> Household:
    """Return the small house, Nook topped off by hand and Reef by a reservoir of 20 L."""
    small = small_house()
    reef, nook = small.tanks
    reef = replace(reef, top_off=TopOffLimits(reservoir_l=20.0))
    nook = replace(nook, top_off=TopOffLimits(allowed_drop_mm=20.0))
    others = tuple(one for one in small.chores if one.id != "fill")
    fill = chore("fill", "Top off", None, kind=ChoreKind.TOP_OFF, tank="nook", rhythm=BY_WATER)
    refill = chore("refill", "Fill the reservoir", None, kind=ChoreKind.RESERVOIR, rhythm=BY_WATER)
    return replace(small, tanks=(reef, nook), chores=(*others, fill, refill))


def fills() -> tuple[Entry, ...]:
    """Return fills of about a litre a day in both tanks, the last one three days ago."""
    days = ("2026-02-27", "2026-03-01", "2026-03-03", "2026-03-05", "2026-03-07", "2026-03-09")
    found = []
    for at, day in enumerate(days):
        found.append(an_entry(2 * at + 1, day, TopOff(2.0), tank="nook", done="fill", at=time(7)))
        fact = ReservoirCheck(fill_l=2.0)
        found.append(an_entry(2 * at + 2, day, fact, tank="reef", done="refill", at=time(7)))
    return tuple(found)


# Without these nobody topped off for so long that one day cannot make up for it.
_DROPPED = 4


def _lived_in(live_in: LiveIn) -> Hands:
    return live_in(house(), entries=fills())


def _open(hands: Hands, chore_id: str) -> tuple[TickForm, ExtentField]:
    hands.go_to(chore_id)
    hands.press("Space")
    form = hands.form()
    assert isinstance(form, TickForm)
    assert form.extent is not None
    return form, form.extent


def _new(hands: Hands) -> list[Entry]:
    """Return what was written in the window, newest first."""
    return [one.entry for one in hands.log()][: len(hands.log()) - len(fills())]


def _asked(form: TickForm | LogForm) -> str:
    return form.accessibleDescription().replace("\N{NO-BREAK SPACE}", " ")


def test_as_much_as_is_missing_goes_to_the_mark_without_a_question(live_in: LiveIn) -> None:
    """The usual top-off takes one number and one key."""
    hands = _lived_in(live_in)
    _, extent = _open(hands, "fill")
    assert extent.extent is Extent.FULL

    hands.type("2.9")
    hands.press("Return")

    (entry,) = _new(hands)
    assert entry.fact == TopOff(2.9, to_mark=True)
    assert hands.state("fill") is State.DONE


@pytest.mark.parametrize(("key", "to_mark"), [("t", True), ("a", False)])
def test_too_little_for_the_mark_is_asked_about_once(
    live_in: LiveIn, key: str, to_mark: bool
) -> None:
    """Return alone keeps nothing; a letter answers, and Return keeps what was answered."""
    hands = _lived_in(live_in)
    form, extent = _open(hands, "fill")
    hands.type("0.8")

    hands.press("Return")
    assert _asked(form).startswith("0.8 L is less than the 2.")
    assert _asked(form).endswith("L that were missing. To the mark, or a part?")
    assert extent.extent is None
    hands.press("Return", "Return")
    assert _new(hands) == []
    assert hands.focus() is extent
    hands.type(key)
    assert _asked(form) == ""
    hands.press("Return")

    assert not hands.has_form()
    (entry,) = _new(hands)
    assert entry.fact == TopOff(0.8, to_mark=to_mark)


def test_a_part_leaves_the_line_open_and_another_bucket_may_follow(live_in: LiveIn) -> None:
    """Both buckets are undone one by one."""
    hands = _lived_in(live_in)
    _, extent = _open(hands, "fill")
    hands.type("1")
    hands.press("Tab")
    assert hands.focus() is extent
    hands.type("a")
    hands.press("Return")
    assert hands.told.replace("\N{NO-BREAK SPACE}", " ") == (
        "Nook: topped off in part, 1 L. The rest, about 2 L, stands open."
    )
    assert hands.state("fill") is not State.DONE
    assert hands.current() == "fill"

    _open(hands, "fill")
    hands.press("Return")
    (last, first) = _new(hands)
    assert first.completes == ()
    assert isinstance(last.fact, TopOff)
    assert (last.fact.to_mark, last.fact.estimated) == (True, True)
    assert last.fact.litres == pytest.approx(2.0, abs=0.3)
    assert hands.state("fill") is State.DONE
    hands.press("Ctrl+Z")
    assert hands.state("fill") is not State.DONE
    hands.press("Ctrl+Z")
    assert [one.revoked for one in hands.log()][-len(fills()) - 2 :][:2] == [True, True]


def test_more_than_the_safe_share_of_a_day_is_asked_about_once(live_in: LiveIn) -> None:
    """The panel proposes a part; the whole at once is kept only if it is meant.

    What is safe is told, which is more than the half of it that is proposed for each of two days.
    """
    hands = live_in(house(), entries=fills()[:-_DROPPED])
    form, _ = _open(hands, "fill")
    amount = hands.row("fill").item.amount
    assert amount is not None
    assert amount.is_split
    assert amount.whole is not None
    water = hands.row("fill").item.water
    most_l = None if water is None else safe_of_spread_l(water)
    assert most_l is not None
    assert amount.value < most_l < amount.whole
    most, whole = f"{most_l:g}", f"{amount.whole:g}"
    hands.type(whole)

    hands.press("Return")
    assert _asked(form) == (
        f"{whole} L at once lowers the salinity faster than is safe; up to {most} L a day is. "
        "Keep all the same?"
    )
    assert form.primary.text() == "Keep all the same"
    assert hands.has_form()
    assert [one.entry.id for one in hands.log()] == [one.id for one in fills()[:-_DROPPED][::-1]]
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == TopOff(amount.whole, to_mark=True)


def test_the_safe_share_of_a_day_is_kept_without_a_question(live_in: LiveIn) -> None:
    """It is what the panel proposes."""
    hands = live_in(house(), entries=fills()[:-_DROPPED])
    _open(hands, "fill")
    amount = hands.row("fill").item.amount
    assert amount is not None
    hands.type(f"{amount.value:g}")

    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == TopOff(amount.value, to_mark=False)
    told = hands.told.replace("\N{NO-BREAK SPACE}", " ")
    assert f"The next part, about {amount.value:g} L of the " in told
    assert told.endswith(" L missing by then, is due tomorrow.")
    hands.press("Ctrl+Z")
    assert "The next part" not in hands.told


@pytest.mark.parametrize("key", ["Space", "Ctrl+L"])
def test_more_than_todays_part_that_is_still_safe_is_kept_without_a_question(
    live_in: LiveIn, key: str
) -> None:
    """What is missing is parted into equal shares, which are often less than may go in on a day."""
    hands = live_in(house(), entries=fills()[:-_DROPPED])
    hands.go_to("fill")
    item = hands.row("fill").item
    most_l = None if item.water is None else safe_of_spread_l(item.water)
    assert item.amount is not None
    assert most_l is not None
    assert most_l > 1.1 * item.amount.value + 0.05
    hands.press(key)
    form = hands.form()
    if isinstance(form, LogForm):
        hands.press("Tab", "Tab", "Tab", "a", "Shift+Tab")
    hands.type(f"{most_l:g}")

    hands.press("Return")

    assert not hands.has_form(), _asked(form) if isinstance(form, TickForm | LogForm) else ""
    assert hands.log()[0].entry.fact == TopOff(most_l, to_mark=False)


def test_the_form_that_writes_down_asks_about_the_safe_share(live_in: LiveIn) -> None:
    """As the form of a tick does."""
    hands = live_in(house(), entries=fills()[:-_DROPPED])
    hands.go_to("fill")
    amount = hands.row("fill").item.amount
    assert amount is not None
    assert amount.whole is not None
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    hands.press("Tab", "Tab")
    hands.type(f"{amount.whole:g}")
    hands.press("Return")
    assert "at once lowers the salinity faster than is safe" in _asked(form)
    hands.press("Return")

    assert not hands.has_form()
    assert hands.log()[0].entry.fact == TopOff(amount.whole, to_mark=True)


def test_other_litres_forget_the_question(live_in: LiveIn) -> None:
    """A digit that was missed is typed, and the mark is meant again."""
    hands = _lived_in(live_in)
    form, extent = _open(hands, "fill")
    hands.type("0.3")
    hands.press("Return")
    assert extent.extent is None

    assert form.litres is not None
    form.litres.go_to()
    hands.type("3")
    assert extent.extent is Extent.FULL
    assert _asked(form) == ""
    hands.press("Return")

    assert _new(hands)[0].fact == TopOff(3.0, to_mark=True)


def test_a_part_without_litres_is_asked_for_them(live_in: LiveIn) -> None:
    """What is proposed is what fills it; nobody knows how much a part was."""
    hands = _lived_in(live_in)
    form, _ = _open(hands, "fill")
    assert form.litres is not None
    hands.press("Tab")
    hands.type("a")
    assert form.primary.text() == "Keep as measured"
    assert form.litres.field.placeholderText() == ""

    hands.press("Return")

    assert form.litres.fault == "Write down the litres."
    assert _new(hands) == []
    hands.press("Esc")


def test_yesterday_less_was_missing(live_in: LiveIn) -> None:
    """What went in is compared with what was missing at its time."""
    hands = _lived_in(live_in)
    form, _ = _open(hands, "fill")
    hands.type("1.9")
    form.when.choice.setFocus()
    hands.press("Down", "Return")

    assert not hands.has_form()
    assert _new(hands)[0].fact == TopOff(1.9, to_mark=True)


@pytest.mark.parametrize(
    ("keys", "fact"),
    [
        ("u", ReservoirCheck(fill_l=1.0)),
        ("s", TopOff(1.0, to_mark=False)),
        ("n", ReservoirCheck(left_l=1.0, estimated=True)),
    ],
)
def test_too_little_for_a_reservoir_is_asked_about(
    live_in: LiveIn, keys: str, fact: ReservoirCheck | TopOff
) -> None:
    """Until full, some of it, or what it now holds."""
    hands = _lived_in(live_in)
    form, extent = _open(hands, "refill")
    hands.type("1")

    hands.press("Return")
    assert _asked(form).endswith("L that were missing. Until full, or some?")
    assert hands.focus() is extent
    hands.type(keys)
    hands.press("Return")

    assert not hands.has_form()
    told = {
        "s": "Reef: poured 1 L into the reservoir, not full",
        "n": "reservoir not full, 1 L in it",
    }
    assert told.get(keys, "Ticked") in hands.told.replace("\N{NO-BREAK SPACE}", " ")
    (entry,) = _new(hands)
    assert entry.fact == fact
    assert bool(entry.completes) is (keys == "u")


def test_two_buckets_fill_a_reservoir_and_teach_its_loss(live_in: LiveIn) -> None:
    """What went in by the first counts with the second, so the loss is that of both."""
    hands = _lived_in(live_in)
    _open(hands, "refill")
    hands.type("1.4")
    hands.press("Tab")
    hands.type("s")
    hands.press("Return")
    row = hands.row("refill")
    assert row.item.is_open
    assert row.item.amount is not None
    assert row.item.amount.value == pytest.approx(1.6, abs=0.3)

    _open(hands, "refill")
    hands.type("1.6")
    hands.press("Return")

    assert _new(hands)[0].fact == ReservoirCheck(fill_l=1.6)
    water = hands.window.session.last.state.waters["reef"]  # type: ignore[union-attr]
    assert water.loss is not None
    assert water.loss.value == pytest.approx(1.0, abs=0.1)


def test_the_form_that_writes_down_asks_the_same(live_in: LiveIn) -> None:
    """A top-off and a reservoir that came short of full."""
    hands = _lived_in(live_in)
    hands.go_to("fill")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    hands.press("Tab", "Tab")
    hands.type("0.5")
    hands.press("Return")
    assert _asked(form).endswith("To the mark, or a part?")
    hands.type("a")
    hands.press("Return")
    assert _new(hands)[0].fact == TopOff(0.5, to_mark=False)

    hands.go_to("refill")
    hands.press("Ctrl+L")
    form = hands.form()
    assert isinstance(form, LogForm)
    form.choose(What.RESERVOIR)
    assert form.reservoir.isVisible()
    assert form.litres.field.placeholderText() == "before anything is poured in"
    hands.press("Tab", "Tab")
    hands.type("f")
    assert form.litres.field.placeholderText() == ""
    hands.press("Tab")
    hands.type("1")
    hands.press("Return")
    assert _asked(form).endswith("Until full, or some?")
    hands.press("End")
    assert form.reservoir.currentText() == "Poured in some, not full"
    hands.press("Return")
    assert _new(hands)[0].fact == TopOff(1.0, to_mark=False)


@pytest.mark.parametrize("percent", [100, 150, 200])
@pytest.mark.parametrize("chore_id", ["fill", "refill"])
def test_the_question_fits_and_speaks(
    live_in: LiveIn, wear: Wear, percent: int, chore_id: str
) -> None:
    """At every size of type."""
    hands = _lived_in(live_in)
    wear(Scheme.LIGHT, percent)
    form, extent = _open(hands, chore_id)
    hands.type("0.5")
    hands.press("Return")

    assert cut_labels(form) == []
    assert overlapping(form) == []
    assert nameless(form) == []
    assert extent.placeholderText() == "Choose"
    hands.press("Esc")


def _placeholder(form: TickForm) -> str:
    assert form.litres is not None
    return form.litres.field.placeholderText().replace("\N{NO-BREAK SPACE}", " ")


def _said_under_title(form: TickForm) -> str:
    assert form.caption is not None
    return form.caption.text().replace("\N{NO-BREAK SPACE}", " ")


def test_the_key_of_yesterday_proposes_and_keeps_what_was_missing_then(live_in: LiveIn) -> None:
    """A litre a day since Monday at seven: 3 L today at 07:04, 2 L yesterday at seven."""
    hands = _lived_in(live_in)
    hands.go_to("fill")
    hands.press("Y")
    form = hands.form()
    assert isinstance(form, TickForm)

    assert _placeholder(form) == "2 L proposed"
    assert _said_under_title(form) == "2 L fresh water"
    assert form.primary.text().replace("\N{NO-BREAK SPACE}", " ") == "Keep 2 L as proposed"
    hands.press("Return")

    (entry,) = _new(hands)
    assert entry.fact == TopOff(2.0, to_mark=True, estimated=True)
    assert entry.day.day == 11


def test_what_is_proposed_goes_with_the_day_that_is_chosen(live_in: LiveIn) -> None:
    """Also with a day that is typed; what somebody typed stays."""
    hands = _lived_in(live_in)
    form, _ = _open(hands, "fill")
    assert _placeholder(form) == "3 L proposed"
    form.when.choice.setFocus()
    hands.press("Down")
    assert _placeholder(form) == "2 L proposed"
    hands.press("Down")
    assert _placeholder(form) == "1 L proposed"
    hands.press("Home")
    assert _placeholder(form) == _said_under_title(form).replace("fresh water", "proposed")
    assert _placeholder(form) == "3 L proposed"
    hands.press("End")
    form.when.other.set_text("2026-03-11 19:00")
    assert _placeholder(form) == "2.5 L proposed"
    assert form.litres is not None
    form.litres.field.setText("0.7")
    form.when.choice.setFocus()
    hands.press("Home")
    assert form.litres.text == "0.7"
    hands.press("Esc")


@pytest.mark.parametrize("chore_id", ["fill", "refill"])
def test_of_a_moment_before_the_newest_fill_nothing_is_proposed(
    live_in: LiveIn, chore_id: str
) -> None:
    """The form says so; what is typed all the same is asked about once."""
    hands = _lived_in(live_in)
    form, _ = _open(hands, chore_id)
    form.when.choice.setFocus()
    hands.press("Down", "Down", "Down")
    how_far = "to the mark" if chore_id == "fill" else "until full"
    full = f"It was filled {how_far} on Mon 9 at 07:00, which made up for all that was missing"

    assert _placeholder(form) == ""
    assert _said_under_title(form) == "nothing missing any more"
    hands.press("Return")
    assert form.litres is not None
    fault = form.litres.fault.replace("\N{NO-BREAK SPACE}", " ")
    assert fault == f"{full} before. Write down the litres if some went in besides."
    assert _new(hands) == []

    hands.type("0.6")
    hands.press("Return")
    assert _asked(form) == f"{full} before. Keep all the same?"
    assert _new(hands) == []
    hands.press("Return")
    assert len(_new(hands)) == 1


def test_a_part_of_today_does_not_lessen_what_was_missing_yesterday(live_in: LiveIn) -> None:
    """What went in later was not in it then."""
    hands = _lived_in(live_in)
    _open(hands, "fill")
    hands.type("1")
    hands.press("Tab")
    hands.type("a")
    hands.press("Return")
    form, _ = _open(hands, "fill")
    assert _placeholder(form) == "2 L proposed"

    form.when.choice.setFocus()
    hands.press("Down")

    assert _placeholder(form) == "2 L proposed"
    hands.press("Down")
    assert _placeholder(form) == "1 L proposed"
    hands.press("Esc")
