"""Writing the tables and figures of a study, each file whole."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pandas as pd
from matplotlib.figure import Figure

from fieldsim.cli.output import DPI
from fieldsim.errors import Fault, InputError
from fieldsim.writing import write_csv, written_whole

__all__ = ["write_files"]


def write_files(
    out: Path, tables: Mapping[str, pd.DataFrame], figures: Mapping[str, Figure]
) -> list[Path]:
    """Write tables as CSV and figures as PNG into a folder, which is made if it is not there.

    Parameters
    ----------
    out : Path
    tables, figures : mapping
        By the name of the file, without its ending.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    written = []
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, table in tables.items():
            written.append(out / f"{name}.csv")
            write_csv(table, written[-1], index=False)
        for name, figure in figures.items():
            written.append(out / f"{name}.png")
            with written_whole(written[-1]) as beside:
                figure.savefig(beside, dpi=DPI, format="png")
    except OSError as error:
        problem = f"the results could not be written ({error.strerror or error})"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")]) from None
    return written
