"""Set-up for all tests."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import settings

CACHE = Path(__file__).parents[1] / ".pytest_cache" / "compiled"
os.environ.setdefault("FIELDSIM_CACHE", str(CACHE))
os.environ.setdefault("MPLBACKEND", "agg")

settings.register_profile("untimed", deadline=None)  # a busy machine is no fault of the code
settings.load_profile("untimed")
