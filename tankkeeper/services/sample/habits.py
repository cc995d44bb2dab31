"""What the invented keepers do: how each chore stands today, and what happened along the way."""

from __future__ import annotations

from datetime import time

from tankkeeper.core.values import dataclass

DAYS_OF_LOG = 120
# Nobody was at home on these days, counted back from today.
AWAY = frozenset({46, 47, 48})


@dataclass(frozen=True, slots=True)
class Habit:
    """How a chore stands on the opening day.

    `aim` is the target day of the open turn, counted from today, for a chore that is counted or
    that the water decides; None where it was never done. `behind` is for how many days a calendar
    chore was left alone. `last` counts the days back on which it was done for the last time.
    """

    aim: int | None = None
    behind: int = 0
    last: int = 0


# Overdue: a target so far back that the window is over. Due: target today, or latest day today.
HABITS: dict[str, Habit] = {
    "bay.fill-the-reservoir": Habit(aim=1),
    "bay.change-water": Habit(aim=-5),
    "bay.clean-the-front-glass": Habit(aim=0),
    "bay.scrape-corners": Habit(aim=9),
    "bay.swap-filter-floss": Habit(aim=1),
    "bay.empty-the-skimmer-cup": Habit(aim=2),
    "bay.test-alkalinity": Habit(aim=0),
    "bay.test-nitrate-and-phosphate": Habit(aim=1),
    "bay.test-calcium-and-magnesium": Habit(aim=8),
    "bay.test-salinity-temperature-and-ph": Habit(aim=5),
    "bay.replace-carbon": Habit(aim=13),
    "bay.clean-the-top-off-sensor": Habit(aim=16),
    "bay.descale-the-return-pump": Habit(),
    "pebble.top-off": Habit(aim=-1),
    "pebble.clean-the-glass": Habit(aim=0),
    "pebble.test-nitrate": Habit(aim=4),
    "pebble.test-salinity": Habit(aim=3),
    "pebble.rinse-the-sponge": Habit(aim=8),
    "ledge.top-off": Habit(aim=0),
    "ledge.hang-an-algae-sheet": Habit(aim=1),
    "ledge.change-water": Habit(aim=6),
    "ledge.wipe-the-outside": Habit(behind=20),
    "ledge.siphon-the-sand": Habit(aim=0),
    "ledge.test-nitrate-and-salinity": Habit(aim=7),
    "ledge.check-cables-and-drip-loops": Habit(aim=5),
    "sprout.top-off": Habit(aim=2),
    "sprout.test-ammonia-and-nitrite": Habit(aim=0),
    "sprout.test-nitrate-and-salinity": Habit(aim=3),
    "sprout.first-change-before-stocking": Habit(),
    "ward.top-off": Habit(aim=0, last=31),
    "ward.feed": Habit(last=31),
    "ward.test-ammonia": Habit(aim=0, last=31),
    "ward.change-water": Habit(aim=0, last=33),
    "house.make-fresh-water": Habit(aim=4),
    "house.mix-salt-water": Habit(aim=0),
    "house.replace-the-ro-di-prefilter": Habit(),
    "house.calibrate-the-refractometer": Habit(aim=17),
    "house.test-the-battery-air-pump": Habit(aim=18),
    "house.wash-nets-and-buckets": Habit(aim=11),
}
USUAL = Habit()


@dataclass(frozen=True, slots=True)
class Morning:
    """Something done, or skipped for a reason, before the round of the opening day."""

    at: time
    slot: time | None = None
    skipped_because: str = ""


MORNING: dict[str, Morning] = {
    "pebble.feed": Morning(time(6, 20)),
    "bay.feed": Morning(time(6, 38), slot=time(7, 0)),
    "ledge.siphon-the-sand": Morning(time(6, 44), skipped_because="the blenny is hiding there"),
}

# Chores in whose log something went wrong once, and which of the last times it was.
TICKED_BY_MISTAKE = {"bay.empty-the-skimmer-cup": 4, "house.calibrate-the-refractometer": 2}
TYPED_WRONG = {"pebble.top-off": 9}
# A new tank is watched closely: every litre is measured and written down.
ALWAYS_MEASURED = frozenset({"sprout.top-off"})
WHY_SKIPPED = ("still clean", "no time today", "guests in the house", "will do it with the change")


@dataclass(frozen=True, slots=True)
class Remark:
    """A note in the logbook, so many days ago."""

    days_ago: int
    at: time
    by: str
    text: str
    tank: str | None = None


REMARKS = (
    Remark(113, time(19, 5), "Marta", "Two new frags on the left, dipped and checked.", "bay"),
    Remark(96, time(18, 40), "Paul", "Moved the flow pump a hand's width to the right.", "ledge"),
    Remark(78, time(17, 20), "Paul", "Set up for the new blenny. Sponge from the sump.", "ward"),
    Remark(72, time(20, 10), "Marta", "One damselfish not seen since the weekend.", "ledge"),
    Remark(45, time(18, 15), "Paul", "Back from three days away. Nobody was fed, all well.", None),
    Remark(31, time(11, 30), "Paul", "Blenny moved to Ledge after six weeks, eating.", "ward"),
    Remark(22, time(16, 45), "Emma", "Filled, rock and sand in. A pinch of food a day.", "sprout"),
    Remark(16, time(19, 0), "Emma", "Water a little cloudy.", "sprout"),
    Remark(9, time(20, 25), "Marta", "Polyps out well, more than last month.", "bay"),
    Remark(4, time(18, 50), "Emma", "Brown film on the sand, as expected.", "sprout"),
)


@dataclass(frozen=True, slots=True)
class Purchase:
    """A supply bought, or counted again, so many days ago; amounts in the supply's unit."""

    days_ago: int
    at: time
    by: str
    supply: str
    add: float | None = None
    count: float | None = None
    good_for_days: int | None = None


PURCHASES = (
    Purchase(104, time(15, 40), "Paul", "salt-mix", add=20_000),
    Purchase(88, time(15, 10), "Marta", "alkalinity-tests", add=50, good_for_days=360),
    Purchase(33, time(16, 5), "Paul", "salt-mix", add=20_000),
    Purchase(26, time(12, 15), "Marta", "filter-floss", add=20),
    Purchase(13, time(17, 45), "Marta", "frozen-food", count=9),
    Purchase(6, time(16, 30), "Marta", "pellets", add=250, good_for_days=300),
)

PAUSED_TANK = "ward"
PAUSED_DAYS_AGO = 30
PAUSED_AT = time(10, 12)
PAUSED_BY = "Paul"
PAUSED_BECAUSE = "No animal in it. Lid on, pump running, sponge back in the sump of Bay."
