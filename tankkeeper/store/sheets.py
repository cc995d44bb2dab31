"""A sheet is one table of definitions: its columns, and the two ways between rows and values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Generic, TypeVar

from sqlalchemy import Column, MetaData, Table

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

    def table(self, metadata: MetaData) -> Table:
        """Return the strict table of this sheet."""
        columns: list[Column[Any]] = [field.column() for field in self.columns]
        return Table(self.name, metadata, *columns, sqlite_strict=True)

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

    def decode(self, row: Sequence[Any], **more: Any) -> T:
        """Return the value kept by `row`; `more` are attributes that stand elsewhere."""
        at = len(self.outer) + 1
        values = dict(more)
        for field, stored in zip(self.fields, row[at:], strict=False):
            values[field.name] = field.get(stored)
        at += len(self.fields)
        for part in self.parts:
            values[part.attribute], at = _decode_part(part, row, at)
        return build(self.of, values)


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


def _decode_part(part: Part, row: Sequence[Any], at: int) -> tuple[Any, int]:
    if part.optional:
        at += 1
        if not row[at - 1]:
            return None, at + len(part.fields)
    values = {
        part.attribute_of(field): field.get(stored)
        for field, stored in zip(part.fields, row[at:], strict=False)
    }
    return build(part.of, values), at + len(part.fields)
