"""Ticking, taking back and moving work from the command line."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

from tankkeeper.reports.numbers import plain
from tests.cli.harbour import Answer, Type, items_of


def entries(at_house: Type) -> list[dict[str, object]]:
    """Return the whole logbook, newest first."""
    found: list[dict[str, object]] = at_house("logbook", "--json").document["entries"]
    return found


def test_a_bare_tick_is_enough_where_nothing_is_asked(at_house: Type) -> None:
    """The item is done, stays in the round today, and its next turn is counted from now."""
    answer = at_house("tick", "nook.wipe-the-glass", "--by", "Jonas", "--note", "much film")
    assert (answer.status, answer.err) == (0, "")
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "done"
    newest = entries(at_house)[0]
    assert newest["by"] == "Jonas"
    assert "uch film" in str(newest["text"])
    assert str(newest["id"]) in answer.out


def test_ticking_what_is_done_adds_no_row(at_house: Type) -> None:
    """Status 0 and a sentence; by the chore's id and by the very id of the occurrence."""
    item = items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["id"]
    at_house("tick", item)
    count = len(entries(at_house))
    for what in (item, "nook.wipe-the-glass"):
        again = at_house("tick", what)
        assert (again.status, again.err) == (0, "")
        assert "done already" in again.out
    assert len(entries(at_house)) == count
    told = at_house("tick", item, "--note", "algae below")
    assert "done already" in told.out
    assert "What was said of Wipe the glass is not kept." in told.err
    assert told.err.endswith("say it again with --besides\n")
    assert len(entries(at_house)) == count
    once_more = at_house("tick", item, "--note", "algae below", "--besides")
    assert (once_more.status, once_more.err) == (0, "")
    assert "It counts as extra work." in once_more.out
    assert len(entries(at_house)) == count + 1


def test_ticking_for_yesterday_again_takes_its_evening_and_then_adds_no_row(
    at_house: Type,
) -> None:
    """A day gone by has each of its hours once, however often it is said that it was done."""
    later = "2026-03-03T12:00"
    counts = [len(entries(at_house))]
    told = []
    for _ in range(3):
        told.append(at_house("tick", "nook.feed", "--at", "yesterday", now=later))
        counts.append(len(entries(at_house)))

    assert [one.status for one in told] == [0, 0, 0]
    assert [after - before for before, after in pairwise(counts)] == [1, 1, 0]
    assert "done already" in told[2].out
    with_note = at_house(
        "tick", "nook.feed", "--at", "yesterday", "--note", "a third time", now=later
    )
    assert "done already" not in with_note.out
    assert len(entries(at_house)) == counts[-1] + 1


def test_a_chore_named_twice_does_not_do_its_evening_turn(at_house: Type) -> None:
    """In the morning a chore's id means the morning; the evening is named by its own id."""
    assert "Done: Feed" in at_house("tick", "nook.feed").out
    assert "done already" in at_house("tick", "nook.feed").out
    feedings = [
        (item["slot"], item["state"])
        for item in at_house("round", "--json").document["items"]
        if item["chore"] == "nook.feed"
    ]
    assert feedings == [("07:00", "done"), ("18:00", "due")]
    assert "Done: Feed" in at_house("tick", "nook.feed@2026-03-02T1800").out
    evening = "2026-03-02T18:05"
    at_house("undo", now=evening)
    assert "Done: Feed" in at_house("tick", "nook.feed", now=evening).out


def test_an_amount_that_is_asked_for_must_be_given(at_house: Type) -> None:
    """Without litres or --as-proposed it is refused, the option is named, nothing is changed."""
    before = entries(at_house)
    answer = at_house("tick", "nook.top-off")
    assert answer.status == 1
    assert answer.out == ""
    assert "--litres" in answer.err
    assert "--as-proposed" in answer.err
    assert answer.err.count("\n") == 1
    assert entries(at_house) == before


def test_a_proposed_amount_is_kept_as_estimated(at_house: Type) -> None:
    """--as-proposed takes the computed litres, told apart from measured ones."""
    proposed = items_of(at_house("round", "--json"))["nook.top-off"]["amount"]["value"]
    assert at_house("tick", "nook.top-off", "--as-proposed").status == 0
    text = str(entries(at_house)[0]["text"])
    assert "not measured" in text
    assert f" {proposed:g} L to the mark" in text
    tank = at_house("tanks", "--json").document["tanks"][0]
    assert tank["mm_below_mark"] == pytest.approx(0.0, abs=0.05)


def test_what_is_proposed_for_yesterday_was_missing_yesterday(at_house: Type) -> None:
    """As much as the round of that hour told, and not what is missing by now."""
    later, hour = "2026-03-05T12:00", "2026-03-04T07:00"
    assert at_house("tick", "nook.top-off", "--litres", "2").status == 0
    now, then = (
        items_of(at_house("round", "--json", now=one))["nook.top-off"]["amount"]["value"]
        for one in (later, hour)
    )
    assert then < now

    done = at_house("tick", "nook.top-off", "--at", "yesterday", "--as-proposed", now=later)

    assert done.status == 0
    assert f" {then:g} L to the mark" in plain(done.out)
    assert done.err == ""


def test_for_a_moment_before_the_newest_fill_nothing_is_proposed(at_house: Type) -> None:
    """It is refused with that fill; litres that are told are kept, and asked about beside."""
    later = "2026-03-05T12:00"
    at_house("tick", "nook.top-off", "--litres", "2")
    count = len(entries(at_house))
    tick = ("tick", "nook.top-off", "--at", "2026-03-01")

    refused = at_house(*tick, "--as-proposed", now=later)
    assert refused.status == 1
    assert plain(refused.err).startswith("Top off: it was filled to the mark on Mon 2 at ")
    assert "made up for all that was missing before. Say how much with --litres" in refused.err
    assert len(entries(at_house)) == count

    kept = at_house(*tick, "--litres", "0.5", now=later)
    assert kept.status == 0
    assert "made up for all that was missing before. If nothing went in besides" in kept.err


def test_a_measured_top_off_means_filled_to_the_mark(at_house: Type) -> None:
    """Litres may be typed with comma or point, and with a unit behind them."""
    for number, litres in enumerate(("2,1", "2.1", "2.1L", "0.555 US gal")):
        answer = at_house("tick", "nook.top-off", "--litres", litres)
        assert answer.status == 0, answer.err
        assert "2.1 L to the mark" in str(entries(at_house)[0]["text"]), number
        at_house("undo")


def test_a_water_change_asks_for_litres_and_salinity(at_house: Type) -> None:
    """Litres alone are refused with the name of the other option."""
    alone = at_house("tick", "skerry.change-water", "--litres", "40")
    assert (alone.status, alone.out) == (1, "")
    assert "--salinity" in alone.err
    both = at_house("tick", "skerry.change-water", "--litres", "40", "--salinity", "35.1")
    assert both.status == 0
    assert "40 L at salinity 35.1" in str(entries(at_house)[0]["text"])


def test_a_specific_gravity_is_not_taken_for_a_salinity(at_house: Type) -> None:
    """1.026 without a unit is refused with what it would be; with its unit it is taken."""
    words = ("tick", "skerry.change-water", "--litres", "40", "--salinity")
    refused = at_house(*words, "1.026")
    assert refused.status == 1
    assert "specific gravity" in refused.err
    assert at_house(*words, "1.0264sg25/25@25.4C").status == 0


def test_a_test_is_done_with_its_values(at_house: Type) -> None:
    """A test chore asks for its parameters and takes them by --value."""
    refused = at_house("tick", "nook.test-nitrate")
    assert refused.status == 1
    assert "nitrate" in refused.err
    assert at_house("tick", "nook.test-nitrate", "--value", "nitrate=12mg/L").status == 0
    nook = at_house("tanks", "--json").document["tanks"][0]
    assert nook["readings"]["nitrate"]["value"] == 12
    assert nook["readings"]["nitrate"]["unit"] == "mg/L"


def test_several_items_are_done_all_or_none(at_house: Type) -> None:
    """One that cannot be done holds back the others."""
    before = entries(at_house)
    for wrong in ("nook.top-off", "nook.nonsense"):
        answer = at_house("tick", "nook.wipe-the-glass", "nook.feed", wrong)
        assert answer.status == 1
        assert entries(at_house) == before
    assert (
        at_house("tick", "nook.wipe-the-glass", "nook.feed", "skerry.dose-bicarbonate").status == 0
    )
    assert len(entries(at_house)) == len(before) + 3


def test_an_amount_goes_to_the_one_item_that_asks_for_it(at_house: Type) -> None:
    """Litres belong to the one item that asks; for two they could mean anything."""
    answer = at_house("tick", "nook.wipe-the-glass", "nook.top-off", "--litres", "2")
    assert answer.status == 0, answer.err
    assert "Topped off, 2 L" in answer.out
    shared = at_house("tick", "skerry.change-water", "skerry.fill-the-reservoir", "--litres", "20")
    assert shared.status == 1
    assert "--litres" in shared.err


def test_the_day_of_a_tick_can_be_said(at_house: Type) -> None:
    """A bare date is the usual hour of the round on that day; the next turn counts from there."""
    at_house("tick", "nook.wipe-the-glass", "--at", "2026-03-01")
    assert entries(at_house)[0]["at"] == "2026-03-01T07:00:00+01:00"
    ahead = at_house("ahead", "--from", "today", "--to", "2026-03-10", "--json").document["items"]
    assert [one["target"] for one in ahead if one["chore"] == "nook.wipe-the-glass"] == [
        "2026-03-08"
    ]


def test_today_before_the_usual_hour_means_now(at_house: Type) -> None:
    """At 06:10 the round of 07:00 has not come, so a bare date of today is now."""
    at_house("tick", "nook.wipe-the-glass", "--at", "2026-03-02", now="2026-03-02T06:10")
    assert entries(at_house)[0]["at"] == "2026-03-02T06:10:00+01:00"


@pytest.mark.parametrize(
    "when", ["tomorrow", "2026-03-03", "2026-03-02T07:31", "2099-01-01T00:00Z"]
)
def test_nothing_is_done_in_the_future(at_house: Type, when: str) -> None:
    """A moment after now is refused, told in the household's zone."""
    answer = at_house("tick", "nook.wipe-the-glass", "--at", when)
    assert (answer.status, answer.out) == (1, "")
    assert "07:30" in answer.err


def test_undo_and_redo_add_rows(at_house: Type) -> None:
    """An undo frees the turn, a redo takes it again; the logbook only grows."""
    at_house("tick", "nook.wipe-the-glass")
    count = len(entries(at_house))
    assert at_house("undo").status == 0
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "overdue"
    assert at_house("redo").status == 0
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "done"
    assert len(entries(at_house)) == count + 2


def test_a_change_without_mixed_water_is_told_of_beside_the_result(at_house: Type) -> None:
    """It is kept; said together with the mixing, or after it, nothing is told."""
    change = ("tick", "skerry.change-water", "--salinity", "35", "--as-proposed")
    told = "No salt water is mixed for it: Mix salt water is not done yet. "
    answer = at_house(*change)
    assert answer.status == 0
    assert answer.err == (f"{told}If the change was not done, take it back with: tankkeeper undo\n")
    at_house("undo")
    log = ("log", "water-change", "--tank", "Skerry", "--litres", "40", "--salinity", "35")
    assert told in at_house(*log).err
    at_house("undo")
    assert told not in at_house(*change, "house.mix-salt-water").err
    at_house("undo")
    at_house("undo")
    assert at_house("tick", "house.mix-salt-water", "--at", "2026-02-28").status == 0
    assert at_house(*change).err == ""


def test_a_change_with_water_that_is_not_ready_is_told_of_beside_the_result(at_house: Type) -> None:
    """The mix takes 24 hours; a second change, which does no turn, takes of the same water."""
    assert at_house("tick", "house.mix-salt-water", "--at", "2026-03-02T06:36").status == 0
    undo = "If the change was not done, take it back with: tankkeeper undo\n"
    first = at_house("tick", "skerry.change-water", "--salinity", "35", "--litres", "30")
    assert first.err == f"Its salt water is not ready until tomorrow at 06:36. {undo}"
    log = ("log", "water-change", "--tank", "Skerry", "--litres", "5", "--salinity", "35")
    told = f"What was mixed last is not ready until tomorrow at 06:36. {undo}"
    assert told in at_house(*log).err
    assert told not in at_house(*log, "--at", "2026-03-02T06:00").err


def test_undo_takes_what_was_written_last_though_it_tells_of_an_older_day(at_house: Type) -> None:
    """A top-off of the day before that is written after a tick of today goes first."""
    at_house("tick", "nook.wipe-the-glass")
    late = ("log", "top-off", "--tank", "Nook", "--litres", "2", "--at", "2026-03-01T08:00")
    at_house(*late, now="2026-03-02T07:40")
    told = at_house("undo", now="2026-03-02T07:50")
    assert "Taken back: Topped off, 2" in told.out.replace("\u2060", "")
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "done"


def test_undo_can_name_an_entry(at_house: Type) -> None:
    """The one named is taken back, not the newest; twice is refused."""
    at_house("tick", "nook.wipe-the-glass")
    named = str(entries(at_house)[0]["id"])
    at_house("tick", "nook.feed")
    assert at_house("undo", named).status == 0
    states = items_of(at_house("round", "--json"))
    assert states["nook.wipe-the-glass"]["state"] == "overdue"
    again = at_house("undo", named)
    assert (again.status, again.out) == (1, "")
    assert at_house("undo", "nonsense").status == 1


def test_a_redo_says_what_is_back(at_house: Type) -> None:
    """Both in its answer and in the logbook; an undo of the redo says it, too."""
    at_house("tick", "nook.wipe-the-glass")
    at_house("undo")
    redone = at_house("redo")
    assert redone.out.startswith("Did again: Wipe the glass (Nook). Entry ")
    assert entries(at_house)[0]["text"] == "Did again: Wipe the glass"
    again = at_house("undo", redone.out.split()[-1])
    assert again.out.startswith("Taken back: Wipe the glass (Nook). ")


def test_a_redo_of_what_was_done_once_more_says_so(at_house: Type) -> None:
    """The newest undo took back a turn that somebody else has done since: nothing changes."""
    at_house("tick", "nook.wipe-the-glass")
    at_house("undo")
    at_house("tick", "nook.wipe-the-glass")
    answer = at_house("redo")
    assert (answer.status, answer.out) == (1, "")
    assert "done once more since: Wipe the glass" in answer.err


def test_an_entry_can_be_named_by_the_beginning_of_its_id(at_house: Type) -> None:
    """As long as no other begins so; one that could mean several is refused."""
    at_house("tick", "nook.wipe-the-glass", now="2026-03-02T07:20")
    at_house("tick", "nook.feed")
    newest, glass = (str(one["id"]) for one in entries(at_house)[:2])
    several = at_house("undo", newest[:4])
    assert (several.status, several.out) == (1, "")
    assert "begin with" in several.err
    assert at_house("undo", newest[:3]).status == 1
    assert at_house("undo", glass[:13]).status == 0
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "overdue"


def test_redo_of_work_done_again_tells_when(at_house: Type) -> None:
    """The turn is taken by another tick, so the first cannot hold again; nothing is written."""
    at_house("tick", "nook.wipe-the-glass")
    at_house("undo")
    at_house("tick", "nook.wipe-the-glass", now="2026-03-02T07:45")
    count = len(entries(at_house))
    answer = at_house("redo", now="2026-03-02T08:00")
    assert (answer.status, answer.out, answer.err.count("\n")) == (1, "", 1)
    assert "07:30" in answer.err
    assert "Wipe the glass, 2 March 2026, 07:45" in answer.err
    assert len(entries(at_house)) == count


def test_redo_without_an_undo_is_refused(at_house: Type) -> None:
    """There is nothing to take back."""
    assert at_house("redo").status == 1


def test_skip_leaves_turns_out(at_house: Type) -> None:
    """The turn stands as skipped today, and the next one follows from today."""
    assert (
        at_house("skip", "nook.wipe-the-glass", "skerry.dose-bicarbonate", "--why", "away").status
        == 0
    )
    assert items_of(at_house("round", "--json"))["nook.wipe-the-glass"]["state"] == "skipped"
    assert "way" in str(entries(at_house)[0]["text"])
    assert at_house("tick", "nook.wipe-the-glass").status == 1
    ahead = at_house("ahead", "--from", "today", "--to", "2026-03-10", "--json").document["items"]
    assert [one["target"] for one in ahead if one["chore"] == "nook.wipe-the-glass"] == [
        "2026-03-09"
    ]


def test_a_tick_and_a_skip_name_the_next_day(at_house: Type) -> None:
    """As the foot of the window does: the glass is wiped 7 days later, the dose given 2 later.

    The id of the entry stays last, and of what is fed every day the next hour is named.
    """
    ticked = at_house("tick", "nook.wipe-the-glass", "skerry.dose-bicarbonate", "nook.feed").out
    glass, dose, fed = ticked.splitlines()
    assert "Wipe the glass (Nook). Next on Mon 9. Entry " in glass
    assert ". Next on Wed 4. Entry " in dose
    assert "Feed (Nook). Next today at 18:00. Entry " in fed

    skipped = at_house("skip", "skerry.change-water").out
    assert ". Next on Mon 16. Entry " in skipped

    earlier = at_house("tick", "nook.test-nitrate", "--at", "2026-03-01", "--value", "nitrate=8")
    assert ". For Sunday 1 March. Next on Sun 15. Entry " in earlier.out


def test_a_skipped_top_off_tells_what_the_water_comes_to(type_: Type, tmp_path: Path) -> None:
    """In the words of a reminder, since nothing was poured in; P would have been refused."""
    file, now = str(tmp_path / "sample.tankkeeper"), "2026-11-27T10:00"
    here = ("--household", file, "--now", now)
    assert type_("--now", now, "new", "--sample", file).status == 0

    refused = type_(*here, "put-off", "ledge.top-off", "--to", "tomorrow")
    skipped = type_(*here, "skip", "ledge.top-off")

    assert "the level falls too low before that" in refused.err
    assert "Top off (Ledge). The water level may reach its limit today at " in skipped.out
    assert ". Next about Sat 28. Entry " in plain(skipped.out)


def test_what_was_done_already_or_once_more_names_no_next_day(at_house: Type) -> None:
    """It moved nothing."""
    at_house("tick", "nook.wipe-the-glass")
    assert "Next" not in at_house("tick", "nook.wipe-the-glass").out


def test_put_off_moves_one_turn(at_house: Type) -> None:
    """It leaves the round until that day, and stands there ahead."""
    assert at_house("put-off", "skerry.change-water", "--to", "thu").status == 0
    assert "skerry.change-water" not in items_of(at_house("round", "--json"))
    ahead = at_house("ahead", "--from", "today", "--to", "2026-03-08", "--json").document["items"]
    assert [one["target"] for one in ahead if one["chore"] == "skerry.change-water"] == [
        "2026-03-05"
    ]


def test_a_day_past_the_window_is_taken_and_said(at_house: Type) -> None:
    """The window says how far past it is, and so does the command."""
    said = at_house("put-off", "skerry.change-water", "--to", "2026-03-20").out
    assert "days past its own window, which ends on " in plain(said)
    assert "; its window moves with it, to Mon 23." in plain(said)


@pytest.mark.parametrize("command", ["put-off", "shift"])
def test_work_is_not_moved_into_the_past(at_house: Type, command: str) -> None:
    """The refusal says from which day on it works, and nothing is written."""
    before = entries(at_house)
    answer = at_house(command, "skerry.change-water", "--to", "2026-03-01")
    assert answer.status == 1
    assert answer.err.strip()
    assert entries(at_house) == before


def test_what_is_open_today_is_not_put_off_to_today(at_house: Type) -> None:
    """One sentence says so, and nothing is written."""
    before = entries(at_house)
    answer = at_house("put-off", "skerry.change-water", "--to", "today")
    assert answer.status == 1
    assert "is open today already, so it can be done without being moved." in answer.err
    assert entries(at_house) == before


def test_what_was_put_off_is_not_put_off_to_the_same_day_again(at_house: Type) -> None:
    """It stands there already, and nothing is written."""
    at_house("put-off", "skerry.change-water", "--to", "thu")
    before = entries(at_house)
    answer = at_house("put-off", "skerry.change-water", "--to", "thu")
    assert answer.status == 1
    assert " stands on " in answer.err
    assert "already." in answer.err
    assert entries(at_house) == before


def test_shift_moves_a_series(at_house: Type) -> None:
    """Every turn from this one on stands on the new days."""
    assert at_house("shift", "skerry.change-water", "--to", "2026-03-06").status == 0
    ahead = at_house("ahead", "--from", "today", "--to", "2026-03-25", "--json").document["items"]
    days = [one["target"] for one in ahead if one["chore"] == "skerry.change-water"]
    assert days == ["2026-03-06", "2026-03-20"]


def _chores(answer: Answer) -> set[str]:
    return set(items_of(answer))


def test_pause_and_resume_a_chore(at_house: Type) -> None:
    """A paused chore leaves the round; resumed it is back."""
    assert at_house("pause", "nook.wipe-the-glass", "--until", "2026-03-05").status == 0
    assert "nook.wipe-the-glass" not in _chores(at_house("round", "--json"))
    assert at_house("resume", "nook.wipe-the-glass").status == 0
    assert "nook.wipe-the-glass" in _chores(at_house("round", "--json"))
    assert at_house("resume", "nook.wipe-the-glass").status == 1


def test_the_head_counts_what_is_paused_as_the_window_does(at_house: Type) -> None:
    """Chores that are paused alone first, then the tanks that are paused as a whole.

    The mixing of salt water rests with the only tank that takes it.
    """
    at_house("pause", "nook.wipe-the-glass", "--until", "2026-03-05")
    at_house("pause", "Skerry")
    head = at_house("round").out.partition("\n")[0]
    assert head.endswith(", 2 chores paused, 1 tank paused")


def test_pause_and_resume_a_tank(at_house: Type) -> None:
    """Nothing paused stands in the round, unless --tank names the paused tank."""
    assert at_house("pause", "Skerry").out.startswith(
        "Paused the tank Skerry; its days do not count. "
    )
    whole = at_house("round", "--json")
    assert "skerry.change-water" not in _chores(whole)
    named = items_of(at_house("round", "--tank", "Skerry", "--json"))
    assert {item["state"] for item in named.values()} == {"paused"}
    assert at_house("tanks", "--json").document["tanks"][1]["stage"] == "paused"
    assert at_house("resume", "skerry").out.startswith("Resumed the tank Skerry. Entry ")
    assert "skerry.change-water" in _chores(at_house("round", "--json"))


def test_a_person_may_be_named_for_all_commands(at_house: Type) -> None:
    """--person stands for --by; one that nobody is called is refused, --by goes before it."""
    at_house("--person", "ilse", "tick", "nook.feed")
    assert entries(at_house)[0]["by"] == "Ilse"
    at_house("--person", "ilse", "tick", "nook.wipe-the-glass", "--by", "Jonas")
    assert entries(at_house)[0]["by"] == "Jonas"
    unknown = at_house("--person", "Nobody", "skip", "skerry.dose-bicarbonate")
    assert unknown.status == 1
    assert "Nobody" in unknown.err


def test_work_of_another_day_is_told_with_its_day(at_house: Type) -> None:
    """As in the window; of today nothing is said."""
    today = at_house("tick", "nook.wipe-the-glass")
    assert "For " not in today.out
    at_house("undo")

    told = at_house("tick", "nook.wipe-the-glass", "--at", "2026-03-01").out
    assert "Done: Wipe the glass (Nook). For Sunday 1 March." in told
    told = at_house("log", "note", "it hums", "--at", "2026-03-01").out
    assert "For Sunday 1 March." in told


def test_a_dose_can_be_told_in_grams(at_house: Type) -> None:
    """Of several items it goes to the one dose; of none it is refused, and nothing is changed."""
    told = at_house("tick", "nook.wipe-the-glass", "skerry.dose-bicarbonate", "--grams", "10.5")
    assert (told.status, told.err) == (0, "")
    assert "Done: Dose bicarbonate, 10.5 g" in told.out
    before = entries(at_house)
    for items in (("nook.feed",), ("nook.feed", "nook.test-nitrate")):
        answer = at_house("tick", *items, "--grams", "5")
        assert answer.status == 1
        assert entries(at_house) == before


def test_a_fill_that_came_short_is_kept_to_the_mark_and_says_how_to_say_a_part(
    at_house: Type,
) -> None:
    """The contract holds: a ticked top-off means filled to the mark."""
    answer = at_house("tick", "nook.top-off", "--litres", "0.4")

    assert (answer.status, "0.4 L to the mark" in answer.out) == (0, True)
    told = answer.err.replace("\u00a0", " ")
    assert told.startswith("0.4 L is less than the 1.")
    assert told.endswith(
        "L that were missing. It is kept as filled to the mark. If it was a part, take it back "
        "with: tankkeeper undo, and say it again with --part\n"
    )


def test_more_than_the_safe_share_of_a_day_is_kept_and_told_beside_the_result(
    at_house: Type,
) -> None:
    """What is in the tank is written down; that it was too fast stands beside it."""
    later = "2026-04-10T07:30"
    amount = items_of(at_house("round", "--json", now=later))["nook.top-off"]["amount"]
    part, whole = amount["value"], 2.0 * amount["value"]
    # More than today's part, and still no faster than is safe: nothing is told beside it.
    safe = f"{part + 1.5:.1f}"
    kept = at_house("tick", "nook.top-off", "--litres", safe, "--part", now=later)
    assert (kept.status, kept.err) == (0, "")
    assert at_house("undo", now=later).status == 0

    answer = at_house("tick", "nook.top-off", "--litres", f"{whole:.1f}", now=later)

    told = answer.err.replace("\u00a0", " ")
    assert answer.status == 0
    assert told == (
        f"{whole:g} L at once lowers the salinity faster than is safe; up to 8 L a "
        "day is. If it was not poured in, take it back with: tankkeeper undo\n"
    )


@pytest.mark.parametrize(
    "typed", [("tick", "nook.top-off"), ("log", "top-off", "--tank", "Nook")], ids=["tick", "log"]
)
def test_far_more_than_was_missing_is_told_as_that_where_a_part_is_proposed(
    at_house: Type, typed: tuple[str, ...]
) -> None:
    """Nobody proposed all that was missing; what was proposed is this day's part of it."""
    later = "2026-03-18T07:30"
    row = next(one for one in at_house("round", now=later).out.splitlines() if "Top off" in one)
    part, whole = re.findall(r"([0-9.]+) L of ([0-9.]+) L fresh", row)[0]
    assert float(part) < float(whole)

    answer = at_house(*typed, "--litres", "40", now=later)

    told = answer.err.replace("\u00a0", " ")
    assert told.startswith(
        f"40 L is far more than the {whole} L that were missing. Keep it if so much was poured in."
    )


def test_a_part_stays_open_and_can_be_said_in_a_tick(at_house: Type) -> None:
    """Another bucket may follow, and nothing is asked about it."""
    answer = at_house("tick", "nook.top-off", "--litres", "0.9", "--part")

    assert (answer.status, answer.err) == (0, "")
    assert "in part, 0.9 L" in answer.out
    assert "Top off stays open." in answer.out
    item = items_of(at_house("round", "--json"))["nook.top-off"]
    assert item["state"] in ("due", "may wait", "overdue")
    assert item["amount"]["value"] == pytest.approx(1.1, abs=0.3)
    assert at_house("tick", "nook.top-off", "--litres", "1.1").err == ""
    assert items_of(at_house("round", "--json"))["nook.top-off"]["state"] == "done"


def test_what_has_no_part_is_refused_with_one(at_house: Type) -> None:
    """Nothing is kept."""
    count = len(entries(at_house))
    for words in (
        ("skerry.change-water", "--litres", "40", "--salinity", "35", "--part"),
        ("nook.wipe-the-glass", "--part"),
        ("nook.top-off", "--as-proposed", "--part"),
    ):
        assert at_house("tick", *words).status == 1
    assert len(entries(at_house)) == count


def test_a_part_of_a_reservoir_is_written_down(at_house: Type) -> None:
    """Not until full; what is proposed falls by it."""
    at_house("log", "reservoir", "--tank", "Skerry", "--fill", "25", "--at", "2026-02-26T08:00")
    before = items_of(at_house("round", "--json", now="2026-03-05T08:00"))
    whole = before["skerry.fill-the-reservoir"]["amount"]["value"]

    said = ("log", "reservoir", "--tank", "Skerry", "--part", "12")
    answer = at_house(*said, now="2026-03-05T08:00")

    assert (answer.status, answer.err) == (0, "")
    after = items_of(at_house("round", "--json", now="2026-03-05T08:00"))
    # Nobody knows its loss yet, so the litres are told in tens.
    assert after["skerry.fill-the-reservoir"]["amount"]["value"] <= whole - 10
    assert at_house("log", "reservoir", "--tank", "Skerry", "--part", "200").status == 1
    assert at_house("log", "reservoir", "--tank", "Nook", "--part", "2").status == 1


def test_what_was_put_off_can_be_brought_back_to_today(at_house: Type) -> None:
    """As in the window; a second time there is nothing to bring back.

    Either way the line says which it was, and ends with the id of the entry; so does the undo.
    """
    there = at_house("put-off", "skerry.change-water", "--to", "thu")
    assert there.status == 0
    assert plain(there.out).startswith("Put off to 5 March: Change water (Skerry). Entry ")
    back = at_house("put-off", "skerry.change-water", "--to", "today")
    assert back.status == 0
    assert plain(back.out).startswith("Brought forward to 2 March: Change water (Skerry). Entry ")
    undone = plain(at_house("undo").out)
    assert "put off" not in undone.casefold()
    assert undone.startswith("Taken back: Change water (brought forward to 2 March)")
    assert at_house("redo").status == 0
    row = items_of(at_house("round", "--json"))["skerry.change-water"]
    assert row["target"] == "2026-03-02"
    assert at_house("put-off", "skerry.change-water", "--to", "today").status == 1


def test_a_turn_before_its_window_is_refused(at_house: Type) -> None:
    """Tomorrow's feeding is none of today; what is given beside the plan is logged."""
    coming = at_house("ahead", "--to", "2026-03-03", "--json").document["items"]
    assert "nook.feed@2026-03-03T0700" in [item["id"] for item in coming]
    count = len(entries(at_house))

    for at in ((), ("--at", "yesterday")):
        answer = at_house("tick", "nook.wipe-the-glass", "nook.feed@2026-03-03T0700", *at)
        assert (answer.status, answer.out) == (1, "")
        assert answer.err.strip().endswith(
            "Feed of Tue 3 can be done from that day on; "
            "an extra one is written down with tankkeeper tick nook.feed."
        )
    assert len(entries(at_house)) == count


def test_a_tick_before_the_window_names_the_turn_that_stays(at_house: Type) -> None:
    """The first evening was done on its day; said of it once more it is beside the turns."""
    later = "2026-03-03T19:00"
    at_house("tick", "nook.feed", now="2026-03-02T18:30")
    feed = items_of(at_house("round", "--json", now=later))["nook.feed"]["id"]
    assert feed == "nook.feed@2026-03-03T1800"

    answer = at_house("tick", feed, "--at", "2026-03-02T19:00", "--note", "more", now=later)

    assert answer.status == 0
    assert "Kept beside its turns. That of today is still to do." in answer.out
