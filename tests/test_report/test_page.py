from __future__ import annotations

import re
from pathlib import Path

import pandas as pd
import pytest
import xarray as xr

import fieldsim
from fieldsim.decisions import leads, summarize
from fieldsim.decisions.cautions import cautions
from fieldsim.decisions.equipment_costs import equipment_costs
from fieldsim.errors import InputError
from fieldsim.farm import parse_farm
from fieldsim.report import make_figures, render_report, write_report
from tests.farms import SMALL_FARM, SMALL_TABLES, hand_farm
from tests.test_report.conftest import Page
from tests.test_report.full_farm import FULL_FARM, full_farm

GENERAL = ("Wide machines on roads", "Fertilizer near the seed", "Chemicals", "Debts")


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
    land = "462 acres of corn and 440 acres of soybeans"
    assert f"{land}. 4 options, 300 seasons of weather" in page.text
    places = [page.text.index(sentence) for sentence in summarize(outcomes)]
    assert places == sorted(places)
    assert places[0] < page.text.index("The options side by side")


def test_money_on_the_page_is_that_of_compare(page: Page, outcomes: xr.Dataset) -> None:
    table = fieldsim.compare(outcomes)
    assert page.rows[0][1:] == list(table.label)
    for start, name in (
        ("lost revenue, average", "lost_revenue"),
        ("labor, average", "labor_cost"),
        ("fuel and lubricants, average", "fuel_cost"),
        ("all together, average", "total_cost"),
    ):
        bands = 1.96 * table[f"{name}_error"]
        wanted = [f"${x:,.0f} ± {e:,.0f}" for x, e in zip(table[name], bands, strict=True)]
        assert page.row(start) == wanted
    assert page.row("owning machines") == [f"${x:,.0f}" for x in table.ownership_cost]
    assert page.row("repairs") == [f"${x:,.0f}" for x in table.repair_cost]
    assert page.row("by weeds") == [f"${x:,.0f}" for x in table.lost_weeds]
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


def without_figures(farm: fieldsim.Farm, seasons: int = 5) -> Page:
    """Return a farm's page without its figures, which take a second or two to draw."""
    return Page(render_report(farm, fieldsim.simulate(farm, seasons), {}))


def warnings(page: Page) -> list[dict[str, str | None]]:
    return [a for a in page.named("div") if a.get("class") == "warning"]


def test_what_the_farm_calls_for_is_boxed_and_the_general_cautions_stay(
    page: Page, farm: fieldsim.Farm
) -> None:
    assert warnings(page)
    assert "Long days. The dates rest on people who work up to 11 hours a day" in page.text
    for caution in cautions(farm):
        assert f"{caution.topic}. {caution.text} ({caution.where})" in page.text
    for word in (*GENERAL, "Long days"):
        assert f"{word}." in page.text


def test_a_farm_that_calls_for_nothing_has_the_general_cautions_only() -> None:
    page = without_figures(hand_farm())
    assert not warnings(page)
    assert all(f"{word}." in page.text for word in GENERAL)


def test_long_days_are_warned_of() -> None:
    text = SMALL_FARM.replace('hours_per_day = "12 h"', 'hours_per_day = "14 h"')
    warned = without_figures(parse_farm(text, SMALL_TABLES))
    assert "This farm file has people at work 14 hours a day" in warned.text


def dollars(cell: str) -> int:
    """Return the sum of money at the head of a cell."""
    return int(cell.split()[0].replace("$", "").replace(",", "").replace("−", "-"))


@pytest.fixture(scope="module")
def full() -> Page:
    return without_figures(full_farm(), 60)


def test_columns_of_money_add_up(page: Page, full: Page) -> None:
    for one, options in ((page, 4), (full, 2)):
        causes = [row[1:] for row in one.rows if row[0].startswith("by ")]
        assert len(causes) >= 2
        names = ("lost revenue, as", "owning", "repairs", "labor", "fuel", "hired work")
        found = [
            row[1:] for row in one.rows if row[0].startswith(names) and len(row) == options + 1
        ]
        for option in range(options):
            lost = sum(dollars(row[option]) for row in causes)
            assert lost == pytest.approx(dollars(one.row("lost revenue, average")[option]), abs=4)
            costs = sum(dollars(row[option]) for row in found)
            assert costs == pytest.approx(dollars(one.row("all together, av")[option]), abs=4)


def test_only_causes_and_costs_that_occur_are_shown(page: Page, full: Page) -> None:
    assert not [row for row in page.rows if row[0].startswith(("by drying", "hired work"))]
    assert full.row("by drying")
    assert full.row("hired work, average")
    calm = without_figures(hand_farm())
    assert not [row for row in calm.rows if row[0].startswith(("fuel", "by ", "repairs"))]
    assert calm.row("lost revenue, average") == ["$0 ± 0"]


def test_what_is_not_counted_is_said_beside_the_money() -> None:
    page = without_figures(hand_farm())
    said = "Not counted: fuel (no fuel_price), repairs of disk, planter (no class), losses to weeds"
    assert page.text.count(said) == 2  # in the answer, and below the table
    assert page.text.rindex(said) > page.text.index("The options side by side")


def test_insured_revenue_is_shown_where_insurance_is_given(page: Page, full: Page) -> None:
    assert "insured revenue kept" not in page.text
    assert full.row("insured revenue kept, average (the policy decides)") == ["100.0 %"] * 2
    late = parse_farm(
        FULL_FARM.replace('earliest = { corn = "18 Apr"', 'earliest = { corn = "3 Jun"')
        .replace("switch_from = \"5 Jun\"", "switch_from = \"30 Jun\""),
        SMALL_TABLES,
    )  # fmt: skip
    outcomes = fieldsim.simulate(late, seasons=60)
    html = render_report(late, outcomes, {})
    assert '<small class="words">1 year in 10:' in html  # breaks, not to widen the table
    assert not re.search(r'<small class="words">\$', html)
    kept = Page(html).row("insured revenue kept")
    for cell, option in zip(kept, outcomes.option.values, strict=True):
        mean = float(outcomes.insured_share.sel(option=option, crop="corn").mean())
        assert cell.startswith(f"{mean:.1f} % 1 year in 10:")
        assert mean < 98  # of a guarantee that loses 1 % a day from 1 June on


def test_heads_say_acres_and_costs_are_those_of_an_acre(page: Page) -> None:
    heads = [row for row in page.rows if row and row[0] in ("machine or tractor", "option")]
    (equipment,) = [row for row in heads if "hours of each" in row]
    assert "acres" in equipment
    assert "an acre" in equipment
    (people,) = [row for row in heads if "hours of people" in row]
    assert "acres planted by operator" in people
    assert "acres planted in an hour of people" in people


def test_equipment_of_each_option_is_that_of_equipment_costs(
    page: Page, outcomes: xr.Dataset
) -> None:
    costs = equipment_costs(outcomes)
    rows = [page.row("disk", 1 + number) for number in range(4)]
    disks = costs[costs.equipment == "disk"]
    for cells, disk in zip(rows, disks.itertuples(), strict=True):
        assert cells[0] == f"{disk.hours:,.0f}"
        assert cells[-3:] == [
            f"${disk.total:,.0f}",
            f"${disk.cost_per_hour:,.2f}",
            f"${disk.cost_per_area:,.2f}",
        ]
    assert page.row("2 × planter 6 rows", 1)[1] != ""
    assert page.row("tractor 130")[-1] == "—"
    together = page.row("all together", 1)
    owning = fieldsim.compare(outcomes).iloc[0]
    assert together[-3] == f"${owning.ownership_cost + owning.repair_cost:,.0f}"


def test_where_the_day_goes_is_on_the_page(page: Page) -> None:
    shares = page.row("planter 4 rows")
    assert shares == ["73 %", "6 %", "7 % seed, 9 % dry fertilizer", "4 %", "", "0.6 %"]


def test_many_options_with_long_names_stand_a_few_side_by_side() -> None:
    start = FULL_FARM.index("[options.one]")
    label = "an option <i>with</i> a name as long as may be, number {}"
    options = "".join(
        f"[options.o{n}]\nlabel = '{label.format(n)}'\n"
        "machines = { disk = 1, planter = 1, hired_hoe = 1 }\ntractors = { large = 1 }\n"
        for n in range(12)
    )
    farm = full_farm(FULL_FARM[:start] + options)
    html = render_report(farm, fieldsim.simulate(farm, seasons=10), {})
    page = Page(html)
    heads = [row for row in page.rows if row[0] == "" and label.format(0)[:9] in row[-1]]
    assert [len(row) - 1 for row in heads] == [4, 4, 4]
    assert [name for row in heads for name in row[1:]] == [label.format(n) for n in range(12)]
    assert "<i>" not in html


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


def test_what_the_answer_hangs_on_is_that_of_leads(
    farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    moved = leads(farm, outcomes)
    page = Page(render_report(farm, outcomes, {}, moved))
    for sentence in summarize(outcomes, leads=moved):
        assert sentence in page.text
    for of in moved.to_dict("records"):
        low, there, high, beyond = page.row(of["input"])
        assert (low, high) == (of["low"], of["high"])
        for cell, end in ((there, "low"), (beyond, "high")):
            lead, band = of[f"lead_{end}"], 1.96 * of[f"error_{end}"]
            sign = "−" if lead < 0 else ""
            assert cell.startswith(f"{sign}${abs(lead):,.0f} ± {band:,.0f}")
            assert ("cannot be told" in cell) == (abs(lead) <= band)
            assert ("is cheaper" in cell) == (lead < -band)
    assert "fieldsim sensitivity farm.toml" in page.text


def test_the_command_that_runs_it_again_has_its_numbers(
    page: Page, farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    assert "fieldsim run farm.toml --seasons 300 --seed 0 or in Python" in page.text
    parts = fieldsim.simulate(farm, 40, seed=7, replicates=4)
    again = Page(render_report(farm, parts, {}))
    assert "fieldsim run farm.toml --seasons 40 --seed 7 --replicates 4" in again.text
    assert "fieldsim.simulate(farm, seasons=40, seed=7, replicates=4)" in again.text
    given = Page(render_report(farm, outcomes.assign_attrs(draws="given"), {}))
    assert "fieldsim run farm.toml --seasons" not in given.text


def test_the_question_comes_before_the_answer(page: Page, outcomes: xr.Dataset) -> None:
    asked = (
        "Which costs least in a year: one outfit of 4 rows, one outfit of 6 rows, one outfit of 8 "
        "rows or two outfits of 6 rows?"
    )
    assert page.text.index(asked) < page.text.index(summarize(outcomes)[0])
