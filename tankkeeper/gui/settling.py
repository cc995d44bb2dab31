"""The pages on which the household is set down, opened over whatever view is chosen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.animal_parts import animals_part
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.gear_parts import equipment_part
from tankkeeper.gui.models.in_hand import InHand
from tankkeeper.gui.parts import Part
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.settle_desk import TankDesk
from tankkeeper.gui.sheet_desk import READ_ONLY
from tankkeeper.gui.shortcuts import Command
from tankkeeper.gui.tank_parts import chores_part
from tankkeeper.gui.things_desk import ThingsDesk
from tankkeeper.reports.faults import fault_words
from tankkeeper.services.round import walk
from tankkeeper.services.settling_tanks import reorder

if TYPE_CHECKING:
    from tankkeeper.gui.new_tank import NewTankDesk
    from tankkeeper.gui.pages.first_page import FirstPage


HOUSE_CHORES = "chores"
NO_TANK = "There is no tank yet. Add one first."


class Settling(QObject):
    """Opens the pages and keeps them in step; `told` tells a sentence, `closed` that all left."""

    added = Signal(str)
    told = Signal(str)
    closed = Signal()

    def __init__(
        self, frame: Frame, session: Session, parent: QObject, more: Sequence[Part] = ()
    ) -> None:
        super().__init__(parent)
        self._frame = frame
        self._session = session
        self._more = more
        self.tank = TankDesk(frame, session, self)
        self.tank.closed.connect(self._on_closed)
        self.tank.told.connect(self.told)
        self.tank.typed.connect(self._on_typed)
        self.new_tank: NewTankDesk | None = None
        self.chores: ThingsDesk | None = None
        self._chores_of: str | None = None
        # The tank of the line in hand, which is meant where none is chosen.
        self._in_hand: InHand | None = None
        # Whether what undo would take back was named since.
        self._has_named = False
        self.house: ThingsDesk | None = None
        session.page = self._page
        frame.left.connect(self._on_left)
        frame.group_wanted.connect(self._on_group)

    @property
    def is_open(self) -> bool:
        """Whether one of the pages is shown."""
        return any(one.is_open for one in self._desks())

    def _desks(self) -> list[TankDesk | ThingsDesk]:
        return [self.tank, *(one for one in (self.chores, self.house) if one is not None)]

    @property
    def _stands(self) -> bool:
        return self.is_open or (self.new_tank is not None and self.new_tank.is_open)

    def name_before_undo(self) -> bool:
        """Tell whether undo is to be named first: it would take back what was done elsewhere.

        The second time it is not, and what lies before it is named again.
        """
        page = self._page()
        is_own = page is not None and page == self._session.undoing.page
        self._has_named = self._stands and not is_own and not self._has_named
        return self._has_named

    def _page(self) -> object:
        """Return what tells the page that is shown from others, None where there is none."""
        if self.tank.is_open:
            return self.tank, self.tank.tank_id
        if self.chores is not None and self.chores.is_open:
            return self.chores, self._chores_of
        return self.house if self.house is not None and self.house.is_open else None

    def do(self, command: Command, in_hand: InHand | None = None) -> None:
        """Carry out one of the commands of setting down.

        `in_hand` tells of which tank the line is on which the keys act, or that it is of the house.
        """
        if not self._stands:
            self._in_hand = in_hand
        pages = {
            Command.TANK: (self.tank, self._open_tank),
            Command.CHORES: self._chores_page(),
            Command.NEW_TANK: (None, self._open_new),
            Command.SETTINGS: (self.house, self._open_house),
            Command.COPY_TANK: (self.tank, self._copy_tank),
        }
        if command in pages:
            self._instead_of_others(*pages[command])
        elif command is Command.EARLIER_IN_WALK:
            self._move(-1)
        elif command is Command.LATER_IN_WALK:
            self._move(1)

    def _instead_of_others(
        self, own: TankDesk | ThingsDesk | None, open_page: Callable[[], None]
    ) -> None:
        """Open a page after another one was left; where that cannot be kept, it stays."""
        if not self._stands:
            self._has_named = False
        other = next((one for one in self._desks() if one.is_open and one is not own), None)
        if other is None:
            open_page()
            return
        if isinstance(other, ThingsDesk):
            other.leave_all()
        else:
            other.leave()
        self._session.keys.in_turn(lambda: None if other.is_open else open_page())

    def _open_house(self) -> None:
        if self.house is not None and self.house.is_open:
            self.house.go_to_beginning()
        else:
            self._house().open()

    def open_settings_at(self, part_id: str) -> None:
        """Open the page of the household at one of its parts."""
        self._instead_of_others(self.house, lambda: self._house().open_at(part_id))

    def add_settings(self, part: Part) -> None:
        """Have one more part of the household, also where its page is shown."""
        self._more = (part, *self._more)
        if self.house is not None:
            self.house.set_parts("Household", self._house_parts())

    def _house_parts(self) -> Sequence[Part]:
        from tankkeeper.gui.house_parts import house_parts

        return house_parts(self._more, lambda: self._session.backs_up)

    def _house(self) -> ThingsDesk:
        if self.house is None:
            parts = self._house_parts()
            self.house = ThingsDesk("Household", self._frame, self._session, parts, self)
            self.house.closed.connect(self._on_closed)
            self.house.told.connect(self.told)
            self.house.typed.connect(self._on_typed)
        return self.house

    def _open_tank(self) -> None:
        if self.tank.is_open:
            self.tank.go_to_beginning()
        elif self._chosen() is None:
            self._open_new()
        else:
            self.tank.open_for(self._chosen())

    def _copy_tank(self) -> None:
        if self._chosen() is None:
            self.told.emit(NO_TANK)
            return
        if not self.tank.is_open:
            self.tank.open_for(self._chosen())
        self.tank.ask_copy()

    def _open_new(self) -> None:
        last = self._session.last
        if last is not None and last.is_read_only:
            self.told.emit(READ_ONLY)
            return
        if self.new_tank is None:
            from tankkeeper.gui.new_tank import NewTankDesk

            self.new_tank = NewTankDesk(self._frame, self._session, self)
            self.new_tank.added.connect(self.added)
            self.new_tank.closed.connect(self._on_closed)
            self.new_tank.typed.connect(self._on_typed)
        self.new_tank.show()

    def _chosen(self) -> str | None:
        """Return the tank that is chosen, else that of the line in hand, else the first."""
        last = self._session.last
        if self._session.tank_id is not None or last is None:
            return self._session.tank_id
        ids = [one.id for one in walk(last.state.household)]
        in_hand = self._in_hand.tank if self._in_hand is not None else None
        return in_hand if in_hand in ids else (ids[0] if ids else None)

    def _chores_page(self) -> tuple[ThingsDesk | None, Callable[[], None]]:
        """Return the page of the chores that are meant: of a tank, or of the house."""
        is_of_house = self._in_hand is not None and self._in_hand.tank is None
        if is_of_house and self._session.tank_id is None:
            return self.house, self._open_chores_of_house
        return self.chores, self._open_chores

    def _open_chores_of_house(self) -> None:
        house = self._house()
        if house.is_open and house.part_id == HOUSE_CHORES:
            house.go_to_beginning(HOUSE_CHORES)
        else:
            house.open_at(HOUSE_CHORES)
            self._session.keys.in_turn(lambda: self._show_in_hand(house))

    def _open_chores(self) -> None:
        if self.chores is not None and self.chores.is_open:
            self.chores.go_to_beginning()
            return
        tank_id, last = self._chosen(), self._session.last
        if tank_id is None or last is None:
            self.told.emit(NO_TANK)
            return
        self._show_chores(tank_id, from_first=True)
        if self.chores is not None and self._in_hand is not None and self._in_hand.tank == tank_id:
            self._show_in_hand(self.chores)

    def _show_in_hand(self, desk: ThingsDesk) -> None:
        """Go to the chore of the line on which the keys acted, in the list of chores."""
        if self._in_hand is not None and self._in_hand.chore is not None:
            desk.show_thing(self._in_hand.chore)

    def _show_chores(self, tank_id: str, *, from_first: bool = False) -> None:
        last = self._session.last
        assert last is not None
        name = last.state.household.tank(tank_id).name
        parts = (chores_part(tank_id), animals_part(tank_id), equipment_part(tank_id))
        self._chores_of = tank_id
        if self.chores is None:
            self.chores = ThingsDesk(name, self._frame, self._session, parts, self, is_of_tank=True)
            self.chores.closed.connect(self._on_closed)
            self.chores.told.connect(self.told)
            self.chores.typed.connect(self._on_typed)
        else:
            self.chores.set_parts(name, parts)
        self.chores.open(from_first=from_first)
        self._frame.rail.mark(tank_id)

    def take(self, shown: Shown) -> bool:
        """Follow a new reading; tell whether one of the pages is open."""
        for one in self._desks():
            one.take(shown)
        if self.new_tank is not None:
            self.new_tank.take(shown)
        return self.is_open

    def put_back(self) -> bool:
        """Put back what is typed on a page and not kept; tell whether there was something."""
        if self.new_tank is not None and self.new_tank.is_open:
            return self.new_tank.put_back()
        return any(one.put_back() for one in self._desks())

    def _on_typed(self) -> None:
        """What was named to be undone is no longer what is looked at."""
        self._has_named = False

    def refuse(self, sentence: str) -> bool:
        """Tell on the page of a new tank why something was not done; tell whether it stands."""
        return self.new_tank is not None and self.new_tank.refuse(sentence)

    def set_tank(self, tank_id: str | None) -> None:
        """Go on to a tank that was chosen in the rail."""
        self.tank.set_tank(tank_id)
        chores = self.chores
        if chores is not None and chores.is_open and tank_id not in (None, self._chores_of):
            chores.keep_then(lambda: self._show_chores(str(tank_id)))

    def leave_for_find(self) -> None:
        """Let a view be searched; what cannot be kept waits as a draft.

        The word that is typed next would else take the place of what stands in the page's field.
        """
        for one in self._desks():
            if one.is_open:
                one.keep_then(one.leave_at_once, drafts=True)

    def leave_for_view(self) -> None:
        """Let a view take the place of the page, which keeps what was typed if it can."""
        for one in self._desks():
            if not one.is_open:
                continue
            if isinstance(one, ThingsDesk):
                one.leave_all()
            else:
                one.leave()

    def changed_page(self) -> TankDesk | ThingsDesk | None:
        """Return the page that is open with something typed that is not kept, if any."""
        return next((one for one in self._desks() if one.is_changed), None)

    def begun_tank(self) -> FirstPage | None:
        """Return the page of a new tank where something was answered on it, open or left."""
        return None if self.new_tank is None else self.new_tank.begun

    def unkept(self) -> list[tuple[str, object]]:
        """Return the name of everything that was typed and is not kept, and what stands in it."""
        return [one for desk in self._desks() for one in desk.unkept()]

    def dispose(self) -> None:
        """Take the pages out of the frame."""
        if self.new_tank is not None:
            # Nothing is behind it any more that could be shown again.
            self.new_tank.dispose()
        for one in self._desks():
            one.dispose()
        # The rail stays, and shows the next household.
        self._frame.rail.mark(None)
        self.deleteLater()

    def _on_left(self) -> None:
        """Leave the page with the key that leaves it, pressed beside it."""
        for one in self._desks():
            if one.is_open:
                one.leave()

    def _on_group(self, by: int) -> None:
        """Go through the groups of the page from beside it, too."""
        for one in self._desks():
            if one.is_open:
                one.page.group_asked.emit(by)

    def _on_closed(self) -> None:
        self._frame.rail.mark(None)
        self.closed.emit()

    def _move(self, by: int) -> None:
        last, tank_id = self._session.last, self._session.tank_id
        if last is None:
            return
        ids = [one.id for one in walk(last.state.household)]
        if tank_id not in ids:
            self.told.emit("Choose a tank first; its place in the walk is moved.")
            return
        at = ids.index(tank_id)
        to = at + by
        if not 0 <= to < len(ids):
            self.told.emit(
                "It is the first in the walk." if by < 0 else "It is the last in the walk."
            )
            return
        self.move_to(tank_id, to)

    def move_to(self, tank_id: str, to: int) -> None:
        """Let a tank be at a place of the walk, counted from 0."""
        last = self._session.last
        if last is None:
            return
        if last.is_read_only:
            self.told.emit(READ_ONLY)
            return
        ids = [one.id for one in walk(last.state.household)]
        if tank_id not in ids:
            return
        ids.remove(tank_id)
        ids.insert(to, tank_id)
        name = last.state.household.tank(tank_id).name
        place = f"{name} is number {to + 1} in the walk."
        answer = Answer(place, self._refused)
        self._session.settle(lambda desk: reorder(desk, ids, self._session.person_id), answer)

    def _refused(self, error: TankkeeperError) -> None:
        last = self._session.last
        self.told.emit(fault_words(error, last.sheet.words if last is not None else None))
