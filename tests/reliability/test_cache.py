"""Compiled code is kept on disk where that is possible, and everything runs where it is not."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ASK = """
import numpy as np
from fieldsim.work import sums, settle
from fieldsim.days.weather.generator_loop import walk
from fieldsim.compiling import compiled_and_kept
import tests.reliability.compiled_example as example
print(example.doubled(21))
"""
NO_FOLDER = """
from numba.core.caching import _CacheLocator
def refuse(self):
    raise OSError(13, "Permission denied")
_CacheLocator.ensure_cache_path = refuse
"""
DISK_FULL = """
from numba.core.caching import IndexDataCacheFile
def full(self, *args):
    raise OSError(28, "No space left on device")
IndexDataCacheFile.save = full
"""

EDITED = """
import fieldsim.compiling
fieldsim.compiling._stamps = lambda: (("another_module.py", 0.0, 1),)
"""


def run(code: str, cache: Path) -> subprocess.CompletedProcess[str]:
    environment = os.environ | {"NUMBA_CACHE_DIR": str(cache)}
    root = Path(__file__).parents[2]
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=root, env=environment
    )


@pytest.mark.parametrize("trouble", [NO_FOLDER, DISK_FULL], ids=["no folder", "disk full"])
def test_everything_runs_where_nothing_can_be_kept(trouble: str, tmp_path: Path) -> None:
    result = run(trouble + ASK, tmp_path)
    assert (result.stdout, result.returncode) == ("42\n", 0), result.stderr


def test_what_was_kept_is_used_and_damaged_files_are_done_without(tmp_path: Path) -> None:
    assert run(ASK, tmp_path).stdout == "42\n"
    kept = [path for path in tmp_path.rglob("*doubled*") if path.is_file()]
    assert {path.suffix for path in kept} == {".nbi", ".nbc"}
    before = {path: path.stat().st_mtime_ns for path in kept}
    assert run(ASK, tmp_path).stdout == "42\n"
    assert {path: path.stat().st_mtime_ns for path in kept} == before
    for path in kept:
        path.write_bytes(path.read_bytes()[:20])
    result = run(ASK, tmp_path)
    assert (result.stdout, result.returncode) == ("42\n", 0), result.stderr


def test_an_edit_of_any_source_makes_what_was_kept_stale(tmp_path: Path) -> None:
    assert run(ASK, tmp_path).stdout == "42\n"
    (index,) = tmp_path.rglob("*doubled*.nbi")
    before = index.stat().st_mtime_ns
    assert run(EDITED + ASK, tmp_path).stdout == "42\n"
    assert index.stat().st_mtime_ns > before
