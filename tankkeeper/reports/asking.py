"""The question about a value that can be, but is unlike the usual; it is kept if confirmed."""

from __future__ import annotations

from tankkeeper.core.parameters import Parameter
from tankkeeper.reports.words import Words

# Common practice, no source: nobody pours in three times what is missing.
_FAR_MORE = 3.0


def unusual_litres(proposed_l: float, typed_l: float, words: Words) -> str:
    """Return what is asked about litres poured in, an empty text when they are near the proposal.

    A litre more is no slip, however little was proposed.
    """
    if typed_l <= max(_FAR_MORE * proposed_l, proposed_l + 1.0):
        return ""
    typed, proposed = words.litres(typed_l), words.litres(proposed_l)
    return f"{typed} is far more than the {proposed} proposed. Keep it if so much was poured in."


def unusual_grams(stated_g: float, typed_g: float, words: Words) -> str:
    """Return what is asked about grams dosed, an empty text when they are near what is stated."""
    if typed_g <= _FAR_MORE * stated_g:
        return ""
    typed, stated = words.grams(typed_g), words.grams(stated_g)
    return f"{typed} is far more than the {stated} stated. Keep it if so much was dosed."


def unusual_words(parameter: Parameter, value: float, words: Words) -> str:
    """Return what is asked about a value in the stored unit, an empty text when it is usual."""
    limits = parameter.limits
    low, high = limits.usual_low, limits.usual_high
    is_low = low is not None and value < low
    is_high = high is not None and value > high
    if not (is_low or is_high):
        return ""
    shown = words.parameter(parameter.name, value)
    ends = [words.parameter(parameter.name, end) for end in (low, high) if end is not None]
    usual = f"{ends[0]} to {ends[1]}" if len(ends) == 2 else ends[0]
    return f"{parameter.display} {shown} is unlike the usual {usual}. Keep it if it was read so."
