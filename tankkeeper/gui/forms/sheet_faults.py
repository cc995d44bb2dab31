"""What cannot be kept of a sheet as it stands, told at the fields that it is about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tankkeeper.core.errors import TankkeeperError, UserFault
from tankkeeper.gui.forms.spec_field import SpecField
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.words import Words


class SheetFaults:
    """Finds the field of a refusal; `fields` are those of the sheet by their paths.

    Fields that are not asked of the thing tell nothing.
    """

    def __init__(self, fields: Mapping[str, SpecField]) -> None:
        self._fields = fields
        # What does not fit the others, and its sentence.
        self._told_at: tuple[SpecField | None, str] = (None, "")

    @property
    def _asked(self) -> list[SpecField]:
        return [one for one in self._fields.values() if not one.isHidden()]

    @property
    def unfit(self) -> int:
        """How many fields cannot be kept as they stand, told by now or not."""
        return sum(one.is_unread or bool(one.fault) for one in self._asked)

    def unsound(self) -> list[SpecField]:
        """Return the fields that cannot be read; all of them tell why."""
        return [one for one in self._asked if not one.is_sound]

    def tell_at(self, fault: UserFault | None) -> None:
        """Tell at its field what does not fit the others, and let the keys act where they do.

        It goes once it fits, wherever that was mended.
        """
        field, sentence = self._told_at
        if fault is None and field is not None and field.typed is not None:
            if field.typed.fault == sentence:
                field.typed.show_fault("")
            self._told_at = (None, "")
        found = None if fault is None else self._at_place(str(fault.values.get("field", "")))
        if found is not None and found.typed is not None and fault is not None:
            self._told_at = (found, found.words_for(fault))
            found.typed.show_fault(self._told_at[1], stays=True)

    def refuse_at(
        self, fault: TankkeeperError, unsound: Sequence[SpecField] = ()
    ) -> tuple[int, list[TankkeeperError]]:
        """Tell each refusal at the field it is about, in its words, and go to the first of them.

        Returns how many fields tell one, and the refusals that are about none of them. Fields that
        are `unsound` tell theirs already.
        """
        faults = [fault, *(fault.also if isinstance(fault, UserFault) else ())]
        told = {one.spec.path: one for one in unsound}
        apart: list[TankkeeperError] = []
        for one in faults:
            found = self._about(one)
            if found is None:
                apart.append(one)
            elif found.spec.path not in told:
                told[found.spec.path] = found
                found.tell(found.words_for(one))
        first = next((one for path, one in self._fields.items() if path in told), None)
        if first is not None:
            first.go_to()
            first.announce_fault()
        return len(told), apart

    def words_for(self, fault: TankkeeperError, words: Words) -> str:
        """Return the sentence of a fault, in the words of the field it is about if there is one."""
        found = self._about(fault)
        if found is not None and found.is_unread and found.typed is not None:
            # It is not missing: what stands there gives no value.
            return found.typed.reading_fault
        return fault_words(fault, words) if found is None else found.words_for(fault)

    def _about(self, fault: TankkeeperError) -> SpecField | None:
        field, place = (str(fault.values.get(name, "")) for name in ("field", "place"))
        return self._at_place(place) or self._at_place(field)

    def _at_place(self, place: str) -> SpecField | None:
        """Return the field for a place such as "animals[1].lost.count", or for one around it.

        What stands within a field that is shown as one, such as the litres of an amount, is told
        there.
        """
        asked, steps = self._asked, place.split(".")
        # The first step of a longer place names the thing itself.
        for end in range(len(steps), 1 if len(steps) > 1 else 0, -1):
            around = "." + ".".join(steps[:end])
            fitting = [
                (len(key), one)
                for one in asked
                for key in (one.spec.path, one.spec.path.rpartition(".")[2], *one.spec.keys)
                if around.endswith(f".{key}")
            ]
            if fitting:
                return max(fitting, key=lambda each: each[0])[1]
        return None
