"""An invented household for the tests and pictures of the window; no real tank is meant."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout, QWidget

from tankkeeper.gui.frame import Frame
from tankkeeper.gui.icons import Icon, Icons
from tankkeeper.gui.marks import Mark
from tankkeeper.gui.palette import Role
from tankkeeper.gui.shortcuts import Command, key_caption
from tankkeeper.gui.widgets.labels import BodyLabel, TitleLabel
from tankkeeper.gui.widgets.quantity_field import QuantityField
from tankkeeper.gui.widgets.rail import TankCard, TankRail
from tankkeeper.gui.widgets.tank_picture import GaugeAt, Lid, Outline, SumpPicture, TankPicture
from tankkeeper.gui.widgets.view_bar import ViewWord
from tankkeeper.gui.widgets.why_panel import WhyAction, WhyCard, WhyPanel
from tests.gui.quantities import litres, worded

ICONS = Path(__file__).resolve().parents[2] / "resources" / "icons"
FONTS = Path(__file__).resolve().parents[2] / "resources" / "fonts"
NBSP = "\u00a0"

VIEWS = (
    ViewWord("round", "Round", Icon.ROUND),
    ViewWord("calendar", "Calendar", Icon.CALENDAR),
    ViewWord("water", "Water", Icon.WATER),
    ViewWord("readings", "Readings", Icon.READINGS),
    ViewWord("cupboard", "Cupboard", Icon.CUPBOARD),
    ViewWord("logbook", "Logbook", Icon.LOGBOOK),
    ViewWord("away", "Away", Icon.AWAY),
)

WHOLE_HOUSE = TankCard(None, "Whole house", "", None, 3, 6, "Whole house, 3 overdue, 6 due")

SKERRY = TankCard(
    "skerry",
    "Skerry",
    f"443{NBSP}L",
    TankPicture(
        width_cm=148,
        height_cm=55,
        water_cm=50,
        rock_share=0.2,
        sand_cm=3,
        sump=SumpPicture(80, 38, 23),
        reservoir_fill=0.6,
    ),
    1,
    3,
    "Skerry, 443 litres, 1 overdue, 3 due",
)

NOOK = TankCard(
    "nook",
    "Nook",
    f"74{NBSP}L",
    TankPicture(width_cm=60, height_cm=40, water_cm=36, rock_share=0.18, mm_down=12),
    1,
    0,
    "Nook, 74 litres, 12 millimetres below the fill mark, 1 overdue",
)

HOLM = TankCard(
    "holm",
    "Holm",
    f"52{NBSP}L",
    TankPicture(width_cm=50, height_cm=36, water_cm=33, lid=Lid.LID, lid_covers=0.8, mm_down=4),
    0,
    2,
    "Holm, 52 litres, 4 millimetres below the fill mark, 2 due",
)

THREE = (WHOLE_HOUSE, SKERRY, NOOK, HOLM)

STRAIT = TankCard(
    "strait",
    "Strait of long names",
    f"310{NBSP}L",
    TankPicture(
        width_cm=120,
        height_cm=60,
        water_cm=54,
        rock_share=0.25,
        sand_cm=4,
        sump=SumpPicture(60, 40, 24),
        mm_down=41,
        gauge_at=GaugeAt.SUMP,
        lid=Lid.MESH,
    ),
    12,
    13,
    "Strait of long names, 310 litres, sump 41 millimetres below the fill mark, 12 overdue, 13 due",
)

BOWL = TankCard(
    "bowl",
    "Bowl",
    f"18{NBSP}L",
    TankPicture(width_cm=34, height_cm=30, water_cm=25, outline=Outline.BOWL, sand_cm=2, mm_down=0),
    0,
    0,
    "Bowl, 18 litres, at the fill mark, nothing due",
)

WINTER = TankCard(
    "winter",
    "Winter",
    f"96{NBSP}L",
    TankPicture(width_cm=70, height_cm=40, water_cm=36, is_outline_only=True),
    0,
    0,
    "Winter, 96 litres, paused",
)

LONGEST_BY_HAND = TankCard(
    "long",
    "Long",
    f"500{NBSP}L",
    TankPicture(width_cm=180, height_cm=50, water_cm=45, rock_share=0.3, mm_down=8),
    0,
    1,
    "Long, 500 litres, 8 millimetres below the fill mark, 1 due",
)

MANY = (WHOLE_HOUSE, SKERRY, STRAIT, NOOK, HOLM, BOWL, WINTER, LONGEST_BY_HAND)

_KEYS = {command: key_caption(command) for command in Command}

OVERDUE_CHANGE = WhyCard(
    mark=Mark.OVERDUE,
    small="Skerry, 2 days overdue",
    title=f"Change water, 40{NBSP}L",
    reason=(
        "Last done on 24 February. This chore comes 14 days after it is done, so its latest day "
        f"was Tuesday. 40{NBSP}L is 9{NBSP}% of 443{NBSP}L and takes nitrate from 14 to about "
        f"13{NBSP}mg/\u2060L."
    ),
    numbers=(
        ("Water in the system", f"443 ± 15{NBSP}L"),
        ("Nitrate, read on Tuesday", f"14 ± 2{NBSP}mg/\u2060L"),
        ("Salt water in store", f"44{NBSP}L, ready"),
    ),
    last_times=(
        ("24 Feb", f"40{NBSP}L", "Jonas"),
        ("10 Feb", f"40{NBSP}L", "Jonas"),
        ("28 Jan", f"38{NBSP}L", "Ilse"),
        ("13 Jan", f"40{NBSP}L", "Jonas"),
        ("30 Dec", f"40{NBSP}L", "Jonas"),
    ),
    caution=(
        "Unplug the heater and the return pump before the level falls. A heater out of water can "
        f"crack. A full bucket weighs about 11{NBSP}kg."
    ),
    actions=(
        WhyAction("Tick", _KEYS[Command.TICK], "tick", is_primary=True),
        WhyAction("Put off", _KEYS[Command.PUT_OFF], "put-off"),
        WhyAction("Skip", _KEYS[Command.SKIP], "skip"),
    ),
)

REFUSED_MOVE = WhyCard(
    mark=Mark.DUE,
    small="Nook, today",
    title="Top off",
    reason=f"At 0.95{NBSP}L a day about 2.7{NBSP}L has evaporated since Monday at 11:10.",
    numbers=(
        ("Loss a day", f"0.95 ± 0.12{NBSP}L"),
        ("Learned from", "9 top-offs in 21 days, without two odd ones"),
    ),
    last_times=(("Mon 9 Mar", f"1.9{NBSP}L", "Ilse"), ("Sat 7 Mar", f"2.0{NBSP}L", "Mika")),
    refusal="Cannot stand on Friday 13. Its salt water is ready on Friday at 19:00.",
    caution="Pour slowly & away from the corals.",
    actions=(
        WhyAction("Tick", _KEYS[Command.TICK], "tick", is_primary=True),
        WhyAction("Put off to Sun 15", _KEYS[Command.PUT_OFF], "put-off"),
        WhyAction("Skip", _KEYS[Command.SKIP], "skip"),
        WhyAction("Pause", _KEYS[Command.PAUSE], "pause"),
    ),
)


def a_page() -> QWidget:
    """Return a page with a title, a sentence and a field."""
    page = QWidget()
    column = QVBoxLayout(page)
    column.setContentsMargins(24, 16, 24, 16)
    column.addWidget(TitleLabel("Thursday 12 March", parent=page))
    sentence = "3 overdue, 6 due, 1 can wait. 2 done, 1 skipped."
    column.addWidget(BodyLabel(sentence, ink=Role.INK_2, parent=page))
    good = QuantityField("Water taken out", "L", litres, worded, "12,5", page)
    bad = QuantityField("Water put in", "L", litres, worded, "350 cm", page)
    bad.check()
    column.addWidget(good)
    column.addWidget(bad)
    column.addStretch(1)
    return page


def a_frame(
    cards: tuple[TankCard, ...] = THREE,
    why: WhyCard | None = OVERDUE_CHANGE,
    household: str = "Harbour Street 4",
) -> Frame:
    """Return a window filled with the invented household."""
    panel = WhyPanel("Nothing is selected.")
    rail = TankRail()
    rail.set_cards(cards)
    frame = Frame(household, VIEWS, rail, panel, Icons(ICONS))
    frame.add_page("round", a_page())
    panel.show_card(why)
    frame.top.set_moments(("Thu 12 March, 07:04",))
    frame.top.set_people(("Ilse", "Jonas", "Mika"), "Ilse")
    frame.bottom.set_texts(
        "Backed up today at 04:00", "harbour.tankkeeper on this computer", "Next: Nook, feed, 18:00"
    )
    return frame
