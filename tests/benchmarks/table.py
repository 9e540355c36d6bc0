"""Print the ratios of the benchmarks as a Markdown table: ``python -m tests.benchmarks.table``."""

from __future__ import annotations

import tests.conftest  # noqa: F401 - gives numba a cache that follows the kernel's sources
from tests.benchmarks.measure import (
    Measured,
    engine_against_bare_loop,
    engine_against_simpy,
    import_against_libraries,
    second_demo,
)


def row(measured: Measured) -> str:
    ratio, most = measured.ratio, measured.most
    if most < 0.1:  # so much faster that the other way round reads better
        found, wanted = f"1/{1 / ratio:.0f}", f"at most 1/{1 / most:.0f}"
    else:
        found, wanted = f"{ratio:.2f}", f"at most {most:g}"
    cells = (
        measured.what,
        f"{measured.seconds:.2f} s",
        measured.against,
        f"{measured.seconds_against:.2f} s",
        found,
        wanted,
    )
    return f"| {' | '.join(cells)} |"


def main() -> None:
    print("| what | time | against | time | ratio | wanted |")
    print("|---|---|---|---|---|---|")
    for measure in (
        engine_against_bare_loop,
        engine_against_simpy,
        import_against_libraries,
        second_demo,
    ):
        print(row(measure()), flush=True)


if __name__ == "__main__":
    main()
