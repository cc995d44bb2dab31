"""What a feeding asks: which chore it ticks, said in a sentence, and how much of what was given."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QCompleter, QWidget

from tankkeeper.core.amounts import stated_amount
from tankkeeper.core.chores import Chore, ChoreKind
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Tank
from tankkeeper.core.logbook import Turn
from tankkeeper.core.state import HouseholdState, Item
from tankkeeper.gui.forms.choices import WhenField
from tankkeeper.gui.forms.fields import ChoiceField
from tankkeeper.gui.palette import Role
from tankkeeper.gui.widgets.labels import CaptionLabel
from tankkeeper.gui.widgets.quantity_field import Field, QuantityField
from tankkeeper.reports.asking import unusual_fed
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.feeding_words import fed_as_read
from tankkeeper.reports.numbers import listed
from tankkeeper.reports.words import Words, wall_time
from tankkeeper.services.fed import Fed
from tankkeeper.services.fed_amounts import fed_amount
from tankkeeper.services.feeding_turns import feedings_of_today, lapsed_feedings, likely_feeding
from tankkeeper.services.finding import find_item
from tankkeeper.services.lapsed import lapsed_at
from tankkeeper.services.outside_turns import is_done_at

EXTRA: Final = "Nothing, it is extra"
AMOUNT_HINT: Final = "0.5 g, 2 cubes, a pinch"
FOOD_HINT: Final = "if it is to be remembered"
_LONGEST_TYPED: Final = 1_000_000


class GivenFields(QObject):
    """How much of what was given; the form places them."""

    def __init__(self, words: Words, parent: QWidget) -> None:
        super().__init__(parent)
        self._words = words
        self._expected: Chore | None = None
        self.amount = QuantityField("Amount", "g", fed_amount, self._word, parent=parent)
        self.food = Field(parent=parent)
        self.amount.field.setMaxLength(_LONGEST_TYPED)
        self.food.setAccessibleName("Food")
        self.food.setPlaceholderText(FOOD_HINT)
        self.food.setMaxLength(_LONGEST_TYPED)
        names = [one.name for one in words.household.supplies if one.name]
        known = QCompleter(names, self.food)
        known.setCompletionMode(QCompleter.CompletionMode.InlineCompletion)
        known.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.food.setCompleter(known)

    def expect(self, chore: Chore | None) -> None:
        """Show the amount that is planned for a chore where nothing is typed."""
        self._expected = chore
        stated = None if chore is None else stated_amount(chore, None, self._words.household)
        is_known = stated is not None and stated.unit == "g"
        hint = f"{self._words.grams(stated.value)} as planned" if stated and is_known else ""
        self.amount.field.setPlaceholderText(hint or AMOUNT_HINT)
        self.amount.set_help(hint or AMOUNT_HINT)

    @property
    def fed(self) -> Fed:
        """What was given, as far as it was written down."""
        value = self.amount.value
        assert value is None or isinstance(value, float | str)
        return fed_as_read(value, self.food.text(), self._words)

    @property
    def question(self) -> str:
        """What to ask about the amount: what can be, but is unlike the plan; empty if nothing."""
        return unusual_fed(self._expected, self.fed, self._words)

    def _word(self, fault: UserFault) -> str:
        return fault_words(fault, self._words)


class FeedingFields(GivenFields):
    """The fields of a feeding outside the round, with the chore that it ticks."""

    def __init__(self, state: HouseholdState, words: Words, parent: QWidget) -> None:
        # Tab goes through the fields in the order in which they are made.
        completes = ChoiceField("Ticks", parent)
        super().__init__(words, parent)
        self.completes = completes
        self._state = state
        self._chores: dict[str, Chore] = {}
        # Which of the turns that are offered stand in the round no more.
        self._over: list[str] = []
        self._tank_name = ""
        self._is_other_time = False
        self._tank: Tank | None = None
        self._when: WhenField | None = None
        self._by_hand = False
        # The chore that is proposed first, where nobody wrote it down at the time that is chosen.
        self.preferred: str | None = None
        self.told = CaptionLabel("", ink=Role.INK_2, parent=parent)
        self.completes.currentIndexChanged.connect(self._tell)
        # What is proposed is set without a signal; all else was chosen, or left so in a draft.
        self.completes.currentIndexChanged.connect(self._on_chosen)
        for given in (self.amount.field, self.food):
            given.textChanged.connect(self._on_given)

    @property
    def all(self) -> tuple[QWidget, ...]:
        """The fields in their order."""
        return (self.completes, self.told, self.amount, self.food)

    def offer(self, tank: Tank | None, when: WhenField) -> None:
        """Offer what a feeding of a tank would tick, and propose what it most likely was.

        What was open at another time is not known here; all feedings of the tank are offered then,
        and one is proposed only of a day before today of which nobody wrote it down, as is known.
        """
        was = self.completes.currentData()
        is_other_time = when.at is not None or when.is_typed
        if tank != self._tank:
            self._by_hand = False
        if is_other_time != self._is_other_time and isinstance(was, str):
            # Today it is a turn that is chosen, of another day the chore.
            was = was.partition("@")[0]
        self._tank, self._when, self._is_other_time = tank, when, is_other_time
        likely = preferred_then(self._state, self.preferred, tank, when.at)
        self.completes.blockSignals(True)
        self.completes.clear()
        self._chores, self._over = {}, []
        self._tank_name = tank.name if tank is not None else ""
        if self._is_other_time:
            self.completes.addItem(EXTRA, None)
            for one in self._words.household.chores:
                if tank is not None and one.tank == tank.id and one.kind is ChoreKind.FEEDING:
                    self._add(one.id, one, one.name)
                    if likely is None and when.at is not None:
                        likely = one.id if lapsed_at(self._state, one.id, when.at) else None
        else:
            for item in [] if tank is None else feedings_of_today(self._state, tank):
                self._add(item.id, item.chore, turn_name(item))
            # What lapsed today may have been given all the same; it stands behind what is open.
            for item in [] if tank is None else lapsed_feedings(self._state, tank):
                self._add(item.id, item.chore, turn_name(item))
                self._over.append(item.id)
            self.completes.addItem(EXTRA, None)
            meant = None if tank is None else likely_feeding(self._state, tank, self.fed)
            over = (key for key in self._over if key.partition("@")[0] == self.preferred)
            likely = next(over, None) if meant is None else meant.id
        kept = self._place_of(was) if self._by_hand else -1
        if self._by_hand and kept < 0:
            kept = self._place_of_chore(was)
        proposed = self._place_of(likely)
        self.completes.setCurrentIndex(proposed if kept < 0 else kept)
        self.completes.blockSignals(False)
        self._tell()

    def _place_of(self, key: object) -> int:
        """Return where a turn or a chore is offered, -1 where it is not; None is what is extra."""
        keys = [self.completes.itemData(at) for at in range(self.completes.count())]
        return keys.index(key) if key in keys else -1

    def _place_of_chore(self, chore: object) -> int:
        """Return where a turn of a chore is offered that was chosen, -1 where none is."""
        keys = [self.completes.itemData(at) for at in range(self.completes.count())]
        found = (at for at, key in enumerate(keys) if key and key.partition("@")[0] == chore)
        return next(found, -1)

    def _on_chosen(self) -> None:
        self._by_hand = True

    def _on_given(self) -> None:
        """Propose anew: what was given tells which turn it was."""
        if self._when is not None:
            self.offer(self._tank, self._when)

    def _add(self, key: str, chore: Chore, name: str) -> None:
        self._chores[key] = chore
        self.completes.addItem(name, key)

    @property
    def which(self) -> str | None:
        """The turn or the chore that it ticks, None where it is extra."""
        chosen = self.completes.currentData()
        return chosen if isinstance(chosen, str) else None

    def _tell(self) -> None:
        """Say what keeping will tick, and show the amount that is planned for it."""
        sentence = self._sentence() if self._tank_name else ""
        self.told.setText(sentence)
        self.completes.setAccessibleDescription(sentence)
        self.expect(self._chores.get(self.which or ""))

    def _sentence(self) -> str:
        others = [
            self.completes.itemText(at)
            for at in range(self.completes.count())
            if self.completes.itemData(at) not in (None, *self._over)
        ]
        if self.which in self._over:
            return f"This ticks {self.completes.currentText()}, which was not written down."
        at = None if self._when is None else self._when.at
        if self._is_other_time and self.which:
            told = ticks_then(self._state, at, self.which, self._words)
            if told:
                return told
        chosen = "" if self.which is None else self.completes.currentText()
        what = f"feeding of {self._tank_name}"
        return ticks_sentence(chosen, others, what, is_other_time=self._is_other_time)


def preferred_then(
    state: HouseholdState, preferred: str | None, tank: Tank | None, at: datetime | None
) -> str | None:
    """Return the chore that is to be proposed first where it is of a tank and lapsed at a time."""
    if preferred is None or tank is None or at is None:
        return None
    is_own = any(one.chore.id == preferred and one.chore.tank == tank.id for one in state.chores)
    return preferred if is_own and lapsed_at(state, preferred, at) is not None else None


def ticks_sentence(chosen: str, others: list[str], what: str, *, is_other_time: bool) -> str:
    """Return what keeping will tick of what is offered; `what` would be "feeding of Reef"."""
    if chosen:
        when = " where it was open then" if is_other_time else ", as in the round"
        return f"This ticks {chosen}{when}. Choose Nothing where it is extra."
    if is_other_time:
        return "This ticks nothing."
    if not others:
        return f"No {what} is open now. This one stands beside the plan."
    stays = "stays" if len(others) == 1 else "stay"
    return f"This ticks nothing. {listed(others)} {stays} open."


def ticks_then(state: HouseholdState, at: datetime | None, which: str, words: Words) -> str:
    """Return whether work of an earlier time ticks the chore that it is said to be of, and why not.

    Empty while no time is known.
    """
    line = find_item(state, which)
    if at is None or at > state.moment.now or line is None:
        return ""
    missed = lapsed_at(state, line.chore.id, at)
    if missed is not None:
        return f"This ticks {_named(line.chore, missed, words)}, unless that was written down."
    if is_done_at(state, at, which):
        return f"This ticks {line.chore.name}. Choose Nothing where it is extra."
    turn, day = line.open, state.moment.day_of(at)
    told = f"At that time this ticks nothing: {line.chore.name}"
    if turn is None or line.entry is not None or turn.earliest <= day:
        return f"{told} was not open then."
    of, since = words.named_date(turn.target), words.named_date(turn.earliest)
    return f"{told} of {of} can be done from {'that day' if of == since else since} on."


def _named(chore: Chore, turn: Turn, words: Words) -> str:
    """Return a turn of a day that is past: "Feed 18:00 of Monday 23 November"."""
    hour = "" if turn.slot is None else f" {wall_time(turn.slot)}"
    return f"{chore.name}{hour} of {words.named_date(date.fromisoformat(turn.key))}"


def turn_name(item: Item) -> str:
    """Return how an open turn is offered: with its hour where it has one."""
    slot = item.turn.slot
    return item.chore.name if slot is None else f"{item.chore.name} {wall_time(slot)}"
