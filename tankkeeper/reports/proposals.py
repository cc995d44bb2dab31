"""Why a chore is proposed, in one sentence."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tankkeeper.core.catalogue import USUAL_SALINITY, Proposal
from tankkeeper.core.catalogue_row import Anchor, Gear
from tankkeeper.core.chores import AfterLastDone, AmountUnit, ChoreKind
from tankkeeper.core.household import Stage
from tankkeeper.reports.amount_words import set_amount
from tankkeeper.reports.lasting_words import whole_days
from tankkeeper.reports.numbers import NBSP
from tankkeeper.reports.rhythms import interval_words, rhythm_words
from tankkeeper.reports.words import Words

_WHY: Mapping[str, str] = MappingProxyType(
    {
        "look-over": "most trouble shows first as something that looks different",
        "feed": "small amounts that are eaten at once keep the water clean",
        "test-salinity": "what evaporates and what is topped off drift apart",
        "water-change": "nitrate goes, minerals come back",
        "glass": "film grows within days under strong light",
        "floss": "caught food rots after about three days",
        "test-nitrate": "weekly until the readings show where it goes",
        "test-phosphate": "corals and algae both follow it",
        "test-alkalinity": "corals use it up, and its swings harm them most",
        "test-calcium": "stony corals build their skeletons of it",
        "test-magnesium": "it keeps alkalinity and calcium in balance",
        "test-heater": "a heater that sticks is the quickest way to lose a tank",
        "cables": "salt creeps along cables until it conducts",
        "rcd": "it can only save somebody if it still trips",
        "powerhead": "scale slows a pump until it stops",
        "calibrate-salinity": "instruments drift, and the tank would drift with them",
        "siphon-sand": "waste gathers between the grains",
        "feed-frozen": "a richer diet three times a week",
        "algae-sheet": "grazers need greens every other day",
        "coral-food": "corals take small food when the pumps rest",
        "top-off-sensor": "a sensor that sticks floods or overdoses",
        "glass-corners": "coralline hardens where the magnet does not reach",
        "glass-outside": "salt spots etch the glass in time",
        "sock": "a full sock overflows and rots",
        "sponge": "a clogged sponge slows the flow",
        "carbon": "it is full after about four weeks",
        "phosphate-media": "it is full after about a month",
        "skimmer-cup": "a full cup runs back into the tank",
        "skimmer-neck": "a greasy neck stops the foam",
        "skimmer-soak": "scale slows the pump and the foam with it",
        "blow-off": "waste that is stirred up is caught by the floss",
        "siphon-sump": "waste settles where the water is slow",
        "calibrate-ph": "electrodes age within weeks",
        "test-ph": "it tells of too little air in the room",
        "dose": "corals take up minerals every day",
        "dosing-pump": "its tubes wear, and the dose with them",
        "limewater": "it ages once it is mixed",
        "return-pump": "scale slows a pump until it stops",
        "lights": "dust and salt take light away",
        "mesh": "fish find every gap",
        "overflow": "a snail in the drain is enough for a flood",
        "pump-stop": "after a power cut the sump must hold what runs back",
        "tds": "it shows in time that the filters are spent",
        "ro-filters": "spent filters let chlorine through to the membrane",
        "membrane": "it lets more through each year",
        "disinfect": "diseases travel on nets",
        "separate-tools": "diseases travel on shared tools",
        "air-pump": "in a power cut air is what is missing first",
        "power-cut": "better to learn by day what stops and what starts again",
        "resin": "spent resin lets silicate and nitrate through",
        "make-fresh-water": "what is mixed or topped off has to be there first",
        "mix-salt-water": "new water needs a day of stirring before it is used",
        "match-water": "a jump of a degree or of salinity harms more than a late change",
        "buckets": "dried salt and dust would go into the next water",
        "quarantine-end": "four weeks without a symptom, and the newcomers may move",
        "quarantine-daily": "a small tank turns within a day",
        "prune": "corals grow into each other",
        "stock-list": "a missing animal is noticed while it can be found",
        "reorder": "nothing runs out on a Sunday",
    }
)
_A_PIECE = MappingProxyType(
    {
        Gear.SAND: "no sand was named",
        Gear.FLOSS: "no filter floss was named",
        Gear.CARBON: "no carbon was named",
        Gear.PHOSPHATE_MEDIA: "no phosphate media were named",
        Gear.LIMEWATER: "no limewater was named",
        Gear.RESERVOIR: "no automatic top-off was named",
        Gear.QUARANTINE: "this is no quarantine tank",
    }
)
_CYCLING_TEST = "the first weeks are told by these two, every other day"
_RUNNING_TEST = "both should stay at nothing; a rise tells of a death or of too much food"


def proposal_reason(proposal: Proposal, words: Words) -> str:
    """Return why the chore is proposed, or why it is off."""
    if proposal.missing is not Gear.NONE and not proposal.is_on:
        gear = proposal.missing
        return f"off, because {_A_PIECE.get(gear, f'no {gear.value} was named')}"
    row = proposal.row
    if row.anchor is Anchor.EVAPORATION:
        return _evaporation(proposal, words)
    share = _share(proposal, words)
    if share:
        return f"{share} of the water: {_WHY[row.key]}"
    if row.anchor is Anchor.STAGE:
        return _CYCLING_TEST if proposal.stage is Stage.CYCLING else _RUNNING_TEST
    return _WHY[row.key]


def _share(proposal: Proposal, words: Words) -> str:
    """Return which share of the water is changed, empty where none is or it is not known."""
    amount, net = proposal.chore.amount, proposal.expected.net_l
    if amount is None or proposal.chore.kind is not ChoreKind.WATER_CHANGE:
        return ""
    if amount.unit is AmountUnit.PERCENT:
        return words.percent(amount.value / 100.0)
    if amount.unit is not AmountUnit.LITRES or net is None or net.value <= 0.0:
        return ""
    return words.percent(amount.value / net.value)


def _evaporation(proposal: Proposal, words: Words) -> str:
    loss, rise = proposal.expected.loss_l_per_day, proposal.expected.salinity_per_day
    if loss is None:
        return "how much evaporates shows once the measures are known"
    text = f"about {words.about_litres(loss)} a day will evaporate"
    if rise is None or proposal.row.key == "reservoir":
        return text
    return f"{text}; salinity climbs {words.salinity_step(USUAL_SALINITY, rise)} a day"


def proposal_rhythm(proposal: Proposal, words: Words) -> str:
    """Return the rhythm in a few words, with what the chore takes."""
    chore = proposal.chore
    if proposal.row.anchor is Anchor.EVAPORATION:
        return _by_water(proposal)
    if isinstance(chore.rhythm, AfterLastDone):
        days = chore.rhythm.interval.fixed_days
        text = "every day" if days == 1 else f"every {interval_words(chore.rhythm.interval)}"
    else:
        text = rhythm_words(chore)
    amount = chore.amount
    return text if amount is None else f"{text}, {set_amount(amount, words)}"


def _by_water(proposal: Proposal) -> str:
    """Return that the water decides, with the span of days that is expected between two turns."""
    days, most = proposal.expected.top_off_days, proposal.row.days or 7
    if days is None:
        return "by evaporation"
    low, high = (max(1, min(most, end)) for end in whole_days(days))
    if low == high:
        often = "day" if low == 1 else f"{low}{NBSP}days"
        return f"by evaporation, about every {often}"
    # A span says itself that it is about so, and leaves room for the name beside it.
    return f"by evaporation, every {low} to {high}{NBSP}days"


def window_words(proposal: Proposal) -> str:
    """Return window and minutes: "1 day early, 3 late, 5 min"."""
    chore = proposal.chore
    parts = []
    if chore.early_days:
        parts.append(f"{chore.early_days} early")
    if chore.late_days:
        parts.append(f"{chore.late_days} late")
    window = f"{' or '.join(parts)} is fine" if parts else "on its day"
    return f"{chore.minutes}{NBSP}min, {window}"
