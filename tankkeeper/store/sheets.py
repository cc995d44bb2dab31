"""A sheet is one table of definitions: its columns, and the two ways between rows and values."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import attrgetter
from typing import Any, Generic, TypeVar

from tankkeeper.core.errors import UserFault
from tankkeeper.core.values import dataclass
from tankkeeper.store.columns import Field, whole, yes_no
from tankkeeper.store.faults import Undecodable

T = TypeVar("T")
HIGHEST_PLACE = 1_000_000
Row = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A value inside a value, kept in columns that begin with the name of its attribute."""

    attribute: str
    of: type[Any]
    fields: tuple[Field, ...]
    optional: bool = False

    def presence(self) -> Field:
        """Return the column that tells a part with nothing known from no part at all."""
        return yes_no(f"has_{self.attribute}")

    def attribute_of(self, field: Field) -> str:
        """Return the attribute that a column of this part keeps."""
        return field.name.removeprefix(f"{self.attribute}_")


@dataclass(frozen=True, slots=True)
class Sheet(Generic[T]):
    """How values of one class are kept, one a row, in their order.

    `outer` are key columns that the class itself has no attribute for, such as the tank of a
    range; where neither they nor a field is a key, the place in the order is.
    """

    name: str
    of: type[T]
    fields: tuple[Field, ...]
    parts: tuple[Part, ...] = ()
    outer: tuple[Field, ...] = ()

    @property
    def _place(self) -> Field:
        has_key = any(field.key for field in self.fields)
        return whole("place", 0, HIGHEST_PLACE, key=not has_key)

    @property
    def columns(self) -> tuple[Field, ...]:
        """All columns in their order: outer keys, place, fields, parts."""
        inside: list[Field] = []
        for part in self.parts:
            if part.optional:
                inside.append(part.presence())
            inside.extend(part.fields)
        return (*self.outer, self._place, *self.fields, *inside)

    @property
    def key_positions(self) -> tuple[int, ...]:
        """Where in a row the columns of the primary key stand."""
        return tuple(index for index, field in enumerate(self.columns) if field.key)

    def encode(self, value: T, place: int, outer: Sequence[Any] = ()) -> Row:
        """Return the row that keeps `value`."""
        row: list[Any] = [field.put(key) for field, key in zip(self.outer, outer, strict=True)]
        if place > HIGHEST_PLACE:
            raise UserFault("too_many", what=self.name, most=HIGHEST_PLACE)
        row.append(place)
        row.extend(field.put(getattr(value, field.name)) for field in self.fields)
        for part in self.parts:
            row.extend(_encode_part(part, getattr(value, part.attribute)))
        return tuple(row)

    def decoder(self) -> Callable[..., T]:
        """Return what makes a value of a row; it takes attributes that stand elsewhere by name."""
        at = len(self.outer) + 1
        own = _Stretch(self.fields, at)
        at += len(self.fields)
        parts: list[tuple[Part, _Stretch]] = []
        for part in self.parts:
            at += part.optional
            parts.append((part, _Stretch(part.fields, at, part.attribute_of)))
            at += len(part.fields)

        def decode(row: Sequence[Any], **more: Any) -> T:
            values = own.values(row) | more
            for part, stretch in parts:
                is_there = not part.optional or row[stretch.first - 1]
                values[part.attribute] = build(part.of, stretch.values(row)) if is_there else None
            return build(self.of, values)

        return decode


class _Stretch:
    """Columns that stand side by side in a row, and the attributes they keep."""

    def __init__(
        self,
        fields: Sequence[Field],
        first: int,
        attribute_of: Callable[[Field], str] = attrgetter("name"),
    ) -> None:
        self.first = first
        self._end = first + len(fields)
        self._names = [attribute_of(field) for field in fields]
        self._not_as_they_are = [
            (name, field)
            for name, field in zip(self._names, fields, strict=True)
            if not field.is_kept_as_it_is
        ]

    def values(self, row: Sequence[Any]) -> dict[str, Any]:
        """Return the attributes that the columns of a row keep."""
        found = dict(zip(self._names, row[self.first : self._end], strict=True))
        for name, field in self._not_as_they_are:
            if found[name] is not None:
                found[name] = field.get(found[name])
        return found


def build(of: type[T], values: dict[str, Any]) -> T:
    """Return an `of` with these attributes, `Undecodable` when it refuses them."""
    try:
        return of(**values)
    except (UserFault, ValueError, TypeError) as refused:
        raise Undecodable(f"{of.__name__}: {refused}"[:200]) from refused


def _encode_part(part: Part, value: Any) -> list[Any]:
    if value is None:
        return [0, *[None] * len(part.fields)]
    row = [field.put(getattr(value, part.attribute_of(field))) for field in part.fields]
    return [1, *row] if part.optional else row
