"""Ids made from names."""

import re

from hypothesis import given
from hypothesis import strategies as st

from tankkeeper.core.ids import chore_slug, slug, tank_slug


def test_an_id_is_the_plain_words_of_a_name() -> None:
    """Lower-case ASCII words joined by a hyphen; marks fall off letters (Unicode NFKD)."""
    assert slug("  Living  Room, East ", ()) == "living-room-east"
    assert slug("Tomás", ()) == "tomas"
    assert slug("Sjø & Straße", ()) == "sjo-strasse"


def test_a_name_without_plain_letters_takes_the_word_of_its_kind() -> None:
    """Names in any script get an id that can be typed."""
    assert slug("水槽", (), "tank") == "tank"
    assert slug("水族", {"tank"}, "tank") == "tank-2"


def test_a_taken_id_gets_the_next_free_number() -> None:
    """Ids do not clash."""
    assert slug("Salt", {"salt", "salt-2"}) == "salt-3"


def test_chores_carry_the_id_of_their_tank_or_of_the_house() -> None:
    """A chore's id begins with its tank's, or with "house", which no tank may take."""
    assert chore_slug("lagoon", "Top off", ()) == "lagoon.top-off"
    assert chore_slug(None, "Mix salt", {"house.mix-salt"}) == "house.mix-salt-2"
    assert tank_slug("House", ()) == "tank-house"


@given(st.text(), st.sets(st.text(max_size=5)))
def test_any_name_gives_a_short_free_plain_id(name: str, taken: set[str]) -> None:
    """Whatever the name, the id is short, plain, free and the same in every run."""
    found = slug(name, taken, "room")
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", found)
    assert found not in taken
    assert len(found) < 80
    assert slug(name, taken, "room") == found
