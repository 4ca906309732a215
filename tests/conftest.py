"""How much the property tests try: the same few examples every time, or many new ones on request."""

from __future__ import annotations

import os

from hypothesis import settings

# The same examples on every run and every machine, so that a failure is a failure for everyone.
settings.register_profile("ci", max_examples=50, derandomize=True, deadline=None, database=None)
# HYPOTHESIS_PROFILE=long: new examples each time, for a search that may take an hour.
settings.register_profile("long", max_examples=2000, derandomize=False, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
