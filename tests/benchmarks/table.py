"""Print the ratios of the benchmarks as a Markdown table: ``python -m tests.benchmarks.table``."""

from __future__ import annotations

import os

import tests.conftest  # noqa: F401 - keeps compiled code where the tests do
from tests.benchmarks.measure import commands, engine, weather


def load() -> str:
    """What else the machine is at, where the system tells."""
    return f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "unknown"


def main() -> None:
    before = load()
    print("| what | time | against | time | ratio | goal |")
    print("|---|---|---|---|---|---|")
    for rows in (engine, weather, commands):
        for measured in rows():
            print(f"| {' | '.join(measured.cells())} |", flush=True)
    print(f"\n{os.cpu_count()} cores; load of the machine when this began: {before}")


if __name__ == "__main__":
    main()
