"""Frozen, slotted dataclasses that are made quickly, because a hundred of them load at the start.

The standard decorator compiles some eight methods for each class one by one; measured on Python
3.11 that took a third of the time until the round stood. Here comparing and hashing go through
`operator.attrgetter`, and only `__init__` is compiled, when a class is first instantiated. The rest
is the same: the fields, equality, hash, order of arguments, `replace`, `fields`, `astuple`, refusal
to be changed. Type checkers see the standard decorator. From Python 3.13 on, where the standard one
is quick as well, this module can go.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, fields
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    from dataclasses import dataclass as _standard

    T = TypeVar("T")

    def dataclass(*, frozen: bool = False, slots: bool = False) -> Callable[[type[T]], type[T]]:
        """Return the quick decorator for slotted classes, the standard one for others."""
        if not slots:
            return _standard(frozen=frozen, slots=slots)
        return lambda cls: _quick(cls, frozen)

    def _quick(cls: type[T], is_frozen: bool) -> type[T]:
        made = _slotted(cls)
        own = vars(cls)
        for name, method in _methods(made).items():
            if name not in own:
                setattr(made, name, method)
        if is_frozen:
            made.__setattr__ = _refuse_to_set
            made.__delattr__ = _refuse_to_delete
        elif "__hash__" not in own:
            made.__hash__ = None
        return made

    def _slotted(cls: type[T]) -> type[T]:
        """Return the class with fields and slots, and none of the methods that follow from them."""
        notes = vars(cls).get("__annotations__", {})
        # Without a text of its own a class is given its signature, which takes long to find.
        cls.__doc__ = cls.__doc__ or cls.__name__
        # Annotations that are text are searched for what would make them no fields.
        plain = not any("Var" in str(note) or "KW_ONLY" in str(note) for note in notes.values())
        if plain:
            cls.__annotations__ = dict.fromkeys(notes, object)
        made = _standard(init=False, repr=False, eq=False, slots=True)(cls)
        if plain:
            made.__annotations__ = notes
            for each in fields(made):
                each.type = notes.get(each.name, each.type)
        return made


def _methods(cls: type) -> dict[str, Callable[..., Any]]:
    """Return the methods that follow from the fields."""
    names = [each.name for each in fields(cls)]
    values = _values_of(names)

    def __eq__(self: object, other: object) -> bool:  # noqa: N807
        if other.__class__ is not self.__class__:
            return NotImplemented
        return values(self) == values(other)

    def __hash__(self: object) -> int:  # noqa: N807
        return hash(values(self))

    def __reduce__(self: object) -> tuple[type, tuple[Any, ...]]:  # noqa: N807
        return self.__class__, values(self)

    def __init__(self: object, *given: Any, **named: Any) -> None:  # noqa: N807
        setting = _setting(cls)
        type.__setattr__(cls, "__init__", setting)
        setting(self, *given, **named)

    return {one.__name__: one for one in (__eq__, __hash__, __reduce__, __init__)} | {
        "__repr__": _told
    }


def _values_of(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """Return what gives the values of these fields as a tuple."""
    if len(names) > 1:
        return attrgetter(*names)
    return lambda one: tuple(getattr(one, name) for name in names)


def _setting(cls: type) -> Callable[..., None]:
    """Return the `__init__` that sets the fields, compiled."""
    known: dict[str, Any] = {"FACTORY": MISSING}
    heads, body = [], []
    for each in fields(cls):
        known[f"set_{each.name}"] = getattr(cls, each.name).__set__
        heads.append(_argument(each, known))
        body.append(f"  set_{each.name}(self, {_given(each, known)})")
    if hasattr(cls, "__post_init__"):
        body.append("  self.__post_init__()")
    made: dict[str, Callable[..., None]] = {}
    exec(
        "\n".join([f"def __init__(self, {', '.join(heads)}):", *(body or ["  pass"])]), known, made
    )
    made["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"
    return made["__init__"]


def _argument(each: Field[Any], known: dict[str, Any]) -> str:
    """Return a field as an argument of `__init__`, its default by name."""
    if each.default is not MISSING:
        known[f"default_{each.name}"] = each.default
        return f"{each.name}=default_{each.name}"
    if each.default_factory is not MISSING:
        known[f"make_{each.name}"] = each.default_factory
        return f"{each.name}=FACTORY"
    return each.name


def _given(each: Field[Any], known: dict[str, Any]) -> str:
    """Return what a field is set to: the argument, or what its factory makes."""
    if f"make_{each.name}" not in known:
        return each.name
    return f"make_{each.name}() if {each.name} is FACTORY else {each.name}"


def _told(self: Any) -> str:
    """Return the class and its fields."""
    told = ", ".join(f"{each.name}={getattr(self, each.name)!r}" for each in fields(self))
    return f"{self.__class__.__qualname__}({told})"


def _refuse_to_set(_self: object, name: str, _value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_self: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")
