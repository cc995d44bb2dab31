"""One reading of the household, with all that the window shows of it; made in the worker."""

from __future__ import annotations

from datetime import datetime

from tankkeeper.core.state import HouseholdState
from tankkeeper.core.values import dataclass
from tankkeeper.gui.models.round_rows import RoundSheet, sheet_of
from tankkeeper.gui.models.tank_cards import cards_of
from tankkeeper.gui.widgets.rail import TankCard
from tankkeeper.reports.words import Words
from tankkeeper.services.desk import Desk
from tankkeeper.services.logbook import names_gone
from tankkeeper.services.round import next_change_at, round_of


@dataclass(frozen=True, slots=True)
class Shown:
    """What one reading of the household gives the window."""

    sheet: RoundSheet
    cards: tuple[TankCard, ...]
    state: HouseholdState
    where: str
    is_read_only: bool
    last_backup_at: datetime | None
    change_mark: int
    changes_at: datetime
    beside: object = None


def read_household(
    desk: Desk, tank_id: str | None, decimal_sign: str, who: str | None = None
) -> Shown:
    """Return the household as it stands now, the round narrowed to one tank if one is chosen.

    `who` is the person at the window, by whom water is carried.
    """
    state = desk.state()
    tank = next((one for one in state.household.tanks if one.id == tank_id), None)
    view = round_of(state, tank)
    words = Words(state.household, state.moment, decimal_sign, names_gone(desk))
    store = desk.store
    return Shown(
        sheet=sheet_of(view, words, tank.id if tank is not None else None, who),
        cards=cards_of(view, words),
        state=state,
        where=store.where,
        is_read_only=store.is_read_only,
        last_backup_at=store.last_backup_at(),
        change_mark=store.change_mark(),
        changes_at=next_change_at(state),
    )
