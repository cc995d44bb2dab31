"""Options that only open the window are read by hand; the parser would read the same."""

from __future__ import annotations

import pytest

from tankkeeper.cli.arguments import parsed, parser

PLAIN = [
    [],
    ["--demo"],
    ["--demo", "--now", "2026-03-02T07:00:00"],
    ["--household", "a.tankkeeper", "--person", "Ada"],
    ["--household", "a.tankkeeper", "--snapshot", "b.png"],
    ["--go-to", "glass"],
]


@pytest.mark.parametrize("typed", PLAIN)
def test_plain_options_are_read_as_the_parser_reads_them(typed: list[str]) -> None:
    """Both ways give the same values under the same names."""
    assert vars(parsed(typed)) == vars(parser().parse_args(typed))


@pytest.mark.parametrize(
    "typed", [["--household"], ["--demo", "--household", "a"], ["--nonsense"], ["--now", "--demo"]]
)
def test_what_is_not_plain_is_left_to_the_parser(typed: list[str]) -> None:
    """It leaves with exit status 2."""
    with pytest.raises(SystemExit) as left:
        parsed(typed)
    assert left.value.code == 2
