"""The quick decorator gives what the standard one gives (Python documentation, `dataclasses`)."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, dataclass, field, replace

import pytest

from tankkeeper.core import values


@values.dataclass(frozen=True, slots=True)
class Quick:
    """A class made by the decorator under test."""

    name: str
    size: float | None = None
    parts: tuple[int, ...] = field(default_factory=tuple)

    def __post_init__(self) -> None:
        """Refuse a negative size."""
        if self.size is not None and self.size < 0:
            raise ValueError("size")


@dataclass(frozen=True, slots=True)
class Standard:
    """The same class made by the standard decorator."""

    name: str
    size: float | None = None
    parts: tuple[int, ...] = field(default_factory=tuple)


def test_it_is_the_quick_decorator_that_is_tried() -> None:
    """Without this the other tests could compare the standard with itself."""
    assert "_standard" in vars(values)
    assert values.dataclass is not dataclass


@pytest.mark.parametrize("made", [Quick, Standard])
def test_fields_equality_hash_and_copies(made: type) -> None:
    """Both classes pass the same trial."""
    one, same, other = made("a", 2.0), made(name="a", size=2.0, parts=()), made("b")
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert one != ("a", 2.0, ())
    assert replace(one, name="b", size=None) == other
    assert dataclasses.astuple(one) == ("a", 2.0, ())
    assert [each.name for each in dataclasses.fields(one)] == ["name", "size", "parts"]
    assert copy.deepcopy(one) == one
    assert pickle.loads(pickle.dumps(one)) == one
    assert not hasattr(one, "__dict__")
    assert repr(one).endswith("(name='a', size=2.0, parts=())")


@pytest.mark.parametrize("made", [Quick, Standard])
def test_nothing_can_be_changed(made: type) -> None:
    """Setting and deleting are refused, unknown names too."""
    one = made("a")
    with pytest.raises(FrozenInstanceError):
        one.name = "b"
    with pytest.raises(FrozenInstanceError):
        del one.name
    with pytest.raises((FrozenInstanceError, TypeError)):
        one.colour = "red"


@pytest.mark.parametrize("made", [Quick, Standard])
def test_missing_and_unknown_arguments_are_refused(made: type) -> None:
    """As any function refuses them."""
    with pytest.raises(TypeError):
        made()
    with pytest.raises(TypeError):
        made("a", colour="red")


def test_what_is_checked_after_setting_is_checked() -> None:
    """`__post_init__` runs."""
    with pytest.raises(ValueError, match="size"):
        Quick("a", -1.0)


def test_each_instance_gets_its_own_default() -> None:
    """A factory is asked each time."""

    @values.dataclass(frozen=True, slots=True)
    class Listed:
        """Holds a list."""

        rows: list[int] = field(default_factory=list)

    first, second = Listed(), Listed()
    first.rows.append(1)
    assert second.rows == []


@values.dataclass(slots=True)
class QuickChanging:
    """A class that may be changed, made by the decorator under test."""

    name: str
    parts: list[int] = field(default_factory=list)


@dataclass(slots=True)
class StandardChanging:
    """The same class made by the standard decorator."""

    name: str
    parts: list[int] = field(default_factory=list)


@pytest.mark.parametrize("made", [QuickChanging, StandardChanging])
def test_a_class_that_may_be_changed_has_no_hash(made: type) -> None:
    """Equal at one moment, it need not be at the next; each has parts of its own."""
    one, same = made("a"), made("a")
    one.parts.append(1)
    assert one != same
    same.parts.append(1)
    assert one == same
    one.name = "b"
    assert (one.name, one.parts) == ("b", [1])
    with pytest.raises(TypeError):
        hash(one)


@pytest.mark.parametrize(
    ("quick", "standard"), [(Quick, Standard), (QuickChanging, StandardChanging)]
)
def test_fields_and_annotations_are_those_of_the_standard_one(quick: type, standard: type) -> None:
    """With their types as they were written, and their defaults."""

    def told(made: type) -> list[object]:
        return [
            (one.name, one.type, one.default, one.default_factory, one.init, one.compare)
            for one in dataclasses.fields(made)
        ]

    assert told(quick) == told(standard)
    assert quick.__annotations__ == standard.__annotations__
    assert quick.__match_args__ == standard.__match_args__
