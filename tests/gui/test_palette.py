"""The colours keep the contrast that WCAG 2.2 asks for, in every scheme."""

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.palette import (
    PAIRS,
    QT_ROLE,
    ContrastChoice,
    Role,
    Scheme,
    SchemeChoice,
    SchemeKeeper,
    colours,
    colours_of,
    contrast,
    qt_palette,
)
from tankkeeper.gui.widgets.labels import PlainLabel


@pytest.mark.parametrize(
    ("front", "under", "ratio"),
    [
        # WCAG 2.2 (W3C, 2023), definition of contrast ratio: it runs from 1 to 21.
        ("#000000", "#FFFFFF", 21.0),
        ("#808080", "#808080", 1.0),
        # W3C, Understanding success criterion 1.4.3 (Contrast, minimum): #777777 on white has
        # 4.47 : 1 and does not pass. From memory.
        ("#777777", "#FFFFFF", 4.478),
        # The lightest neutral grey that passes on white, from memory.
        ("#767676", "#FFFFFF", 4.542),
        # The pure primaries on white: luminances 0.2126 and 0.0722 by the definition itself.
        ("#FF0000", "#FFFFFF", 1.05 / 0.2626),
        ("#0000FF", "#FFFFFF", 1.05 / 0.1222),
    ],
)
def test_contrast_is_that_of_the_guidelines(front: str, under: str, ratio: float) -> None:
    """The contrast ratio follows WCAG 2.2, whichever colour is named first."""
    assert contrast(QColor(front), QColor(under)) == pytest.approx(ratio, abs=0.001)
    assert contrast(QColor(under), QColor(front)) == pytest.approx(ratio, abs=0.001)


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.front} on {pair.under}")
def test_every_pair_that_is_drawn_keeps_its_contrast(scheme: Scheme, pair: object) -> None:
    """Text 4.5 : 1 (criterion 1.4.3), marks and borders 3 : 1 (criterion 1.4.11)."""
    table = colours(scheme)
    front, under, at_least = pair  # type: ignore[misc]

    assert contrast(table[front], table[under]) >= at_least


@pytest.mark.parametrize("scheme", [Scheme.HIGH_CONTRAST, Scheme.HIGH_CONTRAST_DARK])
@pytest.mark.parametrize("role", [Role.INK, Role.INK_2, Role.INK_3, Role.SEA, Role.OVERDUE])
def test_high_contrast_keeps_seven_to_one(scheme: Scheme, role: Role) -> None:
    """A person who asks for high contrast gets that of WCAG 2.2, criterion 1.4.6."""
    table = colours(scheme)

    for sheet in (Role.SURFACE, Role.GROUND, Role.SEA_SOFT):
        assert contrast(table[role], table[sheet]) >= 7.0


@pytest.mark.parametrize("scheme", Scheme)
def test_every_text_of_a_standard_widget_can_be_read(scheme: Scheme) -> None:
    """Menus, tool tips, selections and disabled text pass 4.5 : 1, too."""
    palette = qt_palette(scheme)
    role = QPalette.ColorRole
    pairs = [
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.ButtonText, role.Button),
        (role.HighlightedText, role.Highlight),
        (role.ToolTipText, role.ToolTipBase),
        (role.PlaceholderText, role.Base),
        (role.Link, role.Base),
    ]

    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Disabled):
        for text, ground in pairs:
            ratio = contrast(palette.color(group, text), palette.color(group, ground))
            assert ratio >= 4.5, (group, text)


@pytest.mark.parametrize("scheme", Scheme)
def test_a_painter_finds_the_scheme_from_the_palette_of_its_widget(scheme: Scheme) -> None:
    """No global state is needed to know which colours to paint with."""
    assert colours_of(qt_palette(scheme)).scheme is scheme


@pytest.mark.parametrize(("ground", "scheme"), [("#202020", Scheme.DARK), ("#eee", Scheme.LIGHT)])
def test_a_foreign_palette_is_taken_for_the_nearest_scheme(ground: str, scheme: Scheme) -> None:
    """A palette that is not ours still gets readable colours."""
    assert colours_of(QPalette(QColor(ground))).scheme is scheme


def test_the_roles_of_a_palette_do_not_overwrite_each_other() -> None:
    """Two roles on one Qt role would paint a caution in the colour of something else."""
    palette = qt_palette(Scheme.LIGHT)

    assert len(set(QT_ROLE.values())) == len(QT_ROLE)
    for role, qt_role in QT_ROLE.items():
        assert palette.color(qt_role) == colours(Scheme.LIGHT)[role]


def test_the_chosen_scheme_wins_and_is_told(qapp: QApplication) -> None:
    """The offscreen platform says nothing about light and dark: then it is light until chosen."""
    before = qapp.palette()
    keeper = SchemeKeeper(qapp)
    told: list[Scheme] = []
    keeper.changed.connect(told.append)
    try:
        assert keeper.scheme is Scheme.LIGHT
        keeper.choose(SchemeChoice.DARK)
        assert qapp.palette().color(QPalette.ColorRole.Base) == colours(Scheme.DARK)[Role.SURFACE]
        keeper.choose(SchemeChoice.DARK)
        keeper.toggle()
        assert keeper.choice is SchemeChoice.LIGHT
        assert told == [Scheme.DARK, Scheme.LIGHT]
    finally:
        qapp.setPalette(before)
        keeper.deleteLater()


def test_high_contrast_is_chosen_whatever_the_system_says(qapp: QApplication) -> None:
    """It keeps light or dark, goes back to the usual, and holds where it was kept."""
    before = qapp.palette()
    keeper = SchemeKeeper(qapp, SchemeChoice.DARK)
    again = None
    try:
        keeper.toggle_contrast()
        assert keeper.scheme is Scheme.HIGH_CONTRAST_DARK
        keeper.toggle()
        assert keeper.scheme is Scheme.HIGH_CONTRAST
        again = SchemeKeeper(qapp, keeper.choice, keeper.contrast)
        assert again.scheme is Scheme.HIGH_CONTRAST
        again.toggle_contrast()
        assert again.scheme is Scheme.LIGHT
        assert again.contrast is ContrastChoice.USUAL
    finally:
        qapp.setPalette(before)
        keeper.deleteLater()
        if again is not None:
            again.deleteLater()


def test_a_shown_label_follows_the_scheme(qtbot, wear) -> None:  # type: ignore[no-untyped-def]
    """A colour is never kept from when a widget was made."""
    wear(Scheme.LIGHT, 100)
    label = PlainLabel("text", ink=Role.AMBER)
    qtbot.addWidget(label)
    label.show()

    for scheme in (Scheme.LIGHT, Scheme.DARK):
        wear(scheme, 100)
        ink = label.palette().color(label.foregroundRole())
        assert ink == colours(scheme)[Role.AMBER]
