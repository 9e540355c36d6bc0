"""Writing results: everything is written beside and moved into place when it is whole."""

from __future__ import annotations

import tempfile
from pathlib import Path

import xarray as xr

from fieldsim.decisions import compare
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.outcomes import write_outcomes
from fieldsim.report import make_figures, write_report

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
    while not above.exists():
        above = above.parent
    if not above.is_dir():
        problem = f"{above} is a file, not a folder"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")])
    try:
        with tempfile.TemporaryFile(dir=above):
            pass
    except OSError as error:
        problem = f"nothing can be written to {above} ({error.strerror})"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")]) from None


def write_results(farm: Farm, outcomes: xr.Dataset, out: Path) -> list[Path]:
    """Write comparison.csv, outcomes.nc, figures/*.png and report.html into a folder.

    Each file replaces an older one of its name only when all of them are written.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
    out : Path

    Returns
    -------
    list of Path
        What was written.

    Raises
    ------
    InputError
        If the disk does not take them.
    """
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=out.parent, prefix=f".{out.name}.") as scratch:
            beside = Path(scratch)
            _write(farm, outcomes, beside)
            names = sorted(p.relative_to(beside) for p in beside.rglob("*") if p.is_file())
            for name in names:
                (out / name).parent.mkdir(parents=True, exist_ok=True)
                (beside / name).replace(out / name)
    except OSError as error:
        problem = f"the results could not be written ({error.strerror or error})"
        raise InputError([Fault("", "--out", str(out), problem, "name another folder")]) from None
    return [out / name for name in names]


def _write(farm: Farm, outcomes: xr.Dataset, folder: Path) -> None:
    compare(outcomes).to_csv(folder / "comparison.csv", lineterminator="\n")
    write_outcomes(outcomes, folder / "outcomes.nc")
    figures = make_figures(farm, outcomes)
    (folder / "figures").mkdir()
    for name, figure in figures.items():
        figure.savefig(folder / "figures" / f"{name}.png", dpi=DPI)
    write_report(farm, outcomes, figures, folder / "report.html")
