"""Compiled code is kept on disk where that is possible, and everything runs where it is not."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ASK = """
import sys
import numpy as np
from tests.reliability.compiled_example import double
numbers = np.array([21.0])
double(numbers)
print(numbers[0], "numba" in sys.modules)
"""
NO_FOLDER = """
from pathlib import Path
def refuse(self, *args, **kwargs):
    raise OSError(13, "Permission denied")
Path.mkdir = Path.write_bytes = Path.read_bytes = refuse
"""
DISK_FULL = """
from pathlib import Path
def full(self, *args):
    raise OSError(28, "No space left on device")
Path.write_bytes = full
"""
NO_HOME = """
from pathlib import Path
def homeless():
    raise RuntimeError("Could not determine home directory.")
Path.home = homeless
"""
EDITED = """
from fieldsim.compiled import kept
kept._sources = lambda own: ("another_module.py", 0.0, 1)
"""
OTHER_PROCESSOR = """
from fieldsim.compiled import kept
kept._processor = lambda: ("unknown", "an older one", "")
"""
MADE, FOUND = "42.0 True\n", "42.0 False\n"  # numba is loaded where code is made, else not


def run(code: str, cache: Path | None) -> subprocess.CompletedProcess[str]:
    environment = dict(os.environ)
    environment.pop("FIELDSIM_CACHE", None)
    if cache is not None:
        environment["FIELDSIM_CACHE"] = str(cache)
    root = Path(__file__).parents[2]
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=root, env=environment
    )


@pytest.mark.parametrize("trouble", [NO_FOLDER, DISK_FULL], ids=["no folder", "disk full"])
def test_everything_runs_where_nothing_can_be_kept(trouble: str, tmp_path: Path) -> None:
    result = run(trouble + ASK, tmp_path)
    assert (result.stdout, result.returncode) == (MADE, 0), result.stderr


def test_everything_runs_without_a_home_or_a_folder_beside_the_sources() -> None:
    result = run(NO_FOLDER + NO_HOME + ASK, None)
    assert (result.stdout, result.returncode) == (MADE, 0), result.stderr


def test_what_was_kept_is_used_without_numba(tmp_path: Path) -> None:
    assert run(ASK, tmp_path).stdout == MADE
    (kept,) = tmp_path.iterdir()
    before = kept.stat().st_mtime_ns
    assert run(ASK, tmp_path).stdout == FOUND
    assert kept.stat().st_mtime_ns == before


@pytest.mark.parametrize("left", [0, 10, 32, 100, -1], ids="{} bytes left".format)
def test_damaged_code_is_made_anew(left: int, tmp_path: Path) -> None:
    assert run(ASK, tmp_path).stdout == MADE
    (kept,) = tmp_path.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole[:left])
    result = run(ASK, tmp_path)
    assert (result.stdout, result.returncode) == (MADE, 0), result.stderr
    assert run(ASK, tmp_path).stdout == FOUND
    turned = bytearray(kept.read_bytes())
    turned[len(turned) // 2] ^= 1
    kept.write_bytes(turned)
    assert run(ASK, tmp_path).stdout == MADE


@pytest.mark.parametrize("other", [EDITED, OTHER_PROCESSOR], ids=["sources", "processor"])
def test_code_for_another_state_of_things_is_not_used(other: str, tmp_path: Path) -> None:
    assert run(ASK, tmp_path).stdout == MADE
    assert run(other + ASK, tmp_path).stdout == MADE
    assert run(other + ASK, tmp_path).stdout == FOUND


EXAMPLE = """
from fieldsim.compiled import compiled

@compiled
def raise_by(numbers):
    for i in range(numbers.size):
        numbers[i] += {}
"""
ASK_EXAMPLE = """
import sys
sys.path.insert(0, {folder!r})
import numpy as np
from example import raise_by
numbers = np.array([20.0])
raise_by(numbers)
print(numbers[0], "numba" in sys.modules)
"""


def test_code_of_a_function_that_was_edited_is_not_used(tmp_path: Path) -> None:
    ask, cache = ASK_EXAMPLE.format(folder=str(tmp_path)), tmp_path / "cache"
    (tmp_path / "example.py").write_text(EXAMPLE.format(22.0))
    assert run(ask, cache).stdout == MADE
    assert run(ask, cache).stdout == FOUND
    (tmp_path / "example.py").write_text(EXAMPLE.format(-20.75))
    assert run(ask, cache).stdout == "-0.75 True\n"


def test_code_of_a_function_without_a_file_is_not_kept(tmp_path: Path) -> None:
    made = EXAMPLE.format(22.0) + "import numpy as np\nraise_by(np.zeros(1))\nprint('done')"
    assert run(made, tmp_path).stdout == "done\n"
    assert list(tmp_path.iterdir()) == []
