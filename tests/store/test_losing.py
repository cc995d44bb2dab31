"""Animals lost: what cannot be so is refused, and the last of them takes its chores along."""

from datetime import timedelta

import pytest

from tankkeeper.app.clock import FixedClock
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import Animal, Loss
from tankkeeper.reports.faults import fault_words
from tankkeeper.services import losing
from tankkeeper.services.desk import Desk
from tankkeeper.services.settling_animals import Brings, add_animal
from tankkeeper.services.taking_back import undo
from tankkeeper.store.file_store import FileStore
from tests.fakes import CountingIds
from tests.store.households import NOON, house_of

TODAY = NOON.date()
FISH = Animal("skerry", "Firefish", 1, TODAY)


@pytest.fixture
def desk(store: FileStore) -> Desk:
    """A desk on one tank, to which one Firefish came today with its tests and its review."""
    desk = Desk(store, FixedClock(NOON), CountingIds())
    add_animal(desk, FISH, [Brings.REVIEW, Brings.TESTS])
    return desk


def _lost(loss: tuple[Loss, ...], count: int | None = 1) -> Animal:
    return Animal("skerry", "Firefish", count, TODAY, loss)


@pytest.mark.parametrize(
    ("loss", "said"),
    [
        ((Loss(TODAY, 5),), "5 lost are more than the 1 that came."),
        ((Loss(TODAY - timedelta(days=1), 1),), "so none was lost on"),
    ],
)
def test_a_loss_that_cannot_be_is_refused_at_its_field(
    desk: Desk, loss: tuple[Loss, ...], said: str
) -> None:
    """Of animals that are there, and of new ones."""
    for deed in (
        lambda: losing.change_animal(desk, FISH, _lost(loss)),
        lambda: add_animal(desk, _lost(loss)),
    ):
        with pytest.raises(UserFault) as refused:
            deed()
        assert said in fault_words(refused.value)
        assert str(refused.value.values["field"]).startswith("lost.")
    assert FISH in house_of(desk).animals


def test_the_chores_of_the_last_animal_end_and_come_back_with_it(desk: Desk) -> None:
    """In one change, which one undo takes back."""
    before = house_of(desk)
    own = {one.id for one in before.chores if one.name.endswith(": Firefish")}
    assert len(own) == 2

    done = losing.change_animal(desk, FISH, _lost((Loss(TODAY, 1),)))

    for one in house_of(desk).chores:
        if one.id in own:
            assert one.ended_on == TODAY - timedelta(days=1)
    assert done.entry is not None
    undo(desk, done.entry.id)
    assert house_of(desk).chores == before.chores


def test_chores_stay_while_one_of_them_lives(desk: Desk) -> None:
    """Of the same animals, or of others by that name in the same tank."""
    before = house_of(desk).chores
    more = Animal("skerry", "Firefish", 3, TODAY)
    losing.change_animal(desk, FISH, more)
    losing.change_animal(desk, more, _lost((Loss(TODAY, 2),), 3))
    assert house_of(desk).chores == before

    add_animal(desk, Animal("skerry", "Firefish", 2))
    losing.change_animal(desk, _lost((Loss(TODAY, 2),), 3), _lost((Loss(TODAY, 3),), 3))
    assert house_of(desk).chores == before


def test_another_row_that_says_just_the_same_lives_on(desk: Desk) -> None:
    """Two alike are two: with one of them lost, the other still has its work, and then none has."""
    add_animal(desk, FISH)
    before = house_of(desk)
    gone = _lost((Loss(TODAY, 1),))
    assert losing.chores_ending(before, FISH, gone, TODAY) == ()

    losing.change_animal(desk, FISH, gone)

    now = house_of(desk)
    assert now.chores == before.chores
    assert {one.name for one in losing.chores_ending(now, FISH, gone, TODAY)} == {
        "Review the quarantine: Firefish",
        "Test ammonia: Firefish",
    }


@pytest.mark.parametrize(
    ("count", "lost", "lives"),
    [
        (3, (), True),
        (3, (2,), True),
        (3, (2, 1), False),
        (3, (None,), False),
        (3, (1, None), False),
        (None, (1,), True),
        (None, (None,), False),
    ],
)
def test_work_of_animals_ends_just_when_none_of_them_live(
    desk: Desk, count: int | None, lost: tuple[int | None, ...], lives: bool
) -> None:
    """Lost without a number, all are gone; where nobody knows how many came, some live on."""
    before = house_of(desk)
    becomes = _lost(tuple(Loss(TODAY, one) for one in lost), count)
    assert becomes.lives is lives
    losing.change_animal(desk, FISH, becomes)
    assert (house_of(desk).chores == before.chores) is lives


def test_what_stood_before_stands_in_nobodys_way() -> None:
    """A file may have brought it; another field can be changed all the same."""
    was = Animal("skerry", "Firefish", 1, TODAY, (Loss(TODAY, 5),))

    losing.refuse_impossible_loss(was, was)
