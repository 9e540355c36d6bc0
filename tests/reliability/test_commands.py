"""Every command, given what is no farm, ends with status 2 and a message that names it."""

from __future__ import annotations

import os
from pathlib import Path

import click
import pytest

from fieldsim.cli import main
from tests.farms import SMALL_FARM, SMALL_TABLES
from tests.reliability.commands import call

NEEDED = {  # what a command does not begin without
    "invest": ["--from", "one_outfit", "--to", "two_planters"],
}
READING = sorted(
    name
    for name, command in main.commands.items()
    if any(isinstance(part, click.Argument) for part in command.params) and name != "new"
)
KINDS = ("missing", "folder", "loop", "dangling", "pipe", "device", "empty", "binary", "utf-16")


def no_farm(kind: str, folder: Path) -> Path:
    """Return the path of something that is no farm."""
    path = folder / "odd.toml"
    match kind:
        case "folder":
            path.mkdir()
        case "loop":
            path.symlink_to(path)
        case "dangling":
            path.symlink_to(folder / "nowhere")
        case "pipe":
            os.mkfifo(path)
        case "device":
            path.symlink_to("/dev/zero")
        case "empty":
            path.touch()
        case "binary":
            path.write_bytes(bytes(range(256)) * 100)
        case "utf-16":
            path.write_text(SMALL_FARM, encoding="utf-16")
    return path


def test_the_commands_that_read_are_known() -> None:
    assert {"check", "run", "compare", "days", "fit", "rerun", "sizes"} <= set(READING)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("command", READING)
def test_what_is_no_farm_is_named(command: str, kind: str, tmp_path: Path) -> None:
    path = no_farm(kind, tmp_path)
    out = [] if command in ("check", "explore", "game") else ["--out", tmp_path / "out"]
    result = call(command, path, *NEEDED.get(command, []), *out)
    assert result.exit_code == 2, (result.output, result.exception)
    assert "odd.toml" in result.output
    assert "Usage:" not in result.output
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_no_table_is_named(kind: str, tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_text(SMALL_FARM.replace('"days.csv"', '"odd.toml"'))
    (tmp_path / "soybean_yield.csv").write_text(SMALL_TABLES["soybean_yield.csv"])
    no_farm(kind, tmp_path)
    result = call("check", tmp_path / "farm.toml")
    assert result.exit_code == 2, (result.output, result.exception)
    assert "odd.toml" in result.output


def test_a_farm_behind_links_is_read(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    for name, text in ({"farm.toml": SMALL_FARM} | SMALL_TABLES).items():
        (tmp_path / "real" / name).write_text(text, encoding="utf-8")
    (tmp_path / "linked").symlink_to(tmp_path / "real")
    assert call("check", tmp_path / "linked" / "farm.toml").exit_code == 0
