"""What wording needs to know of the household and the day: units, names, days and times."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, time

from tankkeeper.core.estimate import Estimate
from tankkeeper.core.household import Household, ShownUnits
from tankkeeper.core.moment import Moment
from tankkeeper.core.parameters import PARAMETERS, Parameter, ReadingValue
from tankkeeper.core.seawater import salinity_in_unit
from tankkeeper.core.shown_digits import poured_value
from tankkeeper.core.units import HARD_RANGES, Dimension, in_unit
from tankkeeper.core.values import dataclass
from tankkeeper.reports.in_sentences import begins_with, small
from tankkeeper.reports.numbers import (
    LEAST_LEAN,
    NBSP,
    SPOKEN_UNITS,
    decimal_text,
    ends_words,
    open_span_words,
    over_words,
    shown,
    shown_estimate,
    span_words,
    thickness_text,
    with_unit,
)
from tankkeeper.reports.people_names import shown_people

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_NEAR = {-1: "yesterday", 0: "today", 1: "tomorrow"}
NOT_KNOWN = "not known yet"
# Beyond these days a weekday, or a day without its year, would be taken for another one.
WEEKDAY_REACH = 6
SHORT_DATE_REACH = 27
YEAR_REACH = 300
# In another year, a day beyond this is not the nearest one of its name: 365 days are between two.
NEAREST_REACH = 182
# Decimals of values that are worked out; what was typed is shown as it was typed.
_DECIMALS = {"practical": 1, "mS/cm": 1, "dKH": 1, "meq/L": 2, "mg/L CaCO3": 0, "degC": 1}
_SG_DECIMALS = 4
# Digits that no addition of told numbers is off by.
_SUM_DECIMALS = 6


@dataclass(frozen=True, slots=True)
class Words:
    """Units, names, today and the wall clock, for everything that is put into words.

    `gone` are ids and names of the tanks and chores whose adding was taken back.
    """

    household: Household
    moment: Moment
    decimal_sign: str = "."
    gone: tuple[tuple[str, str], ...] = ()

    @property
    def units(self) -> ShownUnits:
        """The units in which numbers are shown."""
        return self.household.units

    @property
    def today(self) -> date:
        """The household's day."""
        return self.moment.day

    def small(self, text: str) -> str:
        """Return what a person wrote with a small first letter, unless it begins with a name.

        That is the name of a tank, an animal or a person of the household.
        """
        household = self.household
        names = [one.name for one in household.tanks] + [one.name for one in household.people]
        names += [one.name for one in household.animals]
        return text if any(begins_with(text, name) for name in names) else small(text)

    # Numbers

    def litres(self, value_l: float) -> str:
        """Return stated or measured litres in the shown unit."""
        return shown(self._volume(value_l), self.units.volume, None, self.decimal_sign)

    def litres_together(self, values_l: Iterable[float]) -> str:
        """Return what litres come to together, so that the parts told beside it give the sum."""
        unit = self.units.volume
        told = [poured_value(self._volume(one), unit) for one in values_l]
        return shown(round(sum(told), _SUM_DECIMALS), unit, None, self.decimal_sign)

    def about_litres(self, estimate_l: Estimate) -> str:
        """Return estimated litres in the shown unit, without the span."""
        return shown_estimate(self._volumes(estimate_l), self.units.volume, self.decimal_sign)

    def litres_with_span(self, estimate_l: Estimate) -> str:
        """Return estimated litres in the shown unit, with the span."""
        return span_words(self._volumes(estimate_l), self.units.volume, self.decimal_sign)

    def litres_left(self, estimate_l: Estimate) -> str:
        """Return estimated litres that run out, by both ends of the span wherever it leans.

        A mean of both sides would tell litres that may be gone already.
        """
        unit, sign = self.units.volume, self.decimal_sign
        return span_words(self._volumes(estimate_l), unit, sign, LEAST_LEAN)

    def litres_from_to(self, estimate_l: Estimate) -> str:
        """Return the span of estimated litres in the shown unit: "1.6 to 2.0 L"."""
        return ends_words(self._volumes(estimate_l), self.units.volume, self.decimal_sign)

    @property
    def volume_name(self) -> str:
        """How the unit of water is called in a sentence, and by the fields: "litres"."""
        return SPOKEN_UNITS[self.units.volume][1]

    def _volume(self, value_l: float) -> float:
        return in_unit(value_l, self.units.volume)

    def _volumes(self, estimate_l: Estimate) -> Estimate:
        return estimate_l.scaled(in_unit(1.0, self.units.volume))

    def grams(self, value_g: float) -> str:
        """Return a mass in grams."""
        return shown(value_g, "g", None, self.decimal_sign)

    def kilograms(self, value_kg: float) -> str:
        """Return a stated weight in the shown unit."""
        unit = self.units.mass
        return shown(in_unit(1000.0 * value_kg, unit), unit, None, self.decimal_sign)

    def millimetres(self, value_mm: float) -> str:
        """Return whole millimetres, or hundredths of an inch: no eye reads a level closer."""
        return thickness_text(value_mm, self.units.thickness, self.decimal_sign)

    def percent(self, share: float) -> str:
        """Return a share of one in percent, two digits at most."""
        per_cent = 100.0 * share
        return shown(per_cent, "%", 0 if per_cent >= 1.0 else 1, self.decimal_sign)

    def salinity(self, practical: float) -> str:
        """Return a salinity in the shown unit."""
        unit = self._salinity_unit(practical)
        return self._stored(practical, Dimension.SALINITY, unit)

    def salinity_with_span(self, practical: Estimate) -> str:
        """Return a salinity in the shown unit, with its span."""
        return span_words(*self._salinities(practical), self.decimal_sign)

    def salinity_with_open_end(self, practical: Estimate) -> str:
        """Return a salinity with a span of which the upper end may be higher still."""
        return open_span_words(*self._salinities(practical), self.decimal_sign)

    def salinity_over(self, practical: Estimate) -> str:
        """Return a salinity of which only is known what it lies above."""
        return over_words(*self._salinities(practical), self.decimal_sign)

    def _salinities(self, practical: Estimate) -> tuple[Estimate, str]:
        unit = self._salinity_unit(practical.high)
        ends = (practical.value, practical.low, practical.high)
        return Estimate(*(salinity_in_unit(one, unit, None) for one in ends)), unit

    def salinity_step(self, practical: float, step: float) -> str:
        """Return by how much a salinity rises in the shown unit when it rises by `step`."""
        unit = self._salinity_unit(practical + step)
        ends = [
            one if unit == "practical" else salinity_in_unit(one, unit, None)
            for one in (practical, practical + step)
        ]
        decimals = _SG_DECIMALS if unit.startswith("sg ") else 1
        return shown(ends[1] - ends[0], unit, decimals, self.decimal_sign)

    def _salinity_unit(self, highest: float) -> str:
        """Return the unit to show; beyond the scale of the instruments only practical is left."""
        within = highest <= HARD_RANGES["salinity"].high
        return self.units.salinity if within else "practical"

    def temperature(self, value_c: float) -> str:
        """Return a temperature in the shown unit."""
        return self._stored(value_c, Dimension.TEMPERATURE, self.units.temperature)

    def parameter(self, name: str, value: float) -> str:
        """Return a value of a parameter, given in its stored unit, in the shown unit."""
        parameter = PARAMETERS[name]
        return self._stored(value, parameter.dimension, self.unit_of(parameter, value))

    def reading(self, one: ReadingValue) -> str:
        """Return a reading as it was measured; one of another unit in that of the household."""
        if one.unit == self.unit_of(PARAMETERS[one.parameter], one.value):
            return self.typed(one.typed, one.unit)
        return self.parameter(one.parameter, one.value)

    def unit_of(self, parameter: Parameter, value: float = 0.0) -> str:
        """Return the unit in which the household sees a parameter."""
        if parameter.dimension is Dimension.SALINITY:
            return self._salinity_unit(value)
        chosen = {
            Dimension.TEMPERATURE: self.units.temperature,
            Dimension.ALKALINITY: self.units.alkalinity,
        }
        return chosen.get(parameter.dimension, parameter.stored_unit)

    def _stored(self, value: float, dimension: Dimension, unit: str) -> str:
        if dimension is Dimension.SALINITY:
            number = salinity_in_unit(value, unit, None) if unit != "practical" else value
        else:
            number = in_unit(value, unit)
        decimals = _DECIMALS.get(unit)
        if unit.startswith("sg "):
            decimals = _SG_DECIMALS
        elif unit == "degF":
            decimals = _DECIMALS["degC"]
        return shown(number, unit, decimals, self.decimal_sign)

    def typed(self, value: float, unit: str) -> str:
        """Return a number as it was typed, in the unit it was typed in."""
        text = f"{value:.10g}"
        if "e" in text:
            text = decimal_text(value, 4)
        return with_unit(text.replace(".", self.decimal_sign), unit)

    # Days and times

    @property
    def is_past_midnight(self) -> bool:
        """Whether the calendar has another date by now than the household's day, which runs on.

        A word that counts from today would then be taken for the day before or after the one that
        it means: the day has its name instead. "Today" stays the day of the round.
        """
        return self.moment.local.date() != self.moment.day

    def day(self, day: date) -> str:
        """Return a day: "today", "Tuesday" of the week to come, "24 February" beyond.

        One gone by has its number, "Tue 24": alone, the name would be taken for the next one.
        """
        away = (day - self.today).days
        near = _NEAR.get(away)
        if near is not None and (away == 0 or not self.is_past_midnight):
            return near
        if -WEEKDAY_REACH <= away < 0:
            return self.weekday_and_number(day)
        return WEEKDAYS[day.weekday()] if 0 < away <= WEEKDAY_REACH else self.full_date(day)

    def on_day(self, day: date) -> str:
        """Return a day as an adverb: "today", "on Tuesday", "on 24 February"."""
        return self.day(day) if self.is_near(day) else f"on {self.day(day)}"

    def is_near(self, day: date) -> bool:
        """Tell whether a day is called "today" or by its neighbour, which are adverbs, too."""
        return self.day(day) in _NEAR.values()

    def dated(self, day: date) -> str:
        """Return what tells that something belongs to another day: ", on Tuesday 24 November".

        Empty for today, of which nobody has to be told.
        """
        if day == self.today:
            return ""
        return f", on {WEEKDAYS[day.weekday()]} {self.full_date(day)}"

    def full_date(self, day: date) -> str:
        """Return "24 February", with the year where it may be taken for another."""
        text = f"{day.day}{NBSP}{MONTHS[day.month - 1]}"
        return f"{text} {day.year}" if self.needs_year(day) else text

    def needs_year(self, day: date) -> bool:
        """Tell whether a day without its year would be taken for another one.

        It is most of a year away, or in another year and further than the day of that name before
        or after it: in November "3 June" alone is that of this year.
        """
        away = abs((day - self.today).days)
        return away >= YEAR_REACH or (day.year != self.today.year and away > NEAREST_REACH)

    def named_date(self, day: date) -> str:
        """Return "Friday 13" within a week, with the month of another one, "24 February" beyond."""
        if abs((day - self.today).days) > WEEKDAY_REACH:
            return self.full_date(day)
        number = str(day.day) if day.month == self.today.month else self.full_date(day)
        return f"{WEEKDAYS[day.weekday()]}{NBSP}{number}"

    def short_date(self, day: date) -> str:
        """Return "24 Feb", with the year where it may be taken for another."""
        text = f"{day.day}{NBSP}{MONTHS[day.month - 1][:3]}"
        return f"{text} {day.year}" if self.needs_year(day) else text

    def short_day(self, day: date) -> str:
        """Return "Wed 25 Nov" of this year's days, "25 Nov 2024" where it needs its year."""
        short = self.short_date(day)
        return short if self.needs_year(day) else f"{WEEKDAYS[day.weekday()][:3]}{NBSP}{short}"

    def weekday_and_number(self, day: date) -> str:
        """Return "Sat 14" in this month, "Wed 1 Apr" within four weeks, "14 April" beyond."""
        if abs((day - self.today).days) > SHORT_DATE_REACH:
            return self.full_date(day)
        text = f"{WEEKDAYS[day.weekday()][:3]}{NBSP}{day.day}"
        is_here = day.month == self.today.month
        return text if is_here else f"{text}{NBSP}{MONTHS[day.month - 1][:3]}"

    def short_weekday(self, day: date) -> str:
        """Return "Sat" within a week, "24 Feb" beyond."""
        if abs((day - self.today).days) > WEEKDAY_REACH:
            return self.short_date(day)
        return WEEKDAYS[day.weekday()][:3]

    def day_and_clock(self, at: datetime) -> str:
        """Return date and wall time of a moment in the least room: "Fri 22:10", "24 Feb 22:10".

        One gone by since longer than yesterday has its number, "Sat 28 22:10": alone, the name
        would be taken for the next one.
        """
        on = at.astimezone(self.moment.zone).date()
        is_unclear = 1 < (self.today - on).days <= WEEKDAY_REACH
        day = self.weekday_and_number(on) if is_unclear else self.short_weekday(on)
        return f"{day}{NBSP}{self.clock(at)}"

    def clock(self, at: datetime) -> str:
        """Return the wall time of a moment, in 24 hours."""
        return f"{at.astimezone(self.moment.zone):%H:%M}"

    def night_to(self, at: datetime) -> date | None:
        """Return the date of a moment that lies after midnight, before the day of before ended.

        None for any other: only there the date is not the household's day.
        """
        on = at.astimezone(self.moment.zone).date()
        return on if on > self.moment.day_of(at) else None

    def day_at(self, at: datetime, *, is_noun: bool = False) -> str:
        """Return the day of a moment: "Monday", "last night", "in the night to Fri 27".

        An hour after midnight is never named by the household's day, which began the morning
        before. `is_noun` gives what stands after "since" and "by": "the night to Fri 27".
        """
        on, day = self.night_to(at), self.moment.day_of(at)
        if on is None:
            # Beside an hour, "today" is the calendar's.
            is_before = day == self.today and self.is_past_midnight
            return self.weekday_and_number(day) if is_before else self.day(day)
        if day == self.today:
            return "tonight"
        if (self.today - day).days == 1 and not self.is_past_midnight:
            return "last night"
        night = f"the night to {self.weekday_and_number(on)}"
        return night if is_noun else f"in {night}"

    def on_day_at(self, at: datetime) -> str:
        """Return the day of a moment as an adverb: "today", "on Tuesday", "last night"."""
        name = self.day_at(at)
        return name if name in _NEAR.values() or self.night_to(at) else f"on {name}"

    def at(self, at: datetime, *, is_noun: bool = False) -> str:
        """Return day and wall time of a moment: "Monday at 11:10", "last night at 01:35"."""
        return f"{self.day_at(at, is_noun=is_noun)} at {self.clock(at)}"

    # Names

    def person(self, person_id: str | None) -> str | None:
        """Return how a person is shown; the id itself where nobody has it any more."""
        if person_id is None:
            return None
        name = self.household.person_name(person_id)
        return shown_people(self.household).get(person_id) if name == "" else name or person_id

    def tank_name(self, tank_id: str | None) -> str | None:
        """Return the name of a tank, also of one whose adding was taken back; else the id."""
        if tank_id is None:
            return None
        here = (one.name for one in self.household.tanks if one.id == tank_id)
        return next(here, dict(self.gone).get(tank_id, tank_id))

    def chore_name(self, chore_id: str) -> str:
        """Return the name of a chore, also of one whose adding was taken back; else the id."""
        here = (one.name for one in self.household.chores if one.id == chore_id)
        return next(here, dict(self.gone).get(chore_id, chore_id))


def wall_time(at: time) -> str:
    """Return a time of day in 24 hours."""
    return f"{at:%H:%M}"
