"""A page of several parts, each a list of things or one sheet: chores of a tank, people, rooms."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication

from tankkeeper.core.errors import TankkeeperError
from tankkeeper.gui.deeds import Answer
from tankkeeper.gui.forms.sheet_form import SheetForm
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.palette import Role
from tankkeeper.gui.parts import Offer, Part, Row
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.sheet_desk import SheetDesk
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.widgets.buttons import ButtonKind
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.labels import BodyLabel
from tankkeeper.gui.widgets.thing_list import ThingList
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.users_words import users_line
from tankkeeper.reports.words import capital
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling import SetDown

_BACK, _NEW, _REMOVE, _MORE, _OFFER = "back", "new", "remove", "more", "offer"


class ThingsDesk(SheetDesk):
    """Keeps the page: chooses a part, opens a thing of it, keeps it or takes it out."""

    def __init__(
        self,
        name: str,
        frame: Frame,
        session: Session,
        parts: Sequence[Part],
        parent: QObject,
        *,
        is_of_tank: bool = False,
    ) -> None:
        super().__init__(name, frame, session, parent)
        self._parts = tuple(parts)
        self._part = self._parts[0]
        self._rows: Sequence[Row] = ()
        self._thing: Any = None
        self._place = 0
        # What the list held before something was added, until that stands in it.
        self._before: frozenset[object] | None = None
        self._offer: Offer | None = None
        # Who uses the thing, as it was told before it is taken out.
        self._has_named = ""
        self._name = name
        self._is_of_tank = is_of_tank
        self.list = ThingList(name)
        # Of what the list shows the things.
        self._listed: tuple[str, str] | None = None
        self.follows = BodyLabel(ink=Role.INK_2, parent=self.page)
        self._build()

    def _build(self) -> None:
        page = self.page
        page.add_head(self.follows)
        page.set_parts([(one.id, one.name) for one in self._parts], self._part.id)
        page.add_button(_NEW, "New")
        page.add_button(_MORE, "More")
        page.add_button(_OFFER, "").hide()
        page.add_gap()
        # Far from where the last press was: what it takes out goes at once.
        page.add_button(_REMOVE, "Take out")
        page.add_button(_BACK, "Back to the list")
        page.add_button("as-it-was", "As it was")
        page.add_button("keep", "Keep", ButtonKind.PRIMARY)
        page.asked.connect(self._on_asked)
        make_action(Command.TAKE_OFFER, page).triggered.connect(self._take_offer)
        self.list.opened.connect(self._on_opened)

    def set_parts(self, name: str, parts: Sequence[Part]) -> None:
        """Show parts with the same ids of something else, such as of another tank."""
        self._name, self._parts = name, tuple(parts)
        self._part = next(one for one in self._parts if one.id == self._part.id)
        self.page.set_parts([(one.id, one.name) for one in self._parts], self._part.id)

    def open(self, *, from_first: bool = False) -> None:
        """Show the page at its list or its sheet, at the part used last or at the first."""
        if self._session.last is None:
            return
        if from_first:
            self._part = self._parts[0]
        self._is_open = True
        self._show_part(self._part.id)
        self._frame.stack.setCurrentWidget(self.page)
        self._take_keys()

    @property
    def part_id(self) -> str:
        """Which of the parts is shown."""
        return self._part.id

    def open_at(self, part_id: str) -> None:
        """Show one of the parts, on the page as it is or opened for it."""
        if not self._is_open:
            self.open()
        if self._is_open and self._part.id != part_id:
            self._on_asked(part_id)
            self._session.keys.in_turn(self._take_keys)

    def show_thing(self, thing_id: str) -> None:
        """Let the keys stand on one thing of the list that is shown, if it is there."""
        ids = [getattr(row.thing, "id", None) for row in self._rows]
        if self.sheet is None and thing_id in ids:
            self.list.setCurrentRow(ids.index(thing_id))

    def go_to_beginning(self, part_id: str = "") -> None:
        """Go to the first field or line of a part, of the first one where none is named.

        What is typed there stays as it is; what is typed elsewhere is kept before.
        """
        wanted = part_id or self._parts[0].id
        if self._part.id != wanted or self._part.is_list:
            self._on_asked(wanted)
        self._session.keys.in_turn(lambda: self._stand_at_beginning(wanted))

    def _stand_at_beginning(self, part_id: str) -> None:
        """Let the keys act there, unless what was typed could not be kept."""
        if not self._is_open or self._part.id != part_id:
            return
        if self.sheet is None:
            self.list.setCurrentRow(0)
            self._take_keys()
        elif not self._part.is_list:
            self._take_keys()

    def take(self, shown: Shown) -> None:
        """Follow a new reading; what was typed and not kept yet stays, field by field."""
        if not self._is_open:
            return
        if self.sheet is None:
            self._show_list(shown)
            self._look_beside()
        else:
            self._follow(self.sheet, shown)
        self._show_preview()

    def _follow(self, sheet: SheetForm, shown: Shown) -> None:
        words = shown.sheet.words
        rows = self._part.rows(shown.state, words)
        if self._thing is None and self._part.is_list:
            sheet.follow(sheet.base, words)
            return
        same = [row.thing for row in rows if _is_same(row.thing, self._thing)]
        is_known_by_place = bool(rows) and not getattr(rows[0].thing, "id", "")
        if not self._part.is_list:
            same = [row.thing for row in rows]
        elif not same and is_known_by_place and len(rows) == len(self._rows):
            # What has no id is another one once it was changed; it stands where it stood.
            same = [rows[self._place].thing]
        if not same:
            if not sheet.is_changed:
                self._back()
            return
        # What it brought may have come with it, and is not to be brought once more.
        self._thing = same[0]
        sheet.follow(self._part.draft(same[0], words), words)
        self._show_state()

    def leave(self) -> None:
        """Go back to the list from a sheet, from there to the view behind."""
        if self.sheet is not None and self._part.is_list:
            self.keep_then(self._back)
        else:
            super().leave()

    def leave_all(self) -> None:
        """Go to the view behind, after keeping what was typed."""
        self.keep_then(self.leave_at_once)

    def _on_group(self, by: int) -> None:
        """Go to the next group of fields; from the last one, and from a list, to the next part.

        The way back ends at the row of the parts.
        """
        if by < 0 and self.page.is_at_parts:
            return
        is_one_of_list = self.sheet is not None and self._part.is_list
        if self.sheet is not None and self.sheet.go_to_group(by):
            return
        ids = [one.id for one in self._parts]
        at = ids.index(self._part.id) + by
        if by < 0 and (at < 0 or is_one_of_list):
            self.page.go_to_parts()
        elif at < len(ids) and not is_one_of_list:
            self._on_asked(ids[at])
            self._session.keys.in_turn(self._take_keys)

    def _show_part(self, part_id: str) -> None:
        self._part = next(one for one in self._parts if one.id == part_id)
        self._place, self._before = 0, None
        self.page.set_parts([(one.id, one.name) for one in self._parts], part_id)
        last = self._session.last
        assert last is not None
        if self._part.is_list:
            self._back()
            self._look_beside()
        else:
            rows = self._part.rows(last.state, last.sheet.words)
            self._open_thing(rows[0].thing)

    def _look_beside(self) -> None:
        """Read what is not in the state, and show it once it is there."""
        part = self._part
        if part.beside is None:
            return
        read, hold = part.beside

        def found(value: object) -> None:
            hold(value)
            last = self._session.last
            if not self._is_open or self._part is not part or last is None:
                return
            if self.sheet is None:
                self._show_list(last)
            else:
                self._show_preview()

        self._session.read_with(lambda desk, _shown: read(desk), found)

    def _on_typed(self) -> None:
        self._has_named = ""
        super()._on_typed()

    def _back(self) -> None:
        self.sheet = None
        self._thing = None
        last = self._session.last
        assert last is not None
        self.page.refuse("")
        self._show_list(last)
        self._take_keys()

    def _show_list(self, shown: Shown) -> None:
        self._rows = self._part.rows(shown.state, shown.sheet.words)
        listed, self._listed = self._listed, (self._name, self._part.id)
        # Where one stood in another list says nothing of this one.
        stood = self.list.currentRow() if self.list.count() and listed == self._listed else 0
        place = max(self._place, stood)
        here, was_expected = QApplication.focusWidget(), self._before is not None
        had_keys = here is self.list
        place = self._place_of_added(place)
        self.list.setAccessibleName(self._part.name)
        self.list.show_rows([(row.name, self._line(row)) for row in self._rows], place)
        has_come = was_expected and self._before is None and is_inside(here, self.page)
        if has_come or (had_keys and not self._rows):
            # The first of a list gets the keys as the second does.
            self._take_keys()
        self._place = 0
        self.page.show_plain(self.list)
        self.page.title.setText(self._name)
        self._show_state()

    def _line(self, row: Row) -> str:
        """Return the line beneath a name, which tells of a draft that waits there."""
        is_draft = (self._name, self._part.id, _key(row.thing)) in self._drafts
        return f"Draft, not kept yet. {row.line}".rstrip() if is_draft else row.line

    def _place_of_added(self, place: int) -> int:
        """Return the place of what was just added, else the one that is given."""
        if self._before is None:
            return place
        keys = [_key(row.thing) for row in self._rows]
        added = [at for at, key in enumerate(keys) if key not in self._before]
        if not added:
            return place
        self._before = None
        return added[0]

    def _expect_one_more(self) -> None:
        """Let the keys go to what is added, once it stands in the list."""
        self._before = frozenset(_key(row.thing) for row in self._rows)

    def _open_thing(self, thing: Any) -> None:
        last = self._session.last
        assert last is not None
        words = last.sheet.words
        self._thing, self._has_named = thing, ""
        self.page.refuse("")
        shown = thing if thing is not None or self._part.blank is None else self._part.blank()
        self.page.clear(keeping=self.list)
        self.sheet = SheetForm(
            self._part.groups(words), words, self._part.draft(shown, words), self._part.parts
        )
        self.sheet.changed.connect(self._on_typed)
        self.page.show_body(self.sheet)
        self._put_draft()
        self._show_state()
        self._show_preview()
        self._take_keys()

    def _draft_key(self) -> object:
        return self._name, self._part.id, None if self._thing is None else _key(self._thing)

    def _what_it_is(self) -> str:
        part, sheet = self._part, self.sheet
        if not part.is_list or sheet is None:
            return f"What is set under {part.name}"
        if self._thing is not None:
            return f"The {part.noun} {getattr(sheet.base, 'name', '')}".rstrip()
        name = sheet.fields["name"].standing if "name" in sheet.fields else ""
        return f"The new {part.noun} {name}".rstrip()

    def _take_keys(self) -> None:
        if self.sheet is not None:
            self.sheet.go_to_first()
        elif self.list.count():
            self.list.setFocus()
        else:
            self.page.buttons[_NEW].setFocus()

    def _on_opened(self, place: int) -> None:
        if 0 <= place < len(self._rows) and self._part.make is None:
            self._place = place
            self._open_thing(self._rows[place].thing)

    def _show_state(self) -> None:
        buttons, sheet, part = self.page.buttons, self.sheet, self._part
        buttons[_NEW].setVisible(sheet is None)
        buttons[_NEW].set_words(f"New {part.noun}")
        buttons[_MORE].setVisible(sheet is None and part.more is not None)
        if part.more is not None:
            buttons[_MORE].set_words(part.more[0])
        if sheet is None:
            self._offer = None
            buttons[_OFFER].hide()
        can_go = sheet is not None and self._thing is not None and part.remove is not None
        buttons[_REMOVE].setVisible(can_go)
        buttons[_REMOVE].set_words(part.remove_word)
        buttons[_BACK].setVisible(sheet is not None and part.is_list)
        is_changed = sheet is not None and sheet.is_changed
        for name in ("as-it-was", "keep"):
            buttons[name].setVisible(sheet is not None)
            buttons[name].setEnabled(is_changed)
        self.follows.setVisible(sheet is not None and bool(self.follows.text()))
        self._show_title(is_changed)

    def _show_title(self, is_changed: bool) -> None:
        part = self._part
        if self.sheet is None:
            self.page.title.setText(self._name)
            if self._part.sentence is not None:
                self.page.sentence.setText(self._part.sentence())
                return
            empty = f"No {part.noun} yet." if not self._rows else "Return opens one."
            self.page.sentence.setText(empty)
            return
        if part.is_list:
            named = getattr(self.sheet.base, "name", "")
            title = named if self._thing is not None and named else f"New {part.noun}"
            self.page.title.setText(title if self._thing is None or named else capital(part.noun))
        else:
            self.page.title.setText(part.name)
        about = self._name if part.is_list or part.sentence is None else part.sentence()
        self.page.sentence.setText(self._changed_words if is_changed else about)

    def _show_preview(self) -> None:
        last, sheet = self._session.last, self.sheet
        self._offer = None
        if last is None or sheet is None or not self._is_open:
            self.follows.setText("")
            self.follows.setVisible(False)
            self.page.buttons[_OFFER].hide()
            return
        try:
            thing = sheet.thing
            text = self._part.follows(last.state, thing, last.sheet.words)
            self._offer = self._part.offer(last.state, thing)
        except TankkeeperError as refused:
            text = sheet.faults.words_for(refused, last.sheet.words)
        self.follows.setText(text)
        self.follows.setVisible(bool(text))
        self.page.buttons[_OFFER].set_words(self._offer.words if self._offer is not None else "")
        self.page.buttons[_OFFER].setVisible(self._offer is not None)

    def _take_offer(self) -> None:
        """Keep what was typed, and set down what is offered besides."""
        offer, by = self._offer, self._session.person_id
        if offer is not None:
            self.keep_then(
                lambda: self._write(lambda desk: offer.write(desk, by), offer.told, lambda: None)
            )

    def _on_asked(self, asked: str) -> None:
        if asked in {one.id for one in self._parts}:
            self.keep_then(lambda: self._show_part(asked))
            self.page.set_parts([(one.id, one.name) for one in self._parts], self._part.id)
        elif asked == _NEW and self._part.make is not None:
            self._make(self._part)
        elif asked == _NEW:
            self._open_thing(None)
        elif asked == _MORE:
            self._ask_more()
        elif asked == _OFFER:
            self._take_offer()
        elif asked == _BACK:
            self.keep_then(self._back)
        elif asked == "keep":
            # A new one as one that was changed: its line is chosen, and the next is a key away.
            self.keep_then(self._back if self._part.is_list else None, leaves=False)
        elif asked == _REMOVE:
            self._take_out()
        else:
            self._open_thing(self._thing)

    def _ask_more(self) -> None:
        """Ask which of many to add, and add them as one change."""
        last, more = self._session.last, self._part.more
        assert last is not None
        assert more is not None
        form = more[1](last.state, last.sheet.words, self._frame)

        def asked() -> None:
            try:
                write, told = form.deed(self._session.person_id)
            except TankkeeperError as refused:
                form.refuse(fault_words(refused, last.sheet.words))
                return
            form.wait()
            self._expect_one_more()
            self._write(write, told, form.accept)

        self._open_form(form, asked, self.list.setFocus)

    def _make(self, part: Part) -> None:
        make, made, last = part.make, part.made, self._session.last
        assert make is not None
        assert made is not None
        assert last is not None
        household = last.state.household

        def write(desk: Desk) -> SetDown:
            make(desk)
            return SetDown(household, None)

        answer = Answer("", self._refused, self.list.setFocus, tell=lambda _entries: made())
        self._session.settle(write, answer)

    def _take_out(self) -> None:
        part, was, last = self._part, self._thing, self._session.last
        remove = part.remove
        assert remove is not None
        assert last is not None
        users = users_line(last.state.household, was, last.state.moment.day)
        if users and self._has_named != users:
            self._has_named = users
            self.page.ask(f"{users} {part.remove_word} again does it; Ctrl+Z brings it back.")
            return
        by = self._session.person_id
        name = getattr(was, "name", "") or part.noun

        def gone() -> None:
            self.sheet = None
            self._back()

        told = f"{part.removed_word} {name}{self._where}."
        self._write(lambda desk: remove(desk, was, by), told, gone)

    @property
    def _where(self) -> str:
        """What tells of which tank a thing is, empty for things of the household."""
        return f" ({self._name})" if self._is_of_tank else ""

    def _deed(self, thing: Any) -> tuple[Callable[[Desk], SetDown], str]:
        part, was, by = self._part, self._thing, self._session.person_id
        # What has no name of its own goes by its kind.
        name = (str(getattr(thing, "name", "")) or str(getattr(thing, "kind", ""))).strip()
        if not part.is_list:
            # Of what there is just one of, the name would be that of the household.
            name = ""
        told = f"{'Added' if was is None else 'Changed'} the {part.noun} {name}".strip()

        def write(desk: Desk) -> SetDown:
            return part.write(desk, was, thing, by)

        if was is None:
            self._expect_one_more()
        return write, f"{told}{part.reach}{self._where}."


def _key(thing: Any) -> object:
    """Return what tells a thing from others of its list."""
    return getattr(thing, "id", "") or repr(thing)


def _is_same(one: Any, other: Any) -> bool:
    """Tell whether two are the same thing, by its id where it has one."""
    one_id = getattr(one, "id", "")
    return one_id == getattr(other, "id", "") if one_id else one == other
