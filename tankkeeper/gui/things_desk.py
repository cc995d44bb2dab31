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
from tankkeeper.gui.listed_things import ListedThings, key_of
from tankkeeper.gui.palette import Role
from tankkeeper.gui.parts import Part, Row
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.sheet_desk import SheetDesk
from tankkeeper.gui.shortcuts import Command, make_action
from tankkeeper.gui.what_follows import WhatFollows
from tankkeeper.gui.widgets.buttons import ButtonKind
from tankkeeper.gui.widgets.focus import is_inside
from tankkeeper.gui.widgets.labels import BodyLabel
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.users_words import users_line
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
        self._thing: Any = None
        self.things = ListedThings(name)
        self.list = self.things.list
        # Who uses the thing, as it was told before it is taken out.
        self._has_named = ""
        self._name = name
        self._is_of_tank = is_of_tank
        self.follows = BodyLabel(ink=Role.INK_2, parent=self.page)
        self._build()
        self._what_follows = WhatFollows(self.follows, self.page.buttons[_OFFER])

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
        if self.sheet is None:
            self.things.go_to(thing_id)

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
        if self._part.is_list:
            same = self.things.found_again(self._thing, rows)
        else:
            same = rows[0].thing if rows else None
        if same is None:
            if not sheet.is_changed:
                self._back()
            return
        # What it brought may have come with it, and is not to be brought once more.
        self._thing = same
        sheet.follow(self._part.draft(same, words), words)
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
        self.things.begin()
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
        part, here = self._part, QApplication.focusWidget()
        was_expected, had_keys = self.things.expects_one, here is self.list
        rows = part.rows(shown.state, shown.sheet.words)
        self.things.show(rows, (self._name, part.id), part.name, self._line)
        has_come = was_expected and not self.things.expects_one and is_inside(here, self.page)
        if has_come or (had_keys and not rows):
            # The first of a list gets the keys as the second does.
            self._take_keys()
        self.page.show_plain(self.list)
        self.page.title.setText(self._name)
        self._show_state()

    def _line(self, row: Row) -> str:
        """Return the line beneath a name, which tells of a draft that waits there."""
        is_draft = (self._name, self._part.id, key_of(row.thing)) in self._drafts
        return f"Draft, not kept yet. {row.line}".rstrip() if is_draft else row.line

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
        return self._name, self._part.id, None if self._thing is None else key_of(self._thing)

    def _what_it_is(self) -> str:
        part, sheet = self._part, self.sheet
        if sheet is None or not part.is_list:
            return f"What is set under {part.name}"
        if self._thing is not None:
            return part.called(getattr(sheet.base, "name", "") or "")
        name = sheet.fields["name"].standing if "name" in sheet.fields else ""
        return part.called(str(name), is_new=True)

    def _take_keys(self) -> None:
        if self.sheet is not None:
            self.sheet.go_to_first()
        elif self.list.count():
            self.list.setFocus()
        else:
            self.page.buttons[_NEW].setFocus()

    def _on_opened(self, place: int) -> None:
        if 0 <= place < len(self.things.rows) and self._part.make is None:
            self.things.opened(place)
            self._open_thing(self.things.rows[place].thing)

    def _show_state(self) -> None:
        buttons, sheet, part = self.page.buttons, self.sheet, self._part
        buttons[_NEW].setVisible(sheet is None)
        buttons[_NEW].set_words(f"New {part.noun}")
        buttons[_MORE].setVisible(sheet is None and part.more is not None)
        if part.more is not None:
            buttons[_MORE].set_words(part.more[0])
        can_go = sheet is not None and self._thing is not None and part.remove is not None
        buttons[_REMOVE].setVisible(can_go)
        buttons[_REMOVE].set_words(part.remove_word)
        buttons[_BACK].setVisible(sheet is not None and part.is_list)
        is_changed = sheet is not None and sheet.is_changed
        for name in ("as-it-was", "keep"):
            buttons[name].setVisible(sheet is not None)
            buttons[name].setEnabled(is_changed)
        if sheet is None:
            self._what_follows.withdraw()
        else:
            self._what_follows.stand()
        self._show_title(is_changed)

    def _show_title(self, is_changed: bool) -> None:
        part, page = self._part, self.page
        if self.sheet is None:
            page.title.setText(self._name)
            empty = f"No {part.noun} yet." if not self.things.rows else "Return opens one."
            page.sentence.setText(empty if part.sentence is None else part.sentence())
            return
        name = getattr(self.sheet.base, "name", "") or ""
        page.title.setText(part.title(name, is_new=self._thing is None))
        about = self._name if part.is_list or part.sentence is None else part.sentence()
        page.sentence.setText(self._changed_words if is_changed else about)

    def _show_preview(self) -> None:
        last, sheet = self._session.last, self.sheet
        if last is None or sheet is None or not self._is_open:
            self._what_follows.clear()
        else:
            self._what_follows.show(self._part, sheet, last)

    def _take_offer(self) -> None:
        """Keep what was typed, and set down what is offered besides."""
        offer, by = self._what_follows.offer, self._session.person_id
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
            self.things.expect_one_more()
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

        def write(desk: Desk) -> SetDown:
            return part.write(desk, was, thing, by)

        if was is None:
            self.things.expect_one_more()
        return write, f"{part.told(was, thing)}{part.reach}{self._where}."
