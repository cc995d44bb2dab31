"""The tank file: a household, or one tank of it, as TOML text that people can read and mail.

Needed are `format`, `version`, a tank's `name` and `shape`, a chore's `kind`, `name` and `rhythm`;
everything else may be left out. A measure, a count or a name left out is not known and is left out
of the next file again; the tests hold the few keys without which a table would contradict itself.
A choice left out takes the usual:

| table | key left out | what holds then |
|---|---|---|
| the file | `[household]` | the household there is; else a new one in the zone of this computer |
| household | `name`, `zone` | "Household"; the zone of the household there is or of this computer |
| household | `day_begins`, `round_at`, | 04:00, 07:00, |
| | `first_weekday`, `units` | Monday, L, degC, practical salinity, dKH |
| people | `minutes`, or a day in it | no limit, or none on that weekday |
| people, rooms, supplies | `name` | it is called by its `id`, "person" or "room-2" where none is |
| rooms | `month` of a climate row | all year, wherever no month says more |
| rooms | `temperature_c`, `humidity` | what other months say, else the usual with a wide span |
| containers, water_supply | `for`, `source` | any, made |
| tanks | `stage`, cover's `kind` | running, open |
| tanks.shape | `measured`, `kind` | inside; the kind that its sizes tell, other without any |
| chores | `early_days`, `late_days` | 0 (`late_days` always where `when` is the rhythm) |
| chores | `if_missed` | collapse, for slots expire |
| chores | `start` of a calendar | `first_due`, else `from`, else today |
| log | `at` | the latest moment there is room for in the order of the file: that of the next |
| | | row, at the end that of the import; noon where the row has a `day` |
| log | `tank` | that of the chore, where just one tank has a chore of that name |
| log | `to_mark`, `mode`, `estimated` | true, hold, false |

Keys beyond the first description of the file, all of them optional:

| table | key | meaning |
|---|---|---|
| top of a file of one tank | `[origin]` with `zone`, `day_begins` | where its log was written |
| people, rooms, tanks, chores, supplies | `id` | only where the name would give another id |
| tanks.displaced | `rock_wet_kg`, `rock_envelope_kg_per_l`, `rock_open_porosity`, |
| | `rock_submerged`, `sand_dry_kg`, `sand_porosity`, `equipment_l` | finer measures |
| tanks.sump | `surface_cm2`, `pipes_l` | all of its surface; water in the pipes |
| tanks.sump | `free_l` | room above its running level, for what runs back |
| tanks.heat_and_flow | `heater_w`, `fans` | all heaters together; how many fans, 0 is none |
| tanks.heat_and_flow | `return_l_per_h` | what the return pump moves |
| tanks.heat_and_flow | `overflow_drop_cm` | how far the water falls when the pump stops |
| tanks.top_off | `reserve_l` | litres of the reservoir that are not counted on |
| chores | `ended` | the last day of the chore |
| chores | `versions` | rows of `{ valid_from = …, rhythm = { … } }` |
| animals | `diet`, `jumper` | |
| animals | `lost = [{ … }, { … }]` | several losses, in the order in which they were written down |
| supplies | `expires` | the day of the batch that runs out of date first |
| log | `zone`, `day` | only where they are not the usual ones of the household |
| log | `written_after` | an entry written later than its time says: the id of the one before it |
| log | `done = ["…", "…"]` | several chores; `for` is then a list too, one for each |
| log | `for = { after = "id" }`, `{ first = true }`, `{ key = "…" }` | turns without a date |
| log | `estimated`, `temperature_c`, `to_mark`, `added`, `grams` | beside `done`, by its kind |
| log | `work = { litres, grams, estimated }` | how much was done of other work |
| log | `reservoir`, `top_off`, `water_change` | also take `estimated`; the last `temperature_c` |
| log | `fact = "none"` or `"note"` | where a chore's usual fact does not hold |
| log | `counts_from` | with `skipped`: from where a counted chore goes on |

Rows are counted from 1 in the place of a problem: `chores[3]` is the third chore.
"""

from __future__ import annotations

from tankkeeper.services.tank_file.document import Document
from tankkeeper.services.tank_file.problems import Problem
from tankkeeper.services.tank_file.read import (
    TankAddition,
    TankFile,
    is_tank_file,
    read_tank_addition,
    read_tank_file,
)
from tankkeeper.services.tank_file.write import write_household, write_tank

__all__ = [
    "Document",
    "Problem",
    "TankAddition",
    "TankFile",
    "is_tank_file",
    "read_tank_addition",
    "read_tank_file",
    "write_household",
    "write_tank",
]
