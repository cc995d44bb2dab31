"""The list of the things of a part: where the keys stand, and what is found again in it."""

from __future__ import annotations

from dataclasses import dataclass

from pytestqt.qtbot import QtBot

from tankkeeper.gui.listed_things import ListedThings
from tankkeeper.gui.parts import Row

OF = ("Reef", "animals")


@dataclass(frozen=True)
class _Thing:
    name: str
    id: str = ""


def _rows(*names: str, with_ids: bool = True) -> list[Row]:
    return [Row(one, "", _Thing(one, one.lower() if with_ids else "")) for one in names]


def _listed(qtbot: QtBot, *names: str) -> ListedThings:
    things = ListedThings("Reef")
    qtbot.addWidget(things.list)
    _show(things, _rows(*names))
    return things


def _show(things: ListedThings, rows: list[Row], of: object = OF) -> None:
    things.show(rows, of, "Animals", lambda row: row.line)


def test_the_keys_stay_where_they_stood_in_the_same_list_alone(qtbot: QtBot) -> None:
    """A place in the list of another tank says nothing of this one."""
    things = _listed(qtbot, "Goby", "Hermit", "Snail")
    things.list.setCurrentRow(2)

    _show(things, _rows("Goby", "Hermit", "Snail"))
    assert things.list.currentRow() == 2

    _show(things, _rows("Goby", "Hermit", "Snail"), ("Nook", "animals"))
    assert things.list.currentRow() == 0


def test_the_keys_go_back_to_what_was_opened(qtbot: QtBot) -> None:
    """Once: a reading that comes later leaves them where a person went since."""
    things = _listed(qtbot, "Goby", "Hermit", "Snail")
    things.opened(1)

    _show(things, _rows("Goby", "Hermit", "Snail"))
    assert things.list.currentRow() == 1

    things.list.setCurrentRow(0)
    _show(things, _rows("Goby", "Hermit", "Snail"))
    assert things.list.currentRow() == 0


def test_the_keys_go_to_what_was_added_once_it_is_there(qtbot: QtBot) -> None:
    """A reading that came before it is not taken for it."""
    things = _listed(qtbot, "Goby", "Snail")
    things.expect_one_more()

    _show(things, _rows("Goby", "Snail"))
    assert things.expects_one
    _show(things, _rows("Goby", "Hermit", "Snail"))

    assert not things.expects_one
    assert things.list.currentRow() == 1


def test_a_thing_is_found_again_by_its_id(qtbot: QtBot) -> None:
    """Whatever it is called by now, and not where it is gone."""
    things = _listed(qtbot, "Goby", "Hermit")
    was, now = _Thing("Goby", "goby"), _Thing("Watchman", "goby")

    assert things.found_again(was, [*_rows("Hermit"), Row("Watchman", "", now)]) is now
    assert things.found_again(was, _rows("Hermit", "Snail")) is None


def test_what_has_no_id_is_found_again_where_it_stood(qtbot: QtBot) -> None:
    """It is another thing once it was changed; where there are fewer by now it may be gone."""
    things = ListedThings("Household")
    qtbot.addWidget(things.list)
    rows = _rows("Bucket", "Can", with_ids=False)
    _show(things, rows)
    things.opened(1)
    now = _rows("Bucket", "Barrel", with_ids=False)

    assert things.found_again(rows[1].thing, now) is now[1].thing
    assert things.found_again(rows[1].thing, now[:1]) is None
