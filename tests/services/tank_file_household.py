"""An invented household as the text of a tank file, with every table and every form of entry."""

from datetime import UTC, date, datetime

NOW = datetime(2026, 3, 2, 6, 0, tzinfo=UTC)
TODAY = date(2026, 3, 2)

WHOLE = """\
format = "tankkeeper"
version = 1

[household]
name = "Quay House"
zone = "Europe/Lisbon"
day_begins = 05:00:00
round_at = 18:30:00
first_weekday = "sunday"
currency = "EUR"
[household.units]
volume = "US gal"
temperature = "degF"
salinity = "sg 25/25"
alkalinity = "meq/L"

[[people]]
name = "Mira"
minutes = { mon = 10, tue = 15, wed = 0, thu = 20, fri = 5, sat = 90, sun = 45 }
lifts_kg = 12.5
not_for = ["service", "dose"]

[[people]]
name = "Tomás"

[[rooms]]
name = "hall"
air_speed_m_s = 0.1
climate = [
  { month = 2, temperature_c = 17.5, humidity = 0.61 },
  { month = 8, temperature_c = 26, humidity = 0.48 },
]

[[containers]]
name = "blue jug"
litres = 18
count = 3
tare_kg = 0.75
for = "fresh"

[water_supply]
source = "bought"
litres_per_day_rated = 150
feed_water_c = 14
waste_per_litre = 2.5
price_per_litre = 0.03
store_litres = 50

[salt_mix]
grams_per_litre = 37.9
mixing_hours = 12
price_per_kg = 8.25
store_litres = 40

[[tanks]]
name = "Lagoon"
room = "hall"
walk_order = 2
community = "soft coral"
stage = "cycling"
since = 2025-01-10
target_salinity = 34.5
target_temperature_c = 25
jumpers = false
[tanks.shape]
kind = "bow front"
measured = "outside"
length_cm = 100
width_cm = 45
height_cm = 50
water_depth_cm = 44
glass_mm = 10
base_mm = 12
bow_cm = 12
[tanks.displaced]
rock_dry_kg = 22
sand_depth_cm = 2.5
equipment_l = 1.5
[tanks.sump]
litres = 40
last_chamber_cm2 = 600
in_cabinet = true
pipes_l = 2
free_l = 18
[tanks.cover]
kind = "lid"
covered = 0.8
[tanks.top_off]
allowed_drop_mm = 8
allowed_salinity_rise = 0.4
reservoir_l = 20
reserve_l = 3
[tanks.heat_and_flow]
heater_w = 300
fans = 0
return_l_per_h = 1800
overflow_drop_cm = 2.5
[tanks.ranges]
alkalinity = { low = 7, high = 9.5, unit = "dKH" }
nitrate = { high = 15 }

[[tanks]]
name = "Cove"
[tanks.shape]
kind = "other"
litres = 30
surface_cm2 = 1100

[[equipment]]
tank = "Lagoon"
kind = "heater"
name = "left heater"
installed = 2025-01-12
life_months = 36

[[equipment]]
kind = "scale"
name = "kitchen scale"

[[chores]]
tank = "Lagoon"
kind = "water-change"
name = "Change water"
noun = "change"
first_due = 2025-02-01
rhythm = { after_last_done = "14 days" }
seasons = [{ from = "06-01", to = "09-15", after_last_done = "10 days" }]
early_days = 2
late_days = 3
minutes = 25
who = ["Mira", "Tomás"]
amount = { litres = 30 }
ready_before = ["Mix salt water"]
caution = "Unplug the heater first."
uses = [{ supply = "salt mix", grams = 1140 }, { supply = "filter socks", pieces = 1 }]
from = 2025-01-20
versions = [{ valid_from = 2025-01-10, rhythm = { once = 2025-01-15 } }]

[[chores]]
tank = "Lagoon"
kind = "feeding"
name = "Feed"
rhythm = { calendar = "FREQ=DAILY", start = 2025-02-01, slots = ["08:00", "18:30"] }

[[chores]]
tank = "Lagoon"
kind = "reservoir"
name = "Fill reservoir"
rhythm = { when = "evaporation", min_days = 0, max_days = 7 }

[[chores]]
tank = "Lagoon"
kind = "test"
name = "Test nitrate"
rhythm = { when = "forecast", of = "nitrate", max_days = 21 }
if_missed = "each"
tests = ["nitrate", "ph"]

[[chores]]
tank = "Cove"
kind = "top-off"
name = "Top off"
rhythm = { after_last_done = "8 hours" }
ended = 2026-02-01

[[chores]]
kind = "mix-salt-water"
name = "Mix salt water"
rhythm = { calendar = "FREQ=WEEKLY;BYDAY=FR", start = 2025-01-31 }

[[chores]]
kind = "buy"
name = "Buy salt"
rhythm = { when = "stock", of = "salt mix" }

[[animals]]
tank = "Lagoon"
name = "three shrimps"
count = 3
added = 2025-03-01
diet = "flakes"
jumper = true
lost = { on = 2025-06-10, count = 1, why = "not found again" }

[[supplies]]
name = "salt mix"
unit = "g"
stock = 7500
counted_on = 2026-02-20
pack = 20000
lead_days = 4
expires = 2027-05-01

[[supplies]]
name = "filter socks"
unit = "pieces"

[[log]]
id = "a-01"
at = 2026-01-05T18:10:00+00:00
by = "Mira"
tank = "Lagoon"
done = "Change water"
for = { first = true }
litres = 30
added = 29.5
salinity = 34.8
temperature_c = 25.1
note = "clear"

[[log]]
id = "a-02"
at = 2026-01-06T02:10:00+00:00
tank = "Lagoon"
done = "Feed"
for = { date = 2026-01-05, slot = "18:30" }

[[log]]
id = "a-03"
at = 2026-01-06T09:00:00+00:00
tank = "Lagoon"
done = "Fill reservoir"
litres = 11.5
estimated = true

[[log]]
id = "a-04"
at = 2026-01-06T09:05:00+00:00
tank = "Lagoon"
done = ["Test nitrate", "Feed"]
for = [{ after = "a-01" }, {}]
reading = { nitrate = "12 mg/L", salinity = "1.0264 sg 25/25 @25.4C", ph = "8.1 pH" }

[[log]]
id = "a-05"
at = 2026-01-07T09:05:00+00:00
tank = "Cove"
done = "Top off"
litres = 0.8
to_mark = false

[[log]]
id = "a-06"
at = 2026-01-08T09:05:00+00:00
done = "Mix salt water"
for = { date = 2026-01-09 }
litres = 35
grams = 1330

[[log]]
id = "a-07"
at = 2026-01-09T09:05:00+00:00
tank = "Cove"
top_off = { litres = 1.25, estimated = true }

[[log]]
id = "a-08"
at = 2026-01-10T09:05:00+00:00
tank = "Lagoon"
reservoir = { left = 7 }

[[log]]
id = "a-09"
at = 2026-01-11T09:05:00+00:00
tank = "Cove"
water_change = { litres = 5, salinity = 35 }

[[log]]
id = "a-10"
at = 2026-01-12T09:05:00+00:00
tank = "Lagoon"
dose = { of = "sodium bicarbonate", grams = 12 }

[[log]]
id = "a-11"
at = 2026-01-13T09:05:00+00:00
tank = "Lagoon"
skipped = "Change water"
for = { after = "a-01" }
counts_from = 2026-01-14
why = "away"

[[log]]
id = "a-12"
at = 2026-01-14T09:05:00+00:00
tank = "Lagoon"
put_off = "Change water"
for = { after = "a-01" }
from = 2026-01-17
to = 2026-01-20

[[log]]
id = "a-13"
at = 2026-01-15T09:05:00+00:00
shifted = "Mix salt water"
for = { date = 2026-01-16 }
to = 2026-01-17

[[log]]
id = "a-14"
at = 2026-01-16T09:05:00+00:00
tank = "Lagoon"
paused = { chore = "Feed", mode = "freeze", until = 2026-01-18 }

[[log]]
id = "a-15"
at = 2026-01-17T09:05:00+00:00
tank = "Lagoon"
resumed = { chore = "Feed" }

[[log]]
id = "a-16"
at = 2026-01-18T09:05:00+00:00
stock = { of = "salt mix", add = 20000, expires = 2028-01-01 }

[[log]]
id = "a-17"
at = 2026-01-19T09:05:00+00:00
zone = "Asia/Tokyo"
day = 2026-01-20
written_after = "a-18"
note = "two\\nlines, \\"quoted\\" and \\\\"

[[log]]
id = "a-18"
at = 2026-01-20T09:05:00+00:00
revokes = "a-16"

[[log]]
id = "a-19"
at = 2026-01-21T09:05:00+00:00
tank = "Lagoon"
work = { grams = 3 }
replaces = "a-10"
"""
