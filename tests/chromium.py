"""Debian's Chromium, as every test and benchmark starts it. Playwright's own browser is never fetched."""

from __future__ import annotations

import shutil
from typing import Final

__all__ = ["FLAGS", "chromium_program"]

# Playwright's own list, because the last switch of a name counts, and two more: the address bar's suggestions are pages of their
# own, which every new tab starts, though no test sees them. They cost a second of processor time each.
_SWITCHED_OFF: Final = [
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsUpgrades",
    "HttpsFirstBalancedModeAutoEnable",
    "LensOverlay",
    "MediaRouter",
    "PaintHolding",
    "ThirdPartyStoragePartitioning",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "OptimizationHints",
    "NetworkTimeServiceQuerying",
    "AimEnabled",
    "PreconnectToSearch",
    "WebUIOmniboxPopup",
    "WebUIOmniboxAimPopup",
]
FLAGS: Final = [
    f"--disable-features={','.join(_SWITCHED_OFF)}",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium_program() -> str:
    """Where it is installed."""
    program = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
    assert program is not None, "Chromium is needed: apt-get install chromium"
    return program
