"""What the pages for setting down say: what is known by what is typed, and what follows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tankkeeper.core.chores import Chore
from tankkeeper.core.early_days import early_days
from tankkeeper.core.errors import UserFault
from tankkeeper.core.household import DRY_STAGES, Household, Stage, Tank
from tankkeeper.core.tank_learning import is_learned
from tankkeeper.core.tank_water import TankWater
from tankkeeper.core.volume import Shape, ShapeKind, is_glass_guessed
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.faults import fault_words
from tankkeeper.reports.loss_words import NO_LOSS, alone_words, glass_span, system_litres
from tankkeeper.reports.numbers import NBSP, counted, listed
from tankkeeper.reports.words import NOT_KNOWN, WEEKDAYS, Words
from tankkeeper.services.resizing import Misfits
from tankkeeper.services.settling_preview import StageOutlook

_NEEDED = {
    ShapeKind.BOX: (("length_cm", "the length"), ("width_cm", "the width")),
    ShapeKind.CYLINDER: (("diameter_cm", "the diameter"),),
    ShapeKind.BOW_FRONT: (
        ("length_cm", "the length"),
        ("width_cm", "the width at the side"),
        ("bow_cm", "the depth of the bow"),
    ),
    ShapeKind.POLYGON: (("sides", "the number of sides"), ("edge_cm", "the length of an edge")),
    ShapeKind.OTHER: (("litres", "the volume"),),
}


def litres_line(water: TankWater | UserFault, words: Words) -> str:
    """Return the water of a system in words, or what would make it known."""
    if isinstance(water, UserFault):
        return fault_words(water, words)
    if water.net is not None:
        guessed = "" if water.tank.stage in DRY_STAGES else _of_guessed_glass(water, words)
        return f"{system_litres(water.tank, water.net, words)}{guessed}"
    return f"{NOT_KNOWN}: {_missing(water.tank.shape)} would tell"


def _of_guessed_glass(water: TankWater, words: Words) -> str:
    """Return what would make the litres known more closely where the glass was guessed."""
    if not is_glass_guessed(water.tank.shape):
        return ""
    return f", with glass of {glass_span(words)}; its thickness would tell more closely"


def _missing(shape: Shape) -> str:
    missing = [name for key, name in _NEEDED[shape.kind] if getattr(shape, key) is None]
    is_deep = shape.water_depth_cm is not None or shape.height_cm is not None
    if shape.kind is not ShapeKind.OTHER and not is_deep:
        missing.append("the water depth")
    return listed(missing) if missing else "more of its sizes"


def loss_line(water: TankWater | UserFault, words: Words) -> str:
    """Return the loss of fresh water a day in words, or what would make it known."""
    if isinstance(water, UserFault):
        return NOT_KNOWN
    if water.tank.stage in DRY_STAGES:
        return NO_LOSS
    if water.loss is None:
        fills = water.learned.log.fills
        # The first one only begins the count.
        more = "" if len(fills) > 1 else ", or two top-offs to the mark,"
        return f"{NOT_KNOWN}: the sizes of the tank{more} would tell"
    span = words.litres_with_span(water.loss)
    if is_learned(water.learned):
        return f"{span}, as the log tells"
    alone = alone_words(water.learned)
    return f"{span}, expected from {alone}" if alone else span


def early_line(chore: Chore) -> str:
    """Return how many of the days before count where its turns stand closer, else nothing."""
    counts = early_days(chore)
    if counts == chore.early_days:
        return ""
    if not counts:
        return (
            "It may be done on its day, not before: a day earlier it would count for the turn "
            "before."
        )
    days = counted(counts, "day", "days")
    return f"It may be done {days} before: earlier it would count for the turn before."


def next_line(
    rhythm: str, days: Sequence[date], words: Words, open_since: date | None = None
) -> str:
    """Return a rhythm with the day of its open turn, and the next days on which it comes."""
    if open_since is not None:
        is_today = open_since == words.today
        told = "Open today" if is_today else f"Open since {_weekday_and_date(open_since, words)}"
        rhythm = f"{rhythm}. {told}"
        if not days:
            return f"{rhythm}. No later day is foreseen."
    if not days:
        return f"{rhythm}. No day can be foreseen yet."
    return f"{rhythm}. Next: {listed([_weekday_and_date(day, words) for day in days])}."


def _weekday_and_date(day: date, words: Words) -> str:
    # Weeks ahead a bare number may be of any month.
    return f"{WEEKDAYS[day.weekday()][:3]}{NBSP}{words.short_date(day)}"


def stage_sentence(tank: Tank, stage: Stage, outlook: StageOutlook, words: Words) -> str:
    """Return what follows when a tank enters a stage."""
    chores = counted(outlook.chores, "chore", "chores")
    if stage is tank.stage:
        if tank.since is None:
            return f"It is {stage.value}; since when is not said (F2)."
        return f"It has been {stage.value} since {words.full_date(tank.since)}."
    if not outlook.rests:
        fits = counted(outlook.fitting, "chore", "chores")
        more = f" {fits} of the catalogue would fit it besides (F3)." if outlook.fitting else ""
        if outlook.rested:
            return f"Its {chores} are due again from today on, by their rhythms.{more}"
        return f"Nothing changes in what is due; from today on it counts as its stage.{more}"
    if not outlook.chores:
        return "Nothing is due there, and nothing will be."
    open_now = counted(outlook.open_now, "turn leaves", "turns leave")
    gone = f" {open_now} the round." if outlook.open_now else ""
    stays = " It stays in the rail as an outline, and all that was written of it in the logbook."
    ends = stays if stage is Stage.RETIRED else ""
    until = "for good" if stage is Stage.RETIRED else "until it is running again"
    return f"Its {chores} rest {until}.{gone}{ends}"


def misfit_line(found: Misfits, household: Household, key: str, words: Words) -> str:
    """Return which chores do not fit a tank as it is typed, and what the key makes of them."""
    told, deeds = [], []
    present = {one.id: one for one in household.chores}
    if found.scaled:
        amounts = []
        for one in found.scaled:
            was = present[one.id].amount
            if was is not None and one.amount is not None:
                was_words, is_words = set_amount(was, words), set_amount(one.amount, words)
                amounts.append(f"{one.name} ({was_words}; the same share is {is_words})")
        told.append(f"Amounts for another volume: {listed(amounts)}.")
        deeds.append("scales them")
    if found.ended:
        names = listed([one.name for one in found.ended])
        told.append(f"No reservoir for: {names}.")
        deeds.append(f"ends {'it' if len(found.ended) == 1 else 'them'}")
    if not told:
        return ""
    if len(deeds) > 1:
        deeds = ["scales the amounts", "ends what has no reservoir"]
    return f"{' '.join(told)} {key} {listed(deeds)}."
