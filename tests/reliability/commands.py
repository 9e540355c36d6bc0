"""The command line as it is called, within this process or as one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fieldsim.cli import main

ROOT = Path(__file__).parents[2]
NIGHTLY = bool(os.environ.get("FIELDSIM_NIGHTLY"))
SLOW = NIGHTLY or bool(os.environ.get("CI"))
slow = pytest.mark.skipif(not SLOW, reason="slow: runs where CI or FIELDSIM_NIGHTLY is set")


def call(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def start(*words: object, code: str = "", **environment: str) -> subprocess.Popen[str]:
    """Start fieldsim as a process of its own, after a line of code that makes trouble."""
    given = [str(word) for word in words]
    script = f"{code}\nfrom fieldsim.cli import main\nmain({given!r})"
    return subprocess.Popen(
        [sys.executable, "-c", script],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        stdin=subprocess.DEVNULL,
        text=True,
        errors="replace",
        cwd=ROOT,
        env=os.environ | environment,
    )
