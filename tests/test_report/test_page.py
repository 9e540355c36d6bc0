from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions import summarize
from fieldsim.errors import InputError
from fieldsim.farm import parse_farm
from fieldsim.report import make_figures, render_report, write_report
from tests.farms import SMALL_FARM, SMALL_TABLES
from tests.test_report.conftest import Page


def test_nothing_is_fetched_and_nothing_runs(html: str, page: Page) -> None:
    assert "http" not in html
    assert "@import" not in html
    tags = {tag for tag, _ in page.tags}
    assert not tags & {"script", "link", "iframe", "object", "embed", "img", "base", "form"}
    for _, attributes in page.tags:
        assert not {"src", "srcset", "action", "xmlns"} & set(attributes)
        assert not any(name.startswith("on") for name in attributes)
        assert (attributes.get("href") or "#").startswith("#")
    assert all(target.startswith("#") for target in re.findall(r"url\((.)", html))


def test_every_reference_on_the_page_has_its_one_target(page: Page, html: str) -> None:
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    wanted = {a["href"][1:] for _, a in page.tags if a.get("href")}
    wanted |= set(re.findall(r"url\(#([^)]+)\)", html))
    assert wanted
    assert wanted <= set(ids)


def test_the_page_opens_with_the_farm_and_the_answer(page: Page, outcomes: xr.Dataset) -> None:
    assert "Prairie Bend (invented demo farm) 4 options, 300 seasons" in page.text
    places = [page.text.index(sentence) for sentence in summarize(outcomes)]
    assert places == sorted(places)
    assert places[0] < page.text.index("The options side by side")


def test_money_on_the_page_is_that_of_compare(page: Page, outcomes: xr.Dataset) -> None:
    table = fieldsim.compare(outcomes)
    assert page.rows[0][1:] == list(table.label)
    for start, name in (
        ("lost revenue, average", "lost_revenue"),
        ("labor, average", "labor_cost"),
        ("all three together", "total_cost"),
    ):
        bands = 1.96 * table[f"{name}_error"]
        wanted = [f"${x:,.0f} ± {e:,.0f}" for x, e in zip(table[name], bands, strict=True)]
        assert page.row(start) == wanted
    assert page.row("owning machines") == [f"${x:,.0f}" for x in table.ownership_cost]
    assert page.row("lost revenue, 1 year in 10") == [
        f"${r.lost_revenue_1_in_10:,.0f} "
        f"${r.lost_revenue_1_in_10_from:,.0f} to ${r.lost_revenue_1_in_10_to:,.0f}"
        for r in table.itertuples()
    ]
    assert page.row("compared with one outfit of 4 rows") == [
        "—",
        *(
            f"${-r.difference:,.0f} ± {1.96 * r.difference_error:,.0f} less"
            for r in table.iloc[1:].itertuples()
        ),
    ]


@pytest.mark.parametrize(("number", "crop"), [(0, "corn"), (1, "soybeans")])
def test_planting_dates_on_the_page_are_those_of_compare(
    page: Page, outcomes: xr.Dataset, number: int, crop: str
) -> None:
    table = fieldsim.compare(outcomes)

    def text(day: pd.Timestamp) -> str:
        return f"{day.day} {day:%b}"

    assert page.row("in half of the seasons by", number) == [
        text(day) for day in table[f"plant_{crop}_median"]
    ]
    late = page.row("in 9 seasons of 10 by", number)
    for cell, day in zip(late, table[f"plant_{crop}_late"], strict=True):
        assert cell.startswith(text(day))
    chances = page.row("chance of being done by the target", number)
    shares = zip(table[f"{crop}_on_target"], table[f"{crop}_on_target_error"], strict=True)
    assert chances == [f"{100 * share:.0f} % ± {196 * error:.0f}" for share, error in shares]


def test_every_figure_says_what_is_to_be_seen_in_it(page: Page, outcomes: xr.Dataset) -> None:
    figures = page.named("svg")
    assert len(figures) == 4
    ids = {attributes.get("id") for _, attributes in page.tags}
    for attributes in figures:
        assert attributes["role"] == "img"
        assert set(str(attributes["aria-labelledby"]).split()) <= ids
    table = fieldsim.compare(outcomes)
    for row in table.itertuples():
        day = f"{row.plant_corn_median.day} {row.plant_corn_median:%b}"
        share = f"{100 * row.corn_on_target:.0f} % by 10 May"
        assert f"{row.label}: half of the seasons by {day}, {share}" in page.text
        assert f"1 year in 10 is worse than ${row.lost_revenue_1_in_10:,.0f}" in page.text


def test_how_to_run_it_again_is_on_the_page(page: Page, farm: fieldsim.Farm) -> None:
    assert "fieldsim.simulate(farm, seasons=300, seed=0)" in page.text
    assert "fieldsim 0.1.0, seed 0" in page.text
    assert " ".join(farm.text.split()) in page.text
    assert " ".join(farm.tables["suitable_days.csv"].split()) in page.text


def test_the_same_outcomes_give_the_same_bytes(
    html: str, farm: fieldsim.Farm, outcomes: xr.Dataset, tmp_path: Path
) -> None:
    figures = make_figures(farm, outcomes)
    for name, figure in figures.items():
        figure.savefig(tmp_path / f"{name}.png", dpi=130)
    write_report(farm, outcomes, figures, tmp_path / "report.html")
    assert (tmp_path / "report.html").read_bytes() == html.encode()
    assert not list(tmp_path.glob(".*"))


@pytest.fixture(scope="module")
def hostile() -> fieldsim.Farm:
    text = SMALL_FARM.replace('"Small farm"', '"<script>alert(1)</script> & Sons"')
    text = text.replace(
        "[options.one_outfit]", "[options.one_outfit]\nlabel = '<img src=x onerror=go()> $_{ -- '"
    )
    notes = "# <b onclick=go()>noted</b> -->\n"
    return parse_farm(text, SMALL_TABLES | {"days.csv": notes + SMALL_TABLES["days.csv"]})


def test_what_users_write_stays_text(hostile: fieldsim.Farm) -> None:
    html = render_report(hostile, fieldsim.simulate(hostile, seasons=20))
    page = Page(html)
    assert "<script" not in html
    assert "<img" not in html
    assert "<b onclick" not in html
    assert "<script>alert(1)</script> & Sons" in page.text
    assert "<img src=x onerror=go()> $ { --" in page.rows[0]
    assert "<b onclick=go()>noted</b> -->" in page.text


def test_long_days_are_warned_of_strongly_and_others_in_general(page: Page) -> None:
    assert not any(attributes.get("class") == "warning" for attributes in page.named("p"))
    assert "Long days. The dates rest on people who work up to 11 hours a day" in page.text
    text = SMALL_FARM.replace('hours_per_day = "12 h"', 'hours_per_day = "14 h"')
    long = parse_farm(text, SMALL_TABLES)
    warned = Page(render_report(long, fieldsim.simulate(long, seasons=5)))
    assert any(attributes.get("class") == "warning" for attributes in warned.named("p"))
    assert "This farm file has people at work 14 hours a day" in warned.text


def test_cautions_name_what_the_numbers_do_not_cover(page: Page) -> None:
    for word in ("Wide machines on roads", "Fertilizer near the seed", "Chemicals", "Debts"):
        assert f"{word}." in page.text


def test_one_option_and_one_season_make_a_page(farm: fieldsim.Farm) -> None:
    outcomes = fieldsim.simulate(farm, seasons=1)
    page = Page(render_report(farm, outcomes.isel(option=[1])))
    lost = float(outcomes.lost_revenue.isel(option=1).sum())
    assert page.row("lost revenue, average") == [f"${lost:,.0f}"]
    assert "compared with" not in page.text
    assert "nan" not in page.text
    assert "1 option, 1 season" in page.text


def test_planting_that_is_never_finished_is_said_to_be_so(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    never = outcomes.assign(finish_date=outcomes.finish_date.where(False))
    page = Page(render_report(farm, never))
    assert page.row("in half of the seasons by") == ["not within the season"] * 4
    assert page.row("in 9 seasons of 10 by") == ["not within the season"] * 4
    assert "NaT" not in page.text


def test_options_that_cannot_be_told_apart_are_said_to_be_so(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    twins = outcomes.isel(option=[1, 1]).assign_coords(option=["six_rows", "four_rows"])
    page = Page(render_report(farm, twins))
    assert page.row("compared with")[1] == "cannot tell apart $0 ± 0 less"


@pytest.mark.parametrize("changed", ["text", "table"])
def test_outcomes_of_another_farm_are_refused(outcomes: xr.Dataset, changed: str) -> None:
    demo = fieldsim.demo_farm()
    text = demo.text.replace('"$24/h"', '"$25/h"') if changed == "text" else demo.text
    tables = dict(demo.tables)
    if changed == "table":
        tables["suitable_days.csv"] += "# a note\n"
    with pytest.raises(InputError, match="made from another farm file"):
        render_report(parse_farm(text, tables), outcomes)


def test_outcomes_read_back_from_a_file_make_the_same_page(
    html: str, farm: fieldsim.Farm, outcomes: xr.Dataset, tmp_path: Path
) -> None:
    fieldsim.write_outcomes(outcomes, tmp_path / "outcomes.nc")
    assert render_report(farm, fieldsim.read_outcomes(tmp_path / "outcomes.nc")) == html
