"""Whatever a page of setting down refuses stands at the field it is about, in its words."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tankkeeper.core.chores import ChoreKind
from tankkeeper.core.volume import Measured, ShapeKind
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.gui.sheet_desk import SheetDesk
from tankkeeper.services.reminder_habits import Habits
from tankkeeper.services.rhythm_drafts import Way
from tests.gui.conftest import LiveIn, Remind
from tests.gui.round_house import Hands, small_house
from tests.gui.test_chores_page import open_chores
from tests.gui.test_house_page import open_house
from tests.gui.test_tank_page import open_page

NONSENSE = ("-1", "0", "999999999", "abc", "1850-01-01", "9999-12-31", "\U0001f420", "x" * 300)
Open = Callable[[Hands], SheetDesk]


@dataclass(frozen=True)
class Page:
    """One form: how its page is opened, what is new there, and what has to stand in others."""

    name: str
    reach: Open
    is_new: bool = False
    sound: tuple[tuple[str, object], ...] = ()
    # Forms of one kind differ only in some fields; the others are tried once.
    only: str = ""


def _of_tank(part: str) -> Open:
    def reach(hands: Hands) -> SheetDesk:
        desk = open_chores(hands)
        if part != "chores":
            desk.page.asked.emit(part)
            hands.settle()
        return desk

    return reach


def _of_house(part: str) -> Open:
    return lambda hands: open_house(hands, part)


# What only the program calls so; nobody reads it in a sentence.
_INSIDE = ("INTERVAL", "_", " l ", "not named")
_NAMED = (("name", "thing"),)
PAGES = (
    *(
        Page(f"tank, {kind.value}", open_page, sound=(("shape.kind", kind),), only="shape.")
        for kind in ShapeKind
        if kind is not ShapeKind.BOX
    ),
    Page("tank", open_page, sound=(("shape.measured", Measured.OUTSIDE),)),
    *(
        Page(
            f"chore, {way.value}",
            _of_tank("chores"),
            is_new=True,
            sound=(
                *_NAMED,
                # Only what fills is by evaporation.
                ("kind", ChoreKind.TOP_OFF if way is Way.WATER else ChoreKind.OTHER),
                ("rhythm.way", way),
                ("rhythm.weekdays", (1,)),
                ("rhythm.month_days", "1"),
                ("rhythm.of", "nitrate"),
                ("rhythm.rule", "FREQ=DAILY"),
            ),
            only="" if way is Way.DAYS else "rhythm.",
        )
        for way in Way
        if way is not Way.STOCK
    ),
    Page("animals", _of_tank("animals"), is_new=True, sound=_NAMED),
    Page("equipment", _of_tank("equipment"), is_new=True, sound=_NAMED),
    Page("settings", _of_house("settings")),
    Page("reminders", _of_house("reminders")),
    Page("people", _of_house("people"), is_new=True, sound=_NAMED),
    Page("rooms", _of_house("rooms"), is_new=True, sound=_NAMED),
    Page("containers", _of_house("containers"), is_new=True, sound=_NAMED),
    Page("supplies", _of_house("supplies"), is_new=True, sound=_NAMED),
    Page("water", _of_house("water")),
    Page("salt", _of_house("salt")),
)


def _ends_well(sentence: str) -> bool:
    """Tell whether it is a sentence."""
    return sentence.endswith((".", "?"))


def _put(field: SpecField, value: object) -> None:
    if field.typed is not None:
        field.typed.set_text(str(value))
    elif field.choice is not None:
        field.choice.setCurrentIndex(field._values.index(value))
        field.choice.activated.emit(field.choice.currentIndex())
    else:
        field.show_value(value)
        assert field.many is not None
        field.many.changed.emit()


def _ready(hands: Hands, desk: SheetDesk, page: Page) -> None:
    """Have the sheet stand open with all that is sound in it."""
    if desk.sheet is None:
        desk.page.asked.emit("new")
        hands.settle()
    assert desk.sheet is not None
    for path, value in page.sound:
        field = desk.sheet.fields[path]
        if not field.isHidden():
            _put(field, value)


_ALIKE = re.compile(r"(tue|wed|thu|fri|sat|sun|uses_[23].*|mornings[.][1-6])|.*[.]([2-9]|1[0-2])")


def _paths(desk: SheetDesk, page: Page) -> tuple[str, ...]:
    """Return the typed fields; of those that are alike, such as the weekdays, the first."""
    assert desk.sheet is not None
    shown = [
        path
        for path, one in desk.sheet.fields.items()
        if one.typed is not None and not one.isHidden() and path.startswith(page.only)
    ]
    return tuple(path for path in shown if not _ALIKE.fullmatch(path))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_what_is_refused_is_refused_at_its_field(
    live_in: LiveIn, remind: Remind, page: Page
) -> None:
    """The field is marked, has the keys and keeps the text; nothing is told away from it."""
    is_reminders = page.name == "reminders"
    hands = remind(small_house(), habits=Habits()).hands if is_reminders else live_in()
    desk = page.reach(hands)
    _ready(hands, desk, page)
    paths = _paths(desk, page)
    assert paths
    for number, path in enumerate(paths):
        # Fields are read alike, so each gets one of the texts, and eight after each other all;
        # of few fields each gets two.
        log = len(hands.log())
        for by in (0, 3) if len(paths) < len(NONSENSE) else (0,):
            text = NONSENSE[(number + by) % len(NONSENSE)]
            _ready(hands, desk, page)
            assert desk.sheet is not None
            field = desk.sheet.fields[path]
            assert field.typed is not None
            before = field.typed.text
            field.setFocus()
            _put(field, text)
            hands.press("Ctrl+Return")
            if desk.sheet is None or not desk.sheet.is_changed:
                if len(hands.log()) > log:
                    hands.press("Ctrl+Z")
                    log = len(hands.log())
                continue
            case = (path, text[:12], [one.fault for one in desk.sheet.fields.values() if one.fault])
            assert field.fault, case
            assert _ends_well(field.fault), case
            assert not any(name in field.fault for name in _INSIDE), case
            assert desk.page._notice is None, case
            assert field.isAncestorOf(hands.focus()), case
            assert field.typed.text == text
            assert len(hands.log()) == log
            # It is still told when the keys have gone on.
            hands.hit("Tab")
            assert field.fault, case
            # By hand: to show the sheet as it was makes it anew.
            field.typed.set_text(before)


def _refused(hands: Hands, desk: SheetDesk, path: str, text: str) -> str:
    """Return what stands at a field once it was refused with this text."""
    assert desk.sheet is not None
    field = desk.sheet.fields[path]
    field.setFocus()
    _put(field, text)
    hands.press("Ctrl+Return")
    assert field.isAncestorOf(hands.focus())
    return field.fault.replace("\u00a0", " ")


def test_a_refusal_names_the_field_as_its_label_does(live_in: LiveIn) -> None:
    """The names of the rule, of the file and of the code stay inside."""
    hands = live_in()
    desk = open_chores(hands)
    _ready(hands, desk, PAGES[[one.name for one in PAGES].index("chore, every so many days")])
    assert _refused(hands, desk, "rhythm.count", "0") == (
        "Every 0 is not possible. It can be from 1 to 3650."
    )
    assert desk.follows.text().startswith("Every 0 is not possible.")
    _put(desk.sheet.fields["rhythm.count"], "1")
    assert _refused(hands, desk, "rhythm.start", "1850-01-01").startswith(
        "Counted from 1 January 1850 is not possible. It can be from 1 January 1990"
    )
    _put(desk.sheet.fields["rhythm.start"], "")
    assert _refused(hands, desk, "amount", "99999999") == (
        "Amount 99999999 L is not possible. It can be from 0 to 10000000 L."
    )


def test_a_list_of_boxes_and_a_choice_are_marked_as_a_field_is(live_in: LiveIn) -> None:
    """The sentence stands beneath them, is read out with them, and goes with the first change."""
    hands = live_in()
    desk = open_chores(hands)
    desk.page.asked.emit("new")
    hands.settle()
    assert desk.sheet is not None
    _put(desk.sheet.fields["name"], "thing")
    _put(desk.sheet.fields["rhythm.way"], Way.WEEKDAYS)
    hands.press("Ctrl+Return")
    days = desk.sheet.fields["rhythm.weekdays"]
    assert days.fault == "No weekday is chosen. Choose at least one."
    assert days.isAncestorOf(hands.focus())
    assert days.many.accessibleDescription() == days.fault
    hands.hit("Space")
    assert days.fault == ""

    _put(desk.sheet.fields["rhythm.way"], Way.FORECAST)
    hands.press("Ctrl+Return")
    of = desk.sheet.fields["rhythm.of"]
    assert of.fault == "What it tests is missing."
    assert of.choice.accessibleDescription() == of.fault
    assert hands.focus() is of.choice
    hands.hit("Down")
    assert of.fault == ""
    assert of.choice.accessibleDescription() == of.spec.note
    assert desk.page._notice is None


def test_sizes_that_do_not_fit_each_other_are_told_until_they_do(live_in: LiveIn) -> None:
    """Whichever of the two is mended."""
    hands = live_in()
    desk = open_page(hands)
    assert desk.sheet is not None
    depth, height = (desk.sheet.fields[f"shape.{one}_cm"] for one in ("water_depth", "height"))
    depth.setFocus()
    _put(depth, "90")
    desk._show_preview()
    hands.hit("Tab")
    assert depth.fault.startswith("Water up to 90")
    _put(height, "95")
    desk._show_preview()
    assert depth.fault == ""
