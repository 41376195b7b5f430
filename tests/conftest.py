"""Settings that every test shares."""

import os

from hypothesis import settings

# The same examples in every run, so that a run says something of the change and not of luck;
# `HYPOTHESIS_PROFILE=search` looks for new ones. No deadlines: machines are shared.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
