"""Sizes of type and of the parts of the window follow from the base font."""

import pytest
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtWidgets import QApplication

from tankkeeper.gui.typography import (
    TypeRole,
    Weight,
    base_font,
    has_tabular_digits,
    interface_font,
    line_height,
    load_fonts,
    metrics_for,
    pixel_size,
    type_font,
)
from tests.gui.invented import FONTS


def _base(percent: int = 100) -> QFont:
    return base_font(QApplication.font(), percent)


def test_the_five_sizes_at_the_standard_font_are_those_of_the_design(qapp: QApplication) -> None:
    """Ratios 0.86, 1, 1.21, 1.57 and 2 of 14 px, with their line heights."""
    sizes = [pixel_size(_base(), role) for role in TypeRole]
    lines = [line_height(_base(), role) for role in TypeRole]

    assert sizes == [12, 14, 17, 22, 28]
    assert lines == [18, 21, 24, 28, 36]


@pytest.mark.parametrize("percent", [80, 100, 125, 150, 200])
def test_nothing_is_written_smaller_than_twelve_pixels(qapp: QApplication, percent: int) -> None:
    """The smallest type can still be read when the person chose a small base."""
    assert min(pixel_size(_base(percent), role) for role in TypeRole) >= 12


@pytest.mark.parametrize("role", TypeRole)
@pytest.mark.parametrize("weight", Weight)
def test_digits_stand_in_columns(qapp: QApplication, role: TypeRole, weight: Weight) -> None:
    """Ones and eights are equally wide in every size and weight."""
    font = type_font(_base(), role, weight)

    assert has_tabular_digits(font)


def test_a_font_that_somebody_enlarges_stays_as_it_is_for_others(qapp: QApplication) -> None:
    """The name of a band is a pixel larger; what is written in the same role elsewhere is not."""
    font = type_font(_base(), TypeRole.CAPTION, Weight.SEMIBOLD)
    font.setPixelSize(40)

    assert type_font(_base(), TypeRole.CAPTION, Weight.SEMIBOLD).pixelSize() == 12


def test_without_the_feature_the_shipped_digits_differ(qapp: QApplication) -> None:
    """Otherwise the check for tabular digits could not fail."""
    font = QFont("Inter")
    font.setPixelSize(14)

    assert not has_tabular_digits(font)


def test_a_system_font_with_tabular_digits_is_kept(qapp: QApplication) -> None:
    """The shipped font only steps in where digits would not stand in columns."""
    font = interface_font(QFont("DejaVu Sans"), 100, sorted(FONTS.glob("*.otf")))

    assert "Inter" not in font.families() or not QFont("DejaVu Sans").exactMatch()


def test_font_files_that_cannot_be_read_give_no_family(qapp: QApplication, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """A broken file leaves the system's font in place."""
    file = tmp_path / "broken.otf"
    file.write_bytes(b"no font")

    assert load_fonts([file]) is None


@pytest.mark.parametrize("percent", [100, 125, 150, 200])
def test_letters_fit_their_lines(qapp: QApplication, percent: int) -> None:
    """A line is at least as high as its letters, or they would be cut."""
    base = _base(percent)

    for role in TypeRole:
        assert line_height(base, role) >= QFontMetricsF(type_font(base, role)).height()


def test_every_measure_grows_with_the_font(qapp: QApplication) -> None:
    """At double the font, rows, bars and marks are double; the margins are not."""
    one, two = metrics_for(_base(), 2000, 1200), metrics_for(_base(200), 4000, 2400)

    for name in ("row_height", "top_bar", "bottom_line", "rail_width", "mark_row", "icon"):
        assert getattr(two, name) == 2 * getattr(one, name), name
    assert two.margin == one.margin


@pytest.mark.parametrize(
    ("percent", "width", "rail", "why", "is_drawer", "is_narrow"),
    [
        (100, 1440, 216, 296, False, False),
        (100, 1400, 216, 296, False, False),
        (100, 1399, 196, 256, False, False),
        (100, 1280, 196, 256, False, False),
        (100, 1200, 196, 256, False, False),
        (100, 1199, 196, 296, True, False),
        (100, 1000, 196, 296, True, False),
        (100, 999, 148, 296, True, True),
        (150, 1440, 324, 444, True, False),
        (200, 1280, 296, 592, True, True),
    ],
)
def test_the_sides_step_with_the_width(
    qapp: QApplication,
    percent: int,
    width: int,
    rail: int,
    why: int,
    is_drawer: bool,
    is_narrow: bool,
) -> None:
    """Under 1400 narrower sides, under 1200 a drawer, under 1000 names only; large type earlier."""
    sizes = metrics_for(_base(percent), width, 900)

    assert (sizes.rail_width, sizes.why_width) == (rail, why)
    assert (sizes.why_is_drawer, sizes.rail_is_narrow) == (is_drawer, is_narrow)
