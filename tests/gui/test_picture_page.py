"""All pictures stand on one page of the project."""

from tests.gui.picture_page import PAGE, baselines, page


def test_the_page_shows_every_picture_there_is() -> None:
    """`python -m tests.gui.picture_page` writes it anew."""
    written = PAGE.read_text(encoding="utf-8")

    assert written == page(baselines())
    assert all(f'alt="{file.stem}"' in written for file in baselines())
