"""Set-up for all tests."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from hypothesis import settings

# Numba's cache of compiled code does not see changes in the modules that a function calls, so each
# state of the kernel's sources gets a cache of its own.
ROOT = Path(__file__).parents[1]
sources = b"".join(path.read_bytes() for path in sorted((ROOT / "fieldsim/work").glob("*.py")))
digest = hashlib.sha256(sources).hexdigest()[:16]
os.environ.setdefault("NUMBA_CACHE_DIR", str(ROOT / ".pytest_cache" / f"numba-{digest}"))
os.environ.setdefault("MPLBACKEND", "agg")

settings.register_profile("untimed", deadline=None)  # a busy machine is no fault of the code
settings.load_profile("untimed")
