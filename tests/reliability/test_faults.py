"""Disks, folders, signals and surroundings that go wrong: a message, and never half a result."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

import fieldsim
from fieldsim.cli import output
from fieldsim.cli.together import MARK
from fieldsim.writing import uninterrupted, written_whole
from tests.reliability.commands import ROOT, call, slow, start

FEW = ("--seasons", 10)
NOBODY = 65534
SMALL_FILES = """
import resource, signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, ({size}, {size}))
"""
RESULTS = {"comparison.csv", "outcomes.nc", "figures", "report.html", "handout.pdf"}


@contextmanager
def as_nobody() -> Iterator[None]:
    """Give up the rights of root, which can write everywhere.

    What is imported must have been before: nobody may not read it. The results see to that.
    """
    before = os.geteuid()
    if before == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(before)


def files(folder: Path) -> dict[str, bytes]:
    """Return every file below a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    out = tmp_path_factory.mktemp("results") / "out"
    assert call("demo", "--out", out, *FEW).exit_code == 0
    return files(out)


def put(results: dict[str, bytes], folder: Path) -> None:
    for name, content in results.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


@pytest.mark.parametrize(
    "size", [2_000, pytest.param(60_000, marks=slow), pytest.param(150_000, marks=slow)]
)
def test_a_disk_that_takes_no_more_leaves_the_old_results_whole(
    size: int, results: dict[str, bytes], tmp_path: Path
) -> None:
    out = tmp_path / "out"
    put(results, out)
    code = SMALL_FILES.format(size=size)
    _, said = (child := start("demo", "--out", out, "--seasons", 300, code=code)).communicate()
    assert child.returncode == 2, said
    assert "the results could not be written (File too large)" in said
    assert "Traceback" not in said
    assert files(out) == results


@slow
def test_a_full_disk_ends_with_a_message(tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=100k", "none", str(small)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("no small disk can be mounted here")
    try:
        child = start("demo", "--out", small / "out", *FEW)
        _, said = child.communicate()
        assert child.returncode == 2, said
        assert "the results could not be written (No space left on device)" in said
        assert list(small.iterdir()) == []
    finally:
        subprocess.run(["umount", str(small)], check=True)


def test_results_are_written_into_a_folder_on_another_disk(tmp_path: Path) -> None:
    if not (shm := Path("/dev/shm")).is_dir() or shm.stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("there is no other disk here")
    other = Path("/dev/shm") / f"fieldsim-{os.getpid()}"
    other.mkdir()
    try:
        (tmp_path / "out").symlink_to(other)
        assert call("demo", "--out", tmp_path / "out", *FEW).exit_code == 0
        assert {path.name for path in other.iterdir()} == RESULTS
    finally:
        shutil.rmtree(other)


@pytest.mark.usefixtures("results")
@pytest.mark.parametrize("command", [["demo"], ["compare", ROOT / "data/demo/farm.toml"]])
def test_a_folder_that_may_not_be_written_to_is_told_before_any_work(
    command: list[object], tmp_path: Path
) -> None:
    tmp_path.chmod(0o755)
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o555)
    with as_nobody():
        for out in (closed, closed / "out"):
            result = call(*command, "--out", out, "--seasons", 10**6)
            assert result.exit_code == 2
            assert "nothing can be written to" in result.output
    assert list(closed.iterdir()) == []


@pytest.mark.usefixtures("results")
def test_a_folder_that_may_not_be_looked_into_is_told(tmp_path: Path) -> None:
    hidden = tmp_path / "hidden"
    hidden.mkdir(mode=0o700)
    (hidden / "farm.toml").touch()
    with as_nobody():
        for words in (["demo", "--out", hidden / "out"], ["check", hidden / "farm.toml"]):
            result = call(*words)
            assert result.exit_code == 2
            assert "Permission denied" in result.output


@pytest.mark.usefixtures("results")
def test_only_the_folder_itself_has_to_be_open() -> None:
    with tempfile.TemporaryDirectory() as made:
        above = Path(made)
        out = above / "out"
        out.mkdir()
        out.chmod(0o777)
        above.chmod(0o555)
        with as_nobody():
            result = call("demo", "--out", out, *FEW)
        assert result.exit_code == 0, result.output
        assert {path.name for path in out.iterdir()} >= RESULTS
        above.chmod(0o755)


@pytest.mark.parametrize("removed", ["out", "."])
def test_a_folder_that_goes_away_meanwhile_is_told(
    removed: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "here" / "out"
    draw = output.make_figures

    def remove_and_draw(*given: object) -> object:
        shutil.rmtree(out.parent / removed)
        return draw(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(output, "make_figures", remove_and_draw)
    result = call("demo", "--out", out, *FEW)
    assert result.exit_code == 2
    assert "the results could not be written (No such file or directory)" in result.output
    assert not out.exists()


def test_a_folder_in_the_place_of_a_file_stops_all_of_them(
    results: dict[str, bytes], tmp_path: Path
) -> None:
    put(results, tmp_path)
    (tmp_path / "report.html").unlink()
    (tmp_path / "report.html").mkdir()
    before = files(tmp_path)
    result = call("demo", "--out", tmp_path, "--seasons", 11)
    assert result.exit_code == 2
    assert "report.html is a folder" in result.output
    assert files(tmp_path) == before


def test_ctrl_c_while_writing_ends_quietly_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(output, "make_figures", lambda *_: os.kill(os.getpid(), signal.SIGINT))
    result = call("demo", "--out", tmp_path / "out", *FEW)
    assert (result.exit_code, result.output) == (130, "stopped\n")
    assert list(tmp_path.iterdir()) == []


def test_ctrl_c_while_files_are_moved_waits_for_all_of_them(
    results: dict[str, bytes], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(results, tmp_path)
    replace = Path.replace

    def interrupted(self: Path, target: Path) -> Path:
        if target.parent == tmp_path:
            os.kill(os.getpid(), signal.SIGINT)
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", interrupted)
    result = call("demo", "--out", tmp_path, "--seasons", 12)
    assert (result.exit_code, result.output) == (130, "stopped\n")
    after = files(tmp_path)
    assert set(after) == set(results)
    assert all(after[name] != results[name] for name in ("comparison.csv", "outcomes.nc"))
    assert fieldsim.read_outcomes(tmp_path / "outcomes.nc").sizes["season"] == 12


def test_ctrl_c_stops_the_seasons_soon(tmp_path: Path) -> None:
    code = """
import os
import fieldsim.running as running
work = running.run_seasons
def told(*given):
    os.write(2, b"working\\n")  # at once, whatever other threads write
    work(*given)
running.run_seasons = told
"""
    child = start("demo", "--out", tmp_path / "out", "--seasons", 150_000, code=code)
    assert child.stderr is not None
    assert child.stderr.readline() == "working\n"
    child.send_signal(signal.SIGINT)
    began = time.monotonic()
    said = child.communicate(timeout=60)[1].replace("working\n", "")
    assert (child.returncode, said) == (130, "stopped\n")
    assert time.monotonic() - began < 5
    assert not (tmp_path / "out").exists()


CTRL_C_AT = """
import os, signal, sys
class AtImport:
    def find_spec(self, name, *_):
        if name == {loading!r}:
            os.kill(os.getpid(), signal.SIGINT)
sys.meta_path.insert(0, AtImport())
from {module} import {name}
{name}()
"""


@pytest.mark.parametrize(
    "loading",
    [
        *("fieldsim.cli", "click.types", "rich.console", "fieldsim.cli.size"),
        *("numpy.linalg", "scipy.special", "pandas", "llvmlite", "xarray", "matplotlib.figure"),
    ],
)
def test_ctrl_c_while_it_is_loaded_ends_quietly(loading: str, tmp_path: Path) -> None:
    scripts = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["scripts"]
    module, _, name = scripts["fieldsim"].partition(":")
    code = CTRL_C_AT.format(loading=loading, module=module, name=name)
    out = tmp_path / "out"
    words = [sys.executable, "-c", code, "demo", "--out", str(out), "--seasons", "10"]
    ended = subprocess.run(words, capture_output=True, text=True, cwd=ROOT)
    assert (ended.returncode, ended.stdout, ended.stderr) == (130, "", "stopped\n")
    assert not out.exists()


def test_nothing_is_held_back_for_good() -> None:
    with pytest.raises(KeyboardInterrupt), uninterrupted():
        os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


OVER_AND_OVER = """
import sys
from itertools import cycle
from pathlib import Path
from fieldsim.writing import written_whole
print("ready", flush=True)
for letter in cycle("ab"):
    with written_whole(Path(sys.argv[1])) as beside:
        beside.write_text(letter * 3_000_000)
"""


def test_a_file_whose_writing_is_killed_is_the_old_or_the_new_one(tmp_path: Path) -> None:
    random = np.random.default_rng(1)
    path = tmp_path / "a.txt"
    with written_whole(path) as beside:
        beside.write_text("a" * 3_000_000)
    for _ in range(15):
        command = [sys.executable, "-c", OVER_AND_OVER, str(path)]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT)
        assert child.stdout is not None
        assert child.stdout.readline() == b"ready\n"
        time.sleep(random.uniform(0, 0.05))
        child.kill()
        child.communicate()
        assert path.read_text() in ("a" * 3_000_000, "b" * 3_000_000)


RESULTS_OVER_AND_OVER = """
import sys
from itertools import cycle
from pathlib import Path
import fieldsim
from fieldsim.cli import output
farm = fieldsim.demo_farm()
runs = [fieldsim.simulate(farm, seasons, threads=1) for seasons in (10, 20)]
output.make_figures = lambda *_: {}
output.leads = output.write_handout = lambda *_: None
output.write_report = lambda farm, outcomes, figures, path, _: path.write_text(
    str(outcomes.sizes["season"]) * 1_000_000
)
print("ready", flush=True)
for run in cycle(runs):
    output.write_results(farm, run, Path(sys.argv[1]))
    print("written", flush=True)
"""


@slow
def test_results_whose_writing_is_killed_are_whole_files(tmp_path: Path) -> None:
    random = np.random.default_rng(2)
    out = tmp_path / "out"
    for _ in range(3):
        command = [sys.executable, "-c", RESULTS_OVER_AND_OVER, str(out)]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT)
        assert child.stdout is not None
        assert [child.stdout.readline() for _ in range(3)] == [b"ready\n", *[b"written\n"] * 2]
        time.sleep(random.uniform(0, 0.4))
        child.kill()
        child.communicate()
        assert fieldsim.read_outcomes(out / "outcomes.nc").sizes["season"] in (10, 20)
        assert (out / "report.html").read_text() in ("10" * 1_000_000, "20" * 1_000_000)
        assert (out / "comparison.csv").read_text().count("\n") == 5


KILLED_WHILE_MOVING = """
import os, signal
from pathlib import Path
replace = Path.replace
def killed(self, target):
    if Path(target).name == "outcomes.nc" and self.parent != Path(target).parent:
        os.kill(os.getpid(), signal.SIGKILL)
    return replace(self, target)
Path.replace = killed
"""


def test_results_of_two_runs_say_so(results: dict[str, bytes], tmp_path: Path) -> None:
    out = tmp_path / "out"
    put(results, out)
    child = start("demo", "--out", out, "--seasons", 14, code=KILLED_WHILE_MOVING)
    child.communicate()
    assert child.returncode == -signal.SIGKILL
    assert (out / "comparison.csv").read_bytes() != results["comparison.csv"]
    assert (out / "outcomes.nc").read_bytes() == results["outcomes.nc"]
    assert set((out / MARK).read_text().split("\n\n")[1].split()) == set(results)
    assert "may be of another run" in call("rerun", out / "outcomes.nc").output
    # What other commands write there is no part of it.
    assert call("days", ROOT / "data/demo/farm.toml", "--out", out, "--seasons", 100).exit_code == 0
    assert set((out / MARK).read_text().split("\n\n")[1].split()) == set(results)
    assert call("demo", "--out", out, "--seasons", 14).exit_code == 0
    assert not (out / MARK).exists()
    assert "another run" not in call("rerun", out / "outcomes.nc").output


@pytest.mark.parametrize(
    ("words", "last"),
    [
        (
            ["invest", "--from", "six_rows", "--to", "two_six_rows", "--futures", 5],
            "investment.png",
        ),
        (["sensitivity"], "sensitivity.png"),
        (["compare"], "yearly_cost.png"),
    ],
    ids=["invest", "sensitivity", "compare"],
)
def test_files_of_a_study_are_written_all_or_none(
    words: list[object], last: str, tmp_path: Path
) -> None:
    (tmp_path / last).mkdir()
    farm = ROOT / "data/demo/farm.toml"
    result = call(words[0], farm, *words[1:], "--out", tmp_path, *FEW)
    assert result.exit_code == 2
    assert f"{last} is a folder" in result.output
    assert list(tmp_path.iterdir()) == [tmp_path / last]


SURROUNDINGS = {
    "ascii, another day, no display": {
        "LC_ALL": "C",
        "PYTHONCOERCECLOCALE": "0",
        "PYTHONUTF8": "0",
        "TZ": "Pacific/Kiritimati",
        "MPLBACKEND": "TkAgg",
        "MPLCONFIGDIR": "/proc/nowhere",
        "TERM": "dumb",
    },
    "a missing locale with decimal commas": {
        "LC_ALL": "de_DE.UTF-8",
        "TZ": "America/St_Johns",
        "DISPLAY": ":99",
        "COLUMNS": "20",
        "HOME": "/nonexistent",
    },
}


SURROUNDED, *OTHERS = SURROUNDINGS


def assert_same(written: dict[str, bytes], results: dict[str, bytes]) -> None:
    """Hold table and page against those written before, but for fonts, which a machine chooses."""
    assert written["comparison.csv"] == results["comparison.csv"]
    pages = [
        re.sub(rb"<svg.*?</svg>", b"", r["report.html"], flags=re.S) for r in (written, results)
    ]
    assert pages[0] == pages[1]
    assert len(pages[0]) > 10_000


@pytest.mark.parametrize("name", [SURROUNDED, pytest.param(*OTHERS, marks=slow)])
def test_the_surroundings_change_no_byte(
    name: str, results: dict[str, bytes], tmp_path: Path
) -> None:
    child = start("demo", "--out", tmp_path / "out", *FEW, **SURROUNDINGS[name])
    said, complaint = child.communicate()
    assert child.returncode == 0, complaint
    assert "Traceback" not in complaint
    assert "Wrote" in said
    assert_same(files(tmp_path / "out"), results)


@slow
def test_decimal_commas_of_the_library_change_no_byte(
    results: dict[str, bytes], tmp_path: Path
) -> None:
    made = ["localedef", "-i", "de_DE", "-f", "UTF-8", str(tmp_path / "de_DE.UTF-8")]
    if shutil.which("localedef") is None or subprocess.run(made, capture_output=True).returncode:
        pytest.skip("no locale with decimal commas can be made here")
    code = "import locale; locale.setlocale(locale.LC_ALL, ''); assert locale.str(0.5) == '0,5'"
    where = {"LOCPATH": str(tmp_path), "LC_ALL": "de_DE.UTF-8"}
    child = start("demo", "--out", tmp_path / "out", *FEW, code=code, **where)
    _, complaint = child.communicate()
    assert child.returncode == 0, complaint
    assert_same(files(tmp_path / "out"), results)


@slow
def test_signs_that_a_terminal_does_not_know_are_shown_some_way(tmp_path: Path) -> None:
    child = start("check", "f\udcffé.toml", PYTHONIOENCODING="ascii")
    _, complaint = child.communicate()
    assert child.returncode == 2
    assert ".toml: there is no such file" in complaint
    child = start("demo", *FEW, "--out", tmp_path / "o\udcff", PYTHONIOENCODING="ascii")
    said, complaint = child.communicate()
    assert (child.returncode, complaint) == (0, "")
    assert " % \\xb1 2" in said  # plus or minus, which ASCII has not


def test_an_output_that_takes_nothing_is_told() -> None:
    if not Path("/dev/full").exists():
        pytest.skip("there is no /dev/full here")
    code = "import sys; sys.stdout = open('/dev/full', 'w')"
    child = start("check", ROOT / "data/demo/farm.toml", code=code)
    _, complaint = child.communicate()
    assert child.returncode != 0
    assert "No space left on device" in complaint
