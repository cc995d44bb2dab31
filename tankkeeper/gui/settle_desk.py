"""The page of a tank behind the frame: opened by key, followed while typing, kept with its undo."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.core.household import Household, Stage, Tank
from tankkeeper.gui.forms.sheet_form import SheetForm
from tankkeeper.gui.forms.stage_form import NameForm, StageForm
from tankkeeper.gui.forms.tank_specs import PARTS, TANK_GROUPS
from tankkeeper.gui.frame import Frame
from tankkeeper.gui.models.tank_cards import picture_of
from tankkeeper.gui.palette import Role
from tankkeeper.gui.reading import Shown
from tankkeeper.gui.session import Session
from tankkeeper.gui.sheet_desk import SheetDesk
from tankkeeper.gui.shortcuts import Command, key_caption, make_action, shortcut
from tankkeeper.gui.widgets.buttons import ButtonKind
from tankkeeper.gui.widgets.labels import BodyLabel
from tankkeeper.gui.widgets.tank_preview import PreviewSide, TankPreview
from tankkeeper.reports.flow_words import overflows, pump_off_line
from tankkeeper.reports.pause_words import stage_and_pause
from tankkeeper.reports.settling_words import (
    litres_line,
    loss_line,
    misfit_line,
    stage_sentence,
)
from tankkeeper.services import settling_tanks
from tankkeeper.services.desk import Desk
from tankkeeper.services.resizing import fit_chores, is_of_same_size, misfits
from tankkeeper.services.settling import SetDown
from tankkeeper.services.settling_preview import stage_outlook, water_with

FIT = "Fit its chores"
_KEYS = (("copy", Command.COPY_TANK), ("stage", Command.STAGE), ("fit", Command.TAKE_OFFER))


class TankDesk(SheetDesk):
    """Keeps the page of the chosen tank, with its drawing, its litres and its loss."""

    def __init__(self, frame: Frame, session: Session, parent: QObject) -> None:
        super().__init__("Tank", frame, session, parent)
        self.preview = TankPreview(self.page)
        self.misfits = BodyLabel(ink=Role.AMBER, parent=self.page)
        self._tank_id = ""
        # By tank, the household for which the amounts of its chores were meant last.
        self._fitted: dict[str, Household] = {}
        self._build()

    def _build(self) -> None:
        page = self.page
        page.add_head(self.preview)
        page.add_head(self.misfits)
        self.misfits.hide()
        page.add_button("new", "New tank")
        page.add_button("copy", "Copy")
        page.add_button("stage", "Stage")
        page.add_button("fit", FIT).hide()
        page.add_gap()
        page.add_button("as-it-was", "As it was")
        page.add_button("keep", "Keep", ButtonKind.PRIMARY)
        page.asked.connect(self._on_asked)
        for name, command in _KEYS:
            key = key_caption(command)
            page.buttons[name].setToolTip(f"{shortcut(command).text} ({key})")
            page.buttons[name].setAccessibleDescription(key)
        # The key that copies a tank acts everywhere.
        for asked, command in (("stage", Command.STAGE), ("fit", Command.TAKE_OFFER)):
            make_action(command, page).triggered.connect(partial(self._on_asked, asked))

    @property
    def tank_id(self) -> str:
        """The tank of the page."""
        return self._tank_id

    def open_for(self, tank_id: str | None) -> None:
        """Show the page of a tank, of the first one where that is not there."""
        last = self._session.last
        if last is None or not last.state.household.tanks:
            return
        ids = [one.id for one in last.state.household.tanks]
        self._begin(tank_id if tank_id in ids else ids[0])

    def _begin(self, tank_id: str) -> None:
        self._is_open = True
        self._tank_id = tank_id
        self._note_fitting()
        self._fill()
        self._frame.rail.mark(tank_id)
        self._frame.stack.setCurrentWidget(self.page)
        self.go_to_beginning()

    def go_to_beginning(self) -> None:
        """Let the keys act in the first field; what was typed on the page stays."""
        assert self.sheet is not None
        self.sheet.go_to_first()

    def take(self, shown: Shown) -> None:
        """Follow a new reading; what was typed and not kept yet stays, field by field."""
        if not self._is_open:
            return
        tank = self._tank(shown)
        if tank is None:
            # Taken away by an undo, here or elsewhere.
            self.leave_at_once()
            return
        self._note_fitting()
        if self.sheet is not None:
            self.sheet.follow(tank, shown.sheet.words)
            self._show_head()
        self._show_preview()

    def _note_fitting(self) -> None:
        """Note what the chores fit, unless the tank was given another size since."""
        household = self._session.household
        assert household is not None
        fitted = self._fitted.setdefault(self._tank_id, household)
        if is_of_same_size(household, fitted, self._tank_id):
            self._fitted[self._tank_id] = household

    def set_tank(self, tank_id: str | None) -> None:
        """Go on to another tank, chosen in the rail; what was typed is kept before."""
        if not self._is_open or tank_id in (None, self._tank_id):
            return
        self.keep_then(lambda: self._begin(str(tank_id)))

    def _tank(self, shown: Shown) -> Tank | None:
        tanks = shown.state.household.tanks
        return next((one for one in tanks if one.id == self._tank_id), None)

    def _draft_key(self) -> object:
        return self._tank_id

    def _what_it_is(self) -> str:
        assert self.sheet is not None
        return f"The tank {self.sheet.base.name}"

    def _fill(self) -> None:
        last = self._session.last
        assert last is not None
        tank = self._tank(last)
        assert tank is not None
        self.page.clear()
        self.page.refuse("")
        self.sheet = SheetForm(TANK_GROUPS, self._words(), tank, PARTS)
        self.sheet.changed.connect(self._on_typed)
        self.page.show_body(self.sheet)
        self._put_draft()
        self._show_head()
        self._show_preview()

    def _show_head(self) -> None:
        sheet = self.sheet
        assert sheet is not None
        tank = sheet.base
        self.page.title.setText(tank.name)
        self.page.setAccessibleName(f"Tank {tank.name}")
        self._show_state()

    def _show_state(self) -> None:
        sheet = self.sheet
        assert sheet is not None
        is_changed = sheet.is_changed
        self.page.buttons["keep"].setEnabled(is_changed)
        self.page.buttons["as-it-was"].setEnabled(is_changed)
        keys = [key_caption(one) for one in (Command.STAGE, Command.COPY_TANK)]
        self.page.sentence.setText(
            self._changed_words
            if is_changed
            else f"{self._stage_words(sheet.base)} {keys[0]} changes that, {keys[1]} copies it. "
            "Every field but its name may stay empty."
        )

    def _stage_words(self, tank: Tank) -> str:
        last = self._session.last
        assert last is not None
        return stage_and_pause(tank, last.state.pause_of(tank), last.sheet.words)

    def _show_preview(self) -> None:
        last, sheet = self._session.last, self.sheet
        if last is None or sheet is None or not self._is_open:
            return
        typed, impossible = self._side(self._as_read(sheet))
        now, _ = self._side(sheet.base)
        sheet.faults.tell_at(impossible)
        self.preview.show_sides(now, None if typed == now else typed)
        self._show_misfits()

    @staticmethod
    def _as_read(sheet: SheetForm) -> Tank:
        """Return the tank as typed; where nobody can read what is typed it is as it was."""
        unread = [one for one in sheet.fields.values() if one.is_unread]
        tank: Tank = sheet.thing_without(unread)
        return tank

    def _show_misfits(self) -> None:
        """Tell which chores do not fit the tank as typed, beside what would let them fit."""
        last, sheet = self._session.last, self.sheet
        assert last is not None
        assert sheet is not None
        state, fitted = last.state, self._fitted[self._tank_id]
        found = misfits(state.household, fitted, self._as_read(sheet), state.moment.day)
        key = key_caption(Command.TAKE_OFFER)
        text = misfit_line(found, state.household, key, self._words())
        self.misfits.setText(text)
        self.misfits.setVisible(bool(text))
        self.page.buttons["fit"].setVisible(bool(text))

    def _fit(self) -> None:
        """Keep what was typed, and let the chores fit it."""
        if self.sheet is None or not self.misfits.text():
            return
        tank_id, by = self._tank_id, self._session.person_id
        before = after = self._fitted[tank_id]
        told = f"The chores of {self.sheet.base.name} fit it now."

        def write(desk: Desk) -> SetDown:
            nonlocal after
            done = fit_chores(desk, before, tank_id, by)
            after = done.household
            return done

        def stands(is_fitted: bool) -> None:
            self._fitted[tank_id] = after if is_fitted else before

        self.keep_then(
            lambda: self._write(write, told, lambda: stands(True), stands=stands), leaves=False
        )

    def _side(self, tank: Tank) -> tuple[PreviewSide, UserFault | None]:
        """Return what follows from a tank, and why it cannot be so where it cannot."""
        last, words = self._session.last, self._words()
        assert last is not None
        water = water_with(last.state, tank)
        picture = None
        if not isinstance(water, TankkeeperError):
            try:
                picture = picture_of(tank, water, words)
            except UserFault as impossible:
                # Where the sizes are not known yet, nothing else looked at rock and sand.
                water = impossible
        side = PreviewSide(
            picture,
            litres_line(water, words),
            loss_line(water, words),
            pump_off_line(tank, words),
            overflows(tank),
        )
        return side, water if isinstance(water, UserFault) else None

    def _on_asked(self, asked: str, _is_on: bool = False) -> None:
        deeds: dict[str, Callable[[], None]] = {
            "keep": lambda: self.keep_then(None),
            "as-it-was": self._fill_again,
            "new": lambda: self._frame.command(Command.NEW_TANK.value),
            "copy": lambda: self.keep_then(self._ask_name, leaves=False),
            "stage": lambda: self.keep_then(self._ask_stage, leaves=False),
            "fit": self._fit,
        }
        deeds[asked]()

    def _fill_again(self) -> None:
        self._fill()
        self.go_to_beginning()

    def _deed(self, thing: Tank) -> tuple[Callable[[Desk], SetDown], str]:
        """Return how a tank is written, and what is told then."""
        was = self.sheet.base if self.sheet is not None else None

        def write(desk: Desk) -> SetDown:
            return settling_tanks.change_tank(desk, thing, self._session.person_id, was)

        return write, f"Changed the tank {thing.name.strip()}."

    def ask_copy(self) -> None:
        """Ask for the name of a copy, after keeping what was typed."""
        self._on_asked("copy")

    def _ask_name(self) -> None:
        assert self.sheet is not None
        like: Tank = self.sheet.base
        sentence = "Its sizes, targets and chores are taken over; its logbook begins empty."
        form = NameForm(f"Copy {like.name}", sentence, "Copy", self._frame)

        def asked() -> None:
            form.wait()

            def write(desk: Desk) -> SetDown:
                done = settling_tanks.copy_tank(
                    desk, like.id, form.name.text, self._session.person_id
                )
                if done.entry is not None:
                    self._tank_id = done.entry.tank or self._tank_id
                return done

            self._write(write, f"Added the tank {form.name.text.strip()}.", form.accept)

        self._open_form(form, asked, self._fill_when_shown)

    def _fill_when_shown(self) -> None:
        if self.sheet is not None and self.sheet.base.id != self._tank_id:
            self._session.keys.in_turn(self._go_on_with_copy)

    def _go_on_with_copy(self) -> None:
        self._begin(self._tank_id)
        self._frame.rail.choose(self._tank_id)

    def _ask_stage(self) -> None:
        last, sheet = self._session.last, self.sheet
        assert last is not None
        assert sheet is not None
        tank: Tank = sheet.base
        words = self._words()

        def follows(stage: Stage) -> str:
            return stage_sentence(tank, stage, stage_outlook(last.state, tank, stage), words)

        form = StageForm(tank.name, tank.stage, follows, self._frame)

        def asked() -> None:
            stage = form.stage
            if stage is tank.stage:
                form.reject()
                return
            form.wait()

            def write(desk: Desk) -> SetDown:
                return settling_tanks.set_stage(desk, tank.id, stage, self._session.person_id)

            undone = f"Undone: {tank.name} is {tank.stage.value} again."
            self._write(write, f"{tank.name} is {stage.value} now.", form.accept, undone)

        self._open_form(form, asked, None)
