"""How far the salinity of a tank that nobody tops off is reckoned, and what lies beyond."""

from __future__ import annotations

from tankkeeper.core.balance import LARGEST_SHARE_LOST
from tankkeeper.core.estimate import Estimate


def most_lost_l(net_l: float) -> float:
    """Return the litres that may be gone for the balance of salt to be reckoned: below a fifth."""
    return LARGEST_SHARE_LOST * net_l * 0.999


def may_be_beyond(gone: Estimate | None, net: Estimate | None) -> bool:
    """Tell whether more may be gone than the salinity is reckoned with: its upper end is open."""
    return gone is not None and net is not None and is_beyond(gone.high, net)


def is_beyond(gone_l: float, net: Estimate) -> bool:
    """Tell whether so much is gone that the salinity is reckoned no further, and may be higher."""
    return gone_l >= most_lost_l(net.value)
