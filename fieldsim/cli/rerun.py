"""``fieldsim rerun``: a result repeated from what it holds, and whether it comes out the same."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from fieldsim.cli.options import FAILED, plain_errors
from fieldsim.errors import Fault, InputError

if TYPE_CHECKING:
    import xarray as xr

    from fieldsim.farm import Farm

__all__ = ["differences", "repeated", "rerun"]

NEEDED = {  # attributes that a result is repeated from
    "farm": str,
    "farm_text": str,
    "farm_tables": str,
    "seed": int,
    "seasons": int,
    "fieldsim_version": str,
}
CARRIED = ("stopping",)  # said of a run, not computed by it
IDENTICAL = "identical"


@click.command()
@click.argument("result", metavar="OUTCOMES.nc", type=click.Path(path_type=Path))
@click.option(
    "--out", type=click.Path(path_type=Path), help="Write the repeated result into this folder."
)
@plain_errors
def rerun(result: Path, out: Path | None) -> None:
    """Repeat a result from its own file and say whether it is identical.

    Ends with status 0 if it is, with 1 if anything differs.
    """
    from fieldsim.cli.output import check_folder, write_results
    from fieldsim.cli.together import MARK, mixed
    from fieldsim.outcomes import read_outcomes

    if mixed(result):
        click.echo(
            f"Mind: files beside {result} may be of another run; see {MARK} there.", err=True
        )
    if out is not None:
        check_folder(out)
    stored = read_outcomes(result)
    farm, again = repeated(stored, str(result))
    found = differences(stored, again)
    if out is not None:
        write_results(farm, again, out)
    _print(stored, again, found)
    if out is not None:
        click.echo(f"Wrote the repeated result to {out}")
    if any(said != IDENTICAL for said in found.values()):
        sys.exit(FAILED)


def repeated(stored: xr.Dataset, file: str = "outcomes") -> tuple[Farm, xr.Dataset]:
    """Run a farm again as its outcomes say that it was run.

    Parameters
    ----------
    stored : xarray.Dataset
        Outcomes with their attributes, from `read_outcomes` or `simulate`.
    file : str
        What to call them in messages.

    Returns
    -------
    farm : Farm
        Read from the text that the outcomes hold.
    again : xarray.Dataset

    Raises
    ------
    InputError
        If the outcomes lack what they would be repeated from, were drawn from seasons of their
        own, or hold a farm that this version does not read.
    """
    from fieldsim.farm import parse_farm
    from fieldsim.simulation import simulate

    given = _given(stored, file)
    farm = parse_farm(given["farm_text"], given["farm_tables"], f"{file}: farm_text")
    again = simulate(
        farm,
        given["seasons"],
        given["seed"],
        replicates=given["replicates"],
        keep="summary" if given["keep"] == "summary" else "seasons",
    )
    carried = {name: stored.attrs[name] for name in CARRIED if name in stored.attrs}
    return farm, again.assign_attrs(carried)


def _given(stored: xr.Dataset, file: str) -> dict[str, Any]:
    """Return what a result is repeated from, each in its type; raise with every fault."""
    attrs = {str(name): _plain(of) for name, of in stored.attrs.items()}
    repair = "give a file that fieldsim run has written"
    faults = [
        Fault(file, name, "", "is missing" if name not in attrs else "is not what it was", repair)
        for name, kind in NEEDED.items()
        if not isinstance(attrs.get(name), kind)
    ]
    if attrs.get("draws") == "given":
        problem = "these seasons were changed by a program, which alone can draw them again"
        faults.append(Fault(file, "draws", "given", problem, repair))
    if not isinstance(attrs.get("replicates", 2), int):
        faults.append(Fault(file, "replicates", "", "is not what it was", repair))
    try:
        tables = json.loads(attrs.get("farm_tables", "{}"))
    except (ValueError, RecursionError, TypeError):
        tables = None
    if not isinstance(tables, dict) or not all(isinstance(text, str) for text in tables.values()):
        faults.append(Fault(file, "farm_tables", "", "are not tables", repair))
    if faults:
        raise InputError(dict.fromkeys(faults))
    return {"replicates": None, "keep": None} | attrs | {"farm_tables": tables}


def differences(stored: xr.Dataset, again: xr.Dataset) -> dict[str, str]:
    """Say of every variable and attribute whether it is identical, or what differs.

    Parameters
    ----------
    stored, again : xarray.Dataset

    Returns
    -------
    dict
        By name: ``identical``, or what differs. Attributes of the whole come last.

    Examples
    --------
    >>> import xarray as xr
    >>> first = xr.Dataset({"cost": ("year", [1.0, 2.0, 3.0], {"units": "$"})})
    >>> differences(first, first.copy(deep=True))
    {'cost': 'identical'}
    >>> differences(first, first.assign_attrs(seed=1))["attribute seed"]
    'None became 1'
    """
    found = {}
    for name in (*stored.variables, *(n for n in again.variables if n not in stored.variables)):
        if name not in again.variables:
            found[str(name)] = "not in the repeated result"
        elif name not in stored.variables:
            found[str(name)] = "only in the repeated result"
        else:
            found[str(name)] = _difference(stored[name], again[name])
    first, second = stored.attrs, again.attrs
    for name in (*first, *(n for n in second if n not in first)):
        if not _same({name: first.get(name)}, {name: second.get(name)}):
            said = f"{_short(first.get(name))} became {_short(second.get(name))}"
            found[f"attribute {name}"] = said
    return found


def _difference(before: xr.DataArray, after: xr.DataArray) -> str:
    """Say what differs between two variables of one name."""
    import numpy as np

    if before.dims != after.dims or before.shape != after.shape:
        sizes = [", ".join(f"{d} {n}" for d, n in of.sizes.items()) for of in (before, after)]
        return f"another shape: ({sizes[0]}) became ({sizes[1]})"
    if before.dtype.kind != after.dtype.kind:
        return f"another type: {before.dtype} became {after.dtype}"
    if not _same(before.attrs, after.attrs):
        return "its description differs"
    first, second = before.values, after.values
    nothing = before.isnull().values & after.isnull().values
    other = ~((first == second) | nothing)
    if not other.any():
        return IDENTICAL
    said = f"{other.sum():,} of {other.size:,} values differ"
    if first.dtype.kind == "f":
        with np.errstate(all="ignore"):
            largest = np.nanmax(np.abs(first - second)[other], initial=0.0)
        return f"{said}, by at most {largest:.3g} {before.attrs.get('units', '')}".rstrip()
    return said


def _plain(value: Any) -> Any:
    """Return an attribute as a number or text of Python's, if it is one."""
    return value.item() if getattr(value, "size", 0) == 1 else value


def _same(first: Mapping[Any, Any], second: Mapping[Any, Any]) -> bool:
    """Say whether attributes are equal, whatever a file may hold as such."""
    said = [repr({name: _plain(of) for name, of in attrs.items()}) for attrs in (first, second)]
    return said[0] == said[1]


def _short(value: object) -> str:
    text = repr(_plain(value))
    return text if len(text) <= 40 else f"{text[:37]}..."


def _print(stored: xr.Dataset, again: xr.Dataset, found: dict[str, str]) -> None:
    """Print what was repeated, each variable, and the verdict."""
    attrs = stored.attrs
    by, now = attrs["fieldsim_version"], again.attrs["fieldsim_version"]
    parts = f" in {attrs['replicates']} replicates" if "replicates" in attrs else ""
    click.echo(f"{attrs['farm']}: {attrs['seasons']:,} seasons{parts}, seed {attrs['seed']}")
    click.echo(f"written by fieldsim {by}, repeated by fieldsim {now}\n")
    width = max(map(len, found))
    for name, said in found.items():
        click.echo(f"  {name:<{width}}  {said}")
    count = sum(said != IDENTICAL for said in found.values())
    if not count:
        click.echo(f"\nIdentical: all {len(found)} variables, and all attributes.")
        return
    click.echo(f"\nNot identical: {count} of {len(found)} variables and attributes differ.")
    if by != now:
        click.echo(f"Another version may count otherwise; install fieldsim {by} to repeat it.")
