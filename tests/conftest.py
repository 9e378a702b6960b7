"""Settings of all tests."""

import os

from hypothesis import settings

# Where CI is set the examples are the same at every run, so that a change is judged by what it
# changed; everywhere else they are new each time and find what nobody thought of.
settings.register_profile("ci", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("ci")
