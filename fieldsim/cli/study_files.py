"""Writing the tables and figures of a study, all of them or none."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pandas as pd
from matplotlib.figure import Figure

from fieldsim.cli.output import DPI
from fieldsim.cli.together import write_together
from fieldsim.writing import write_csv

__all__ = ["write_files"]


def write_files(
    out: Path,
    tables: Mapping[str, pd.DataFrame],
    figures: Mapping[str, Figure],
    texts: Mapping[str, str] | None = None,
) -> list[Path]:
    """Write tables as CSV and figures as PNG into a folder, which is made if it is not there.

    Parameters
    ----------
    out : Path
    tables, figures : mapping
        By the name of the file, without its ending. Indexes are not written.
    texts : mapping, optional
        Other files, by their whole name.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    texts = texts or {}
    names = [*(f"{name}.csv" for name in tables), *(f"{name}.png" for name in figures), *texts]

    def write(folder: Path) -> None:
        for name, table in tables.items():
            write_csv(table, folder / f"{name}.csv", index=False)
        for name, figure in figures.items():
            figure.savefig(folder / f"{name}.png", dpi=DPI)
        for name, text in texts.items():
            (folder / name).write_text(text, encoding="utf-8", newline="\n")

    write_together(out, write)
    return [out / name for name in names]
