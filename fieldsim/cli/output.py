"""Writing results: everything is written beside and moved into place when it is whole."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pandas as pd
import xarray as xr

from fieldsim.cli.together import write_together
from fieldsim.decisions import compare, leads
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.outcomes import write_outcomes
from fieldsim.report import make_figures, write_handout, write_report
from fieldsim.writing import write_csv

__all__ = ["check_folder", "write_results"]

DPI = 130


def check_folder(out: Path) -> None:
    """Raise unless results can be written into the folder, before any work is done.

    Raises
    ------
    InputError
        If `out` is a file, or neither it nor its nearest folder above can be written to.
    """
    above = out
    try:
        while not above.exists():
            above = above.parent
        if above.is_dir():
            with tempfile.TemporaryFile(dir=above):
                return
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        reason = getattr(error, "strerror", None) or error
        problem = f"nothing can be written to {above} ({reason})"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")]) from None
    problem = f"{above} is a file, not a folder"
    raise InputError([Fault("", "--out", str(out), problem, "name another folder")])


def write_results(
    farm: Farm, outcomes: xr.Dataset, out: Path, moved: pd.DataFrame | None = None
) -> list[Path]:
    """Write comparison.csv, outcomes.nc, figures/*.png, report.html and handout.pdf into a folder.

    Each file replaces an older one of its name only when all of them are written.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
    out : Path
    moved : pandas.DataFrame, optional
        From `leads`; default: it is worked out.

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    return write_together(out, lambda folder: _write(farm, outcomes, folder, moved))


def _write(farm: Farm, outcomes: xr.Dataset, folder: Path, moved: pd.DataFrame | None) -> None:
    hangs_on = leads(farm, outcomes) if moved is None else moved
    write_csv(compare(outcomes), folder / "comparison.csv")
    write_outcomes(outcomes, folder / "outcomes.nc")
    figures = make_figures(farm, outcomes)
    (folder / "figures").mkdir()
    for name, figure in figures.items():
        figure.savefig(folder / "figures" / f"{name}.png", dpi=DPI)
    write_report(farm, outcomes, figures, folder / "report.html", hangs_on)
    write_handout(farm, outcomes, folder / "handout.pdf", hangs_on)
