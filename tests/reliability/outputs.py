"""Write the tables and a digest of the outcomes of farms of every kind, to hold versions together.

``python -m tests.reliability.outputs FOLDER`` in two environments must write the same bytes:
``.ci/versions`` does so for every Python and for the least and newest versions of all that
fieldsim needs. Each farm is run on one thread and on two, and read back from its netCDF file.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
import tempfile
from pathlib import Path

import numpy as np
import xarray as xr
from click.testing import CliRunner

import fieldsim
from fieldsim.cli import main
from fieldsim.demo import demo_folder
from tests.reliability.corpus import CASES
from tests.weather import records_text

SEASONS = 300
QUESTIONS = {  # of the demo farm
    "compare": "compare farm.toml --seasons 600 --wealth 500000",
    "days": "days farm.toml --seasons 600",
    "size": "size farm.toml --seasons 60",
    "sizes": "sizes farm.toml --seasons 60 --areas 300,900",
    "breakeven": "breakeven farm.toml --seasons 60 --over area --over price",
    "sensitivity": "sensitivity farm.toml --seasons 60 --global --samples 16",
    "invest": "invest farm.toml --from six_rows --to eight_rows --seasons 600 --futures 200",
}


def digest(outcomes: xr.Dataset) -> str:
    """Return a line for each variable and attribute: its name, type, shape and a hash of it."""
    lines = []
    for name, variable in sorted(outcomes.variables.items(), key=lambda item: str(item[0])):
        values = variable.values
        plain = values.dtype.kind in "biufmM"
        said = values.tobytes() if plain else repr(values.astype(str).tolist()).encode()
        lines.append(f"{name} {values.dtype if plain else 'text'} {variable.sizes} {_hash(said)}")
        lines += [f"  {key} = {value!r}" for key, value in sorted(variable.attrs.items())]
    for key, value in sorted(outcomes.attrs.items()):
        lines.append(f"{key} = {_hash(repr(np.asarray(value).tolist()).encode())}")
    return "\n".join(lines) + "\n"


def _hash(said: bytes) -> str:
    return hashlib.sha256(said).hexdigest()[:16]


def run_farm(name: str, folder: Path) -> None:
    """Write a farm's outcomes and tables, equal on one thread and on two and from their file."""
    farm = fieldsim.parse_farm(CASES[name].text, CASES[name].tables)
    one, two = (fieldsim.simulate(farm, SEASONS, 1, threads=threads) for threads in (1, 2))
    if digest(one) != digest(two):
        raise SystemExit(f"{name}: one thread and two give different outcomes")
    with tempfile.TemporaryDirectory() as held:
        fieldsim.write_outcomes(one, f"{held}/outcomes.nc")
        again = fieldsim.read_outcomes(f"{held}/outcomes.nc")
    if digest(again) != digest(one):
        raise SystemExit(f"{name}: its netCDF file does not give back what was written")
    (folder / f"{name}.outcomes.txt").write_text(digest(one), encoding="utf-8")
    summary = fieldsim.simulate(farm, SEASONS, 1, keep="summary")
    (folder / f"{name}.summary.txt").write_text(digest(summary), encoding="utf-8")
    fieldsim.compare(one).to_csv(folder / f"{name}.comparison.csv")
    fieldsim.finish_dates(one).to_csv(folder / f"{name}.finish_dates.csv")


def ask(name: str, words: list[str], folder: Path) -> None:
    """Ask a question on the command line and keep the tables it writes."""
    with tempfile.TemporaryDirectory() as held:
        out = "out.csv" if words[0] == "fit" else "out"
        result = CliRunner().invoke(main, [*words, "--out", f"{held}/{out}"])
        if result.exit_code != 0:
            raise SystemExit(f"{' '.join(words)}\n{result.output}")
        tables = sorted(Path(held).rglob("*.csv"))
        if not tables:
            raise SystemExit(f"{' '.join(words)}: wrote no table")
        for table in tables:
            (folder / f"{name}.{table.stem}.csv").write_bytes(table.read_bytes())


def write_outputs(folder: Path) -> None:
    """Write all that must be the same everywhere into a folder."""
    folder = folder.resolve()
    folder.mkdir(parents=True)
    for name in CASES:
        run_farm(name, folder)
    with tempfile.TemporaryDirectory() as held:
        shutil.copytree(demo_folder(), held, dirs_exist_ok=True)
        Path(held, "records.csv").write_text(records_text(), encoding="utf-8")
        os.chdir(held)  # a fitted table names the file that it is from
        for name, words in QUESTIONS.items():
            ask(name, words.split(), folder)
        ask("fit_weekly", ["fit", "records.csv"], folder)
        chain = ["--kind", "daily_chain", "--persistence", "0.8"]
        ask("fit_chain", ["fit", "records.csv", *chain], folder)
        os.chdir(folder)


if __name__ == "__main__":
    write_outputs(Path(sys.argv[1]))
    print(f"{len(list(Path(sys.argv[1]).iterdir()))} outputs by {fieldsim.__file__}")
