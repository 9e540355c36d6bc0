"""The pages in a real browser: a slider moved, weeks played, with the keyboard and the mouse."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from fieldsim.demo import demo_folder
from tests.test_explorer.browser import Browser, chromium

PROGRAM = chromium()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="there is no Chromium on this machine")

FOUR = "document.querySelectorAll('svg[role=img]').length === 4"
CURVES = "[...document.querySelectorAll('polyline')].map((line) => line.getAttribute('points'))"


@contextmanager
def page(*words: str) -> Iterator[str]:
    """Address of a page that the command line serves."""
    command = [sys.executable, "-m", "fieldsim", *words]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as run:
        try:
            assert run.stdout is not None
            yield run.stdout.readline().split()[1]
        finally:
            run.terminate()


@pytest.fixture(scope="module")
def one_browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    assert PROGRAM is not None
    with Browser(PROGRAM, tmp_path_factory.mktemp("profile")) as browser:
        yield browser


@pytest.fixture
def browser(one_browser: Browser) -> Iterator[Browser]:
    one_browser.errors.clear()
    yield one_browser
    refused = "400 (Bad Request)"  # how a browser notes that settings were refused
    assert [error for error in one_browser.errors if refused not in error] == []


@pytest.fixture(scope="module")
def explorer() -> Iterator[str]:
    with page("explore") as address:
        yield address


@pytest.fixture
def odd_farm(tmp_path: Path) -> Path:
    """The demo farm with names that a careless page would read as markup."""
    (tmp_path / "suitable_days.csv").write_bytes((demo_folder() / "suitable_days.csv").read_bytes())
    text = (demo_folder() / "farm.toml").read_text(encoding="utf-8")
    odd = "<img src=x onerror=alert(1)> & co"
    text = text.replace('name = "Prairie Bend (invented demo farm)"', f'name = "{odd}"')
    text = text.replace('label = "one outfit of 4 rows"', f'label = "{odd}"')
    path = tmp_path / "farm.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_slider_moves_the_pictures(browser: Browser, explorer: str, tmp_path: Path) -> None:
    browser.open(explorer)
    browser.wait(FOUR)
    browser.picture(tmp_path / "explorer.png")
    before = browser.run(CURVES)
    assert len(before) == 4
    # The keyboard alone: to the slider of hours, and three steps of half an hour.
    browser.run("document.querySelector('input[data-name=hours]').focus()")
    browser.press("ArrowRight", 3)
    text = browser.run("document.activeElement.getAttribute('aria-valuetext')")
    assert text == "12.5 h"
    browser.wait("document.querySelector('.notes').textContent.includes('accidents')")
    after = browser.run(CURVES)
    assert all(old != new for old, new in zip(before, after, strict=True))
    browser.picture(tmp_path / "explorer_moved.png")
    # A planter that no tractor pulls: it is said, and the way back is there.
    browser.run("document.querySelector('input[data-name=rows]').focus()")
    browser.press("ArrowRight", 10)
    browser.wait("document.querySelector('.verdict').textContent.includes('strongest has')")
    browser.click("button", "Back to the farm file")
    browser.wait(f"{CURVES}.every((points, i) => points === {before!r}[i])")


def test_pictures_are_linked_and_have_words(browser: Browser, explorer: str) -> None:
    browser.open(explorer)
    browser.wait(FOUR)
    browser.click(".chips button", "two outfits of 6 rows")
    bright = "[...document.querySelectorAll('[data-option]:not(.dim)')]"
    assert browser.run(f"{bright}.map((part) => part.dataset.option)") == ["3"] * 4
    said = browser.run(
        "[...document.querySelectorAll('svg')].map((svg) => svg.getAttribute('aria-label'))"
    )
    assert all("two outfits of 6 rows" in words for words in said)
    # Below each option's dots, what 1 season in 10 loses stands with its band, inside the picture.
    drawn = "[...document.querySelectorAll('svg[role=img] text')].filter((text) => "
    drawn += "text.textContent.includes('1 in 10 above'))"
    for told in (found := browser.run(f"{drawn}.map((text) => text.textContent)")):
        assert re.search(r"above \$[\d,]+ \(\$[\d,]+ to \$[\d,]+\)$", told), told
    assert len(found) == 4
    inside = f"{drawn}.every((text) => text.getBBox().x + text.getBBox().width < 480)"
    assert browser.run(inside)
    labels = "[...document.querySelectorAll('input, select')].every((part) => part.labels[0])"
    assert browser.run(labels)


def test_the_money_of_a_large_farm_stays_inside_the_picture(
    browser: Browser, tmp_path: Path
) -> None:
    (tmp_path / "suitable_days.csv").write_bytes((demo_folder() / "suitable_days.csv").read_bytes())
    text = (demo_folder() / "farm.toml").read_text(encoding="utf-8")
    path = tmp_path / "farm.toml"
    path.write_text(text.replace(' acre"\nrow', '0 acre"\nrow'))  # ten times the land
    with page("explore", str(path)) as address:
        browser.open(address)
        browser.wait(FOUR)
        drawn = "[...document.querySelectorAll('svg[role=img] text')]"
        ends = f"{drawn}.filter((text) => /^\\$[\\d,]+k$/.test(text.textContent))"
        ends += ".map((text) => text.getBBox().x + text.getBBox().width)"
        found = browser.run(ends)
        assert len(found) >= 2
        assert max(found) <= 480


def test_two_weeks_are_played_and_the_season_ends(browser: Browser, tmp_path: Path) -> None:
    with page("game", "--seed", "7", "--option", "six_rows") as address:
        browser.open(address)
        browser.wait("document.querySelector('h2').textContent.includes('Week 1 of 18')")
        browser.click("button", "Play this week")
        browser.wait("document.querySelector('h2').textContent.includes('Week 2 of 18')")
        browser.run("document.querySelector('input[data-name=hours]').focus()")
        browser.press("ArrowRight", 3)
        assert "accidents" in browser.run("document.querySelector('.caution').textContent")
        browser.click(".tick", "home 80 to soybeans")
        browser.click("button", "Play this week")
        browser.wait("document.querySelector('h2').textContent.includes('Week 3 of 18')")
        browser.picture(tmp_path / "game.png")
        told = browser.run("document.querySelector('.log').textContent")
        assert "12.5 hours a day, home 80 to soybeans" in told
        assert "1.8 suitable days" in browser.run("document.querySelector('.verdict').textContent")
        browser.click("button", "Play the rest")
        browser.wait("document.querySelectorAll('.end tbody tr').length === 6")
        browser.picture(tmp_path / "game_end.png")
        assert "plans tried with hindsight" in browser.run("document.body.textContent")


def test_names_are_text_and_nothing_else(browser: Browser, odd_farm: Path) -> None:
    with page("explore", str(odd_farm)) as address:
        browser.open(address)
        browser.wait(FOUR)
        assert browser.run("document.querySelectorAll('img').length") == 0
        assert "<img src=x" in browser.run("document.querySelector('h1').textContent")


def test_a_notebook_cell_draws_the_same(browser: Browser, explorer: str) -> None:
    browser.open(explorer)
    browser.wait(FOUR)
    # A cell's model in miniature: messages go to the page's server in place of a kernel.
    browser.run("""(async () => {
      const front = (await import(new URL('front.js', location.href).href)).default;
      const el = document.createElement('div');
      el.id = 'cell';
      document.body.replaceChildren(el);
      let hear = null;
      const host = (await import(new URL('front.js', location.href).href)).pageHost();
      const model = {
        on: (name, listener) => { if (name === 'msg:custom') hear = listener; },
        send: async ({ number, question, given }) =>
          hear({ number, answer: await host.ask(question, given) }),
      };
      front.render({ model, el });
    })()""")
    browser.wait("document.querySelectorAll('#cell svg[role=img]').length === 4")
