"""Looks at data and pages as somebody who knows the trade: what is in shape and fits together, and still cannot be meant so.

Everything here is a warning with a place and a remedy; nothing stops a build. A rule that rests on no source says so, and each is quiet
where it does not know. An author who means it so accepts the warning at its place, with a reason.
"""

from build_hooks.trade.accepted import without_accepted
from build_hooks.trade.judge import trade_warnings

__all__ = ["trade_warnings", "without_accepted"]
