"""The sentence for every fault that is no more than a template with its values."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# What somebody typed: numbers, units, names.
_TYPED = {
    "number_missing": "A number is missing for {field}.",
    "digits_not_plain": "{text} is not read as a number. Use the digits 0 to 9.",
    "number_with_exponent": "{text} is written with an exponent. Write the number out.",
    "group_separator": (
        "{text} is not a number. Comma and point both mean the decimal sign, and nothing "
        "separates thousands."
    ),
    "not_a_month_day": "{text} is not a day of the month. Write 1 to 31, or last.",
    "season_unreadable": (
        "{text} is not a season. Write it like 10 days from 1 June to 15 September."
    ),
    "day_begins_late": "A day cannot begin at {at}. It can from {low} to {high}.",
    "quiet_empty": (
        "Quiet hours from {at} to {at} have no length. Empty both fields for no quiet hours."
    ),
    "not_fed_so": (
        "{text} is no amount of food. Write 0.5 g, 2 cubes or a pinch; what it was goes into Food."
    ),
    "quiet_half": "Quiet hours have a beginning and an end. Fill in both.",
    "not_a_day_here": (
        "{text} is not a day. Write it like {example}, or in words such as {called}."
    ),
    "not_a_moment_here": (
        "{text} is not a day and a time. Write it like {example}, or in words such as {called}."
    ),
    "hour_or_day": (
        "{text} can be an hour or a day. Write {hour} for the hour, or {day} for the day."
    ),
    "still_to_come": "{day} is still to come.",
    "gone_by": "{day} has gone by.",
    "clock_went_forward": "There is no {at}: the clocks went forward then.",
    "not_whole": "{value} is not a whole number.",
    "not_a_number": "{text} is not a number.",
    "entry_too_long": "That is too long for a number: {text}.",
    "unknown_unit": "{unit} is not a unit of {dimension}. Known are {choices}.",
    "ambiguous_unit": "{unit} can mean more than one unit: {choices}. Write which.",
    "sample_temperature_not_wanted": (
        "A sample temperature goes with a specific gravity only, not with {unit}."
    ),
    "unknown_parameter": "There is no parameter called {name}.",
    "unit_not_of_kind": "Work of this kind is counted in {choices}, not in {unit}.",
    "use_not_as_counted": (
        "{supply} is counted in {counted}, so what is used of it is in {choice}, not in {unit}."
    ),
    "lost_more_than_came": "{lost} lost are more than the {count} that came.",
    "lost_before_added": "They came on {added} only, so none was lost on {on}.",
    "stage_ahead": "It is {stage} now, and {on} is still to come. Write a day up to today.",
    "not_a_currency": "{text} is not a currency. Write its code, such as EUR, or its sign.",
    "interval_unreadable": "{text} is not an interval. Write it like 14 days, 8 hours or 1 month.",
    "month_day_unreadable": "{text} is not a day of the year. Write month and day, like 06-01.",
    "month_given_twice": "Month {month} is given twice.",
    "text_not_storable": "{field} holds signs that cannot be kept.",
    "text_too_long": "{field} has {length} letters. At most {longest} can be kept.",
    "not_finite": "{field} is not a number that can be kept.",
    "name_length": "{field} has {length} letters. It can have from 1 to {longest}.",
    "note_too_long": "The note has {length} letters. At most {longest} can be kept.",
    "note_empty": "The note is empty. Write what is to be remembered.",
    "too_many": "There are more {what} than can be kept. At most {most} can.",
}
# Definitions: chores, rhythms, tanks, water.
_DEFINED = {
    "noun_too_long": "The short noun {value} is too long. It can have {longest} letters.",
    "only_filling_by_evaporation": (
        "Only a top-off or the filling of a reservoir comes when enough water has evaporated. "
        "Choose one of these kinds, or another way in which it comes."
    ),
    "tests_need_kind_test": "Only a chore of the kind test has parameters to test, not {kind}.",
    "rule_part_unknown": "{part} is no part of a calendar rule that is known here.",
    "rule_part_twice": "{part} stands twice in the calendar rule.",
    "rule_needs_freq": "The calendar rule has no FREQ, so it does not say how often.",
    "rule_freq_too_fine": (
        "A calendar rule cannot repeat {freq}. Use times of day, or an interval in hours."
    ),
    "rule_freq_unknown": (
        "{freq} is no period of a calendar rule. Known are DAILY, WEEKLY, MONTHLY and YEARLY."
    ),
    "rule_part_bad": "{value} does not fit {part} in a calendar rule.",
    "rule_weekday_numbered": "{value} counts weekdays, which a {freq} rule does not.",
    "rule_weekdays_mixed": "{value} mixes counted weekdays with plain ones. Use one kind.",
    "rule_count_with_until": "A calendar rule ends by COUNT or by UNTIL, not by both.",
    "rule_part_not_here": "{part} does not go with a {freq} rule.",
    "rule_setpos_alone": "BYSETPOS needs days to choose from. Add BYDAY or BYMONTHDAY.",
    "rule_weekno_needs_weekday": "BYWEEKNO needs BYDAY to say on which days of the week.",
    "rule_minute_needs_hour": "BYMINUTE needs BYHOUR.",
    "rule_slots_counted": "COUNT and BYSETPOS do not go with several times of day.",
    "rule_start_out_of_range": "A rule cannot start on {start}. It can from {low} to {high}.",
    "rule_without_dates": "The calendar rule never comes: {rule}",
    "rule_ends_too_late": "The calendar rule ends too far ahead to be counted: {rule}",
    "not_a_date_of_the_rule": "{day} is not a day of the calendar rule {rule}.",
    "shift_needs_editor": (
        "The rule cannot simply move to {day}. Change the rhythm of the chore instead."
    ),
    "date_out_of_reach": "Counted from {day}, the date lies beyond the calendar.",
    "seasons_overlap": "Two seasons hold on {day}. Let one end before the other begins.",
    "season_needs_days": "Beside seasons an interval is in days or weeks, not {interval}.",
    "month_end_next_needs_every_month": (
        "Taking the next day in a short month goes with every month only, not every {every_months}."
    ),
    "displaced_more_than_gross": (
        "Rock and sand would take {displaced_l} of {gross_l}. Check both."
    ),
    "target_not_higher": "The target {value} is not above the salinity now, {now}.",
    "target_not_lower": "The target {value} is not below the salinity now, {now}.",
    "new_water_not_beyond_target": (
        "New water of salinity {value} cannot bring {now} to {target}. "
        "It has to lie beyond the target."
    ),
    "not_after_last_fill": "The filling of {at} is not after the one before it.",
    "fills_out_of_order": "The filling of {at} stands before an earlier one.",
    "no_such_room": "There is no room called {room}, which {of} names.",
    "ends_equal": "{low} to {high} leaves no room. Write a lower and a higher end.",
    "ends_reversed": "{low} lies above {high}. Write the lower end first.",
    "range_unreadable": (
        "{value} is no range. Write it like nitrate 2 to 15, or nitrate at most 15."
    ),
    "no_chores_chosen": "Choose a chore first: Space switches the one in hand on.",
    "not_one_tank": (
        "Only a file of one tank can be brought in by another name; this one holds {count}."
    ),
    "name_taken": "There is a tank called {name} already. Choose another name.",
    "person_taken": "There is a person called {name} already. Choose another name.",
    "same_id_twice": "The id {id} stands twice among {what}.",
    "changed_since": (
        "{name} was changed again since. Take back the later change first, then this one."
    ),
    "gone_meanwhile": "{name} is not as it was any more. Look at it again, then change it.",
    "has_history": (
        "{name} has entries in the logbook, so it cannot be removed. "
        "Retire the tank or end the chore instead."
    ),
}
# What was asked for: ticking, moving, taking back, writing down.
_ASKED = {
    "no_such_person": "There is no person called {name}.",
    "no_such_supply": "There is no supply called {name}.",
    "no_such_chore": "There is no chore called {chore}.",
    "no_such_item": "There is no item or chore {item}.",
    "no_such_turn": "There is no open turn {item}. The round tells those that are open.",
    "no_such_entry": "There is no entry {entry} in the logbook.",
    "id_taken": "The logbook has an entry {id} already.",
    "ambiguous_entry": ("{count} entries of the logbook begin with {entry}. Write more of the id."),
    "already_taken_back": "Entry {entry} is taken back already.",
    "done_already": "{chore} is done already. Undo it first.",
    "skipped_already": "{chore} is skipped already. Undo that first.",
    "is_paused": "{chore} is paused. Resume it first.",
    "nothing_to_undo": "There is nothing to take back.",
    "rests_by_stage": "{name} is {stage}, so nothing is due there. "
    "Let it run again on its own page (F2), by its stage.",
    "stopped": "Stopped. Nothing was changed by it.",
    "nothing_to_redo": "No undo is left to take back.",
    "undo_not_corrected": "This line takes another back. Take it back in turn instead.",
    "definition_not_corrected": (
        "This line tells of a change of settings. Take it back, or change the setting once more."
    ),
    "corrected_already": "This entry holds no longer. Correct the one that holds in its place.",
    "nothing_corrected": "Nothing is changed. Write down what was so, or leave the form.",
    "other_kind": "An entry stays of its kind. Take it back, and write down the other.",
    "plan_not_moved": "When this was planned cannot be changed. Take it back, and plan it anew.",
    "needs_salinity": "{chore} asks for the salinity of the new water. Say it with --salinity.",
    "needs_values": "{chore} asks for {missing}. Give each with --value NAME=VALUE.",
    "no_values": "No value is given. Write NAME=VALUE, such as nitrate=12mg/L.",
    "value_twice": "{parameter} is given twice.",
    "nothing_to_keep_it": (
        "{chore} has no place for {option}. Tick it without, and write that down by itself."
    ),
    "no_reservoir": "{tank} has no automatic top-off, so it has no reservoir.",
    "clock_behind": (
        "The clock says {now}, before the newest entry of {newest}. "
        "Set the clock, or say when it was done."
    ),
    "open_today": "{chore} is open today already, so it can be done without being moved.",
    "stands_there": "{chore} stands on {to} already.",
    "day_too_far": "Cannot stand on {to}: that is too far ahead. Up to {works} it can.",
    "not_a_day": ("{text} is not a day. Write it like 2026-03-02, or in words such as 3 days ago."),
    "not_a_moment": "{text} is not a moment. Write it like 2026-03-02T07:00.",
    "not_a_reading": "{text} is not a reading. Write NAME=VALUE, such as nitrate=12mg/L.",
    "too_long_ago": "{at} is too long ago. The logbook begins on {earliest}.",
    "no_such_item_or_tank": "There is no item, chore or tank called {name}.",
    "value_for_several": (
        "{option} goes with one item that asks for {name}. Tick those that do one at a time."
    ),
    "span_turned_round": "The span ends on {last}, before it begins on {first}.",
    "span_too_long": "From {first} to {last} is too long. A span can have {longest} days.",
    "settings_unreadable": "The settings in {path} cannot be read: {why}",
}
# Files and their surroundings.
_FILES = {
    "not_empty": (
        "The household {household} is not empty. A whole household goes only into an empty one."
    ),
    "no_tank_in_file": "The file holds no tank.",
    "file_exists": "{path} exists already and is left as it is. Choose another name.",
    "same_file": "{path} is the household itself. Choose another file.",
    "not_a_household": "{path} is not a household of tankkeeper.",
    "backup_not_ours": "{path} is not a backup of tankkeeper: it holds {what}.",
    "locked": "{path} is in use by another program. Nothing was changed; try again.",
    "read_only": "{path} cannot be written to, so nothing was changed.",
    "read_only_folder": (
        "The folder {folder} cannot be written to, so {path} opens for reading only."
    ),
    "older_file_read_only": (
        "{path} was made by an older version and cannot be written to, so it cannot be upgraded."
    ),
    "no_household": ("There is no household at {path}. Make one with: tankkeeper new {path}"),
    "server_not_built": (
        "A household on a server ({where}) cannot be opened yet. Name a file instead."
    ),
    "file_not_named": "No file is named. Say which one.",
    "is_a_folder": "{path} is a folder. Name a file in it.",
    "not_a_plain_file": "{path} is not a plain file, so it is not read.",
    "file_too_large": "{path} is larger than {longest_mb} MB, so it is not read.",
    "file_not_utf8": "{path} is not text in UTF-8: line {line} holds other signs.",
    "check_failed": ("{path} is not whole: {problems}. The newest good backup can be restored."),
    "autostart_failed": (
        "Whether the program starts at login could not be changed ({why}). "
        "Everything else was kept; try again when the folder can be written."
    ),
    "window_cannot_open": (
        "The window cannot open here ({why}). The commands work without it: tankkeeper round"
    ),
    "damaged_file": (
        "{path} is damaged ({why}). It was left untouched; the newest good backup can be restored."
    ),
    "cannot_open": "{path} cannot be opened ({why}).",
    "not_found": "{path} is not there.",
    "empty_file": "{path} is an empty file. It was left untouched; a backup can be restored.",
    "cannot_write_table": "{path} cannot be written ({why}). Choose another place.",
    "disk_error": "The disk failed at {path} ({why}). Nothing was changed.",
    "backup_incomplete": "The backup {path} did not become whole and was removed.",
    "backup_changed": "The backup {path} is not what was written. It was not used.",
    "backup_takes_too_long": "Reading {path} took too long. It was not used.",
    "newer_file": (
        "{path} was made by a newer version (schema {found}; this version knows {known}). "
        "It was left untouched."
    ),
    "network_drive": (
        "{path} lies on a network drive ({file_system}), where a household can be damaged. "
        "Choose a folder on this computer, or use a server."
    ),
    "upgrade_lost_rows": (
        "The upgrade of {path} would have lost rows of {table}. The file is as it was."
    ),
}
# Problems of a tank file; each is told behind its line and place.
_IMPORTED = {
    "too_large": "the file is too large; at most {longest} letters are read",
    "not_toml": "this is not TOML: {detail}",
    "doubled_key": "a key stands twice: {detail}",
    "too_deep": "tables lie deeper than {deepest} in one another",
    "other_format": 'the format is {value}; it should be "{expected}"',
    "newer_version": "version {value} is newer than the {newest} that is known here",
    "only_in_household": "this is for the file of a whole household, not of a tank",
    "doubled_name": "the name {value} stands twice",
    "doubled_id": "the id {value} stands twice",
    "bad_id": "{value} is not an id: use letters, digits, points and hyphens",
    "tank_exists": "a tank called {value} is there already",
    "no_form": "the entry says nothing that was done; it needs one of {forms}",
    "two_forms": "only one of {forms} can stand here",
    "empty_name": "the name is empty; write one",
    "empty_reading": "the reading has no value",
    "named_twice": "something is named twice here",
    "slots_twice": "the times of day stand in the rule and in slots; use one",
    "seasons_twice": "the seasons stand in the rhythm and beside it; use one",
    "seasons_beside_other": "seasons go with a rhythm of after_last_done only",
    "turns_do_not_match": "{turns} turns are named for {chores} chores",
    "unknown_reference": "there is no {of} called {value}",
    "unknown_key": "{key} is not a key that is known here",
    "missing_key": "{key} is missing",
    "chore_of_several_tanks": "several tanks have a chore called {value}; tank has to say which",
    "one_of": "one of {keys} has to stand here, and only one; found {found}",
    "unknown_choice": "{value} is not one of {allowed}",
    "wrong_type": "a {expected} should stand here, not a {found}",
    "out_of_order": "{value} stands after {newest}; entries are in the order of time",
    "low_above_high": "the low end {low} lies above the high end {high}",
    "in_future": "{value} lies ahead of now",
    "too_long": "the text has {length} letters; at most {longest} are read",
    "bad_character": "the text holds a sign that cannot be kept ({character})",
    "time_unreadable": "{value} is not a time of day. Write it like 08:00.",
    "offset_missing": "{value} has no offset; write it like 2026-03-02T07:00:00+01:00",
}

TEMPLATES: Mapping[str, str] = MappingProxyType(
    {**_TYPED, **_DEFINED, **_ASKED, **_FILES, **_IMPORTED}
)
