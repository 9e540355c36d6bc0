from __future__ import annotations

import re
import zlib
from pathlib import Path

import pytest
import xarray as xr
from matplotlib.figure import Figure

import fieldsim
from fieldsim.decisions import leads, total_cost, verdict
from fieldsim.decisions.in_words.few import few_years
from fieldsim.errors import InputError
from fieldsim.farm import read_farm
from fieldsim.report.comparison import comparison_rows
from fieldsim.report.handout import A4, FOOT, LETTER, make_handout, write_handout
from fieldsim.report.paper import Font, in_width, new_sheet, written
from tests.farms import hand_farm
from tests.test_cli_days import records_farm
from tests.test_plots.test_finish import boxes_apart
from tests.test_report.full_farm import FULL_FARM, full_farm
from tests.weather import records_text


def texts(page: Figure) -> str:
    """All that is written on a page, outside its plots."""
    return " ".join(" ".join(text.get_text() for text in page.texts).split())


@pytest.fixture(scope="module")
def pages(farm: fieldsim.Farm, outcomes: xr.Dataset) -> tuple[Figure, Figure]:
    return make_handout(farm, outcomes, leads(farm, outcomes))


def inside(page: Figure) -> None:
    """Nothing written on the page or its plots lies outside the paper, or below its foot."""
    page.draw_without_rendering()
    width, height = page.bbox.width, page.bbox.height
    written_texts = [*page.texts, *(text for ax in page.axes for text in ax.texts)]
    for text in written_texts:
        box = text.get_window_extent()
        assert box.x0 >= 0.05 * width, text.get_text()
        assert box.x1 <= 0.97 * width, text.get_text()
        assert box.y1 <= height
    for text in page.texts[:-2]:  # the last two stand below the line at the foot
        assert text.get_window_extent().y0 >= (FOOT + 0.04) * page.dpi, text.get_text()


def test_the_first_page_has_question_verdict_and_table(
    pages: tuple[Figure, Figure], farm: fieldsim.Farm, outcomes: xr.Dataset
) -> None:
    said, found = texts(pages[0]), verdict(outcomes, leads=leads(farm, outcomes))
    assert said.startswith("Prairie Bend (invented demo farm) Which costs least in a year: one")
    sentences = (found.answer, *found.bad_years, *found.turning, *found.limits)
    places = [said.index(sentence) for sentence in sentences]
    assert places == sorted(places)
    table = fieldsim.compare(outcomes)
    for mean in table.total_cost:
        assert f"${mean:,.0f} ±" in said


def test_the_second_page_has_figures_cautions_and_how_to_run_it_again(
    pages: tuple[Figure, Figure], outcomes: xr.Dataset
) -> None:
    titles = [ax.get_title(loc="left") for ax in pages[1].axes]
    assert len(titles) == 3
    assert "corn" in titles[0]
    assert "soybeans" in titles[1]
    said = texts(pages[1])
    assert "Wide machines on roads: On the road these are wider than 8.5 ft" in said
    assert "An aid to judgement, no advice." in said
    assert "fieldsim run farm.toml --seasons 300 --seed 0" in said
    for number, page in enumerate(pages, 1):
        assert f"fieldsim 0.1.0, seed {outcomes.attrs['seed']}" in texts(page)
        assert f"page {number} of 2" in texts(page)


def test_nothing_runs_off_the_paper(pages: tuple[Figure, Figure]) -> None:
    for page in pages:
        assert tuple(page.get_size_inches()) == LETTER
        inside(page)


def test_a_farm_with_all_there_is_to_say_still_fits() -> None:
    start = FULL_FARM.index("[options.one]")
    options = "".join(
        f"[options.o{n}]\nlabel = 'an option with a name as long as may be, number {n}'\n"
        "machines = { disk = 1, planter = 1, hired_hoe = 1 }\ntractors = { large = 1 }\n"
        f"operators = {1 + n % 2}\n"
        for n in range(7)
    )
    farm = full_farm(FULL_FARM[:start] + options)
    outcomes = fieldsim.simulate(farm, seasons=60)
    first, second = make_handout(farm, outcomes)
    assert tuple(first.get_size_inches()) == A4
    inside(first)
    inside(second)
    assert "2 dearer options stand in report.html" in texts(first)
    # Of the groups little more than the sums is left, but no late date without its band.
    assert "1 year in 10 is worse than" not in texts(first)
    shown = outcomes.isel(option=sorted(total_cost(outcomes).mean("season").argsort()[:5].values))
    late = comparison_rows(farm, shown)[0].measures[0].rows[1]
    assert late.name == "in 9 seasons of 10 by"
    assert any(cell.band for cell in late.cells)
    for cell in late.cells:
        assert cell.figure in texts(first)
        assert cell.band in texts(first)
    for ax in second.axes[:2]:
        assert len(boxes_apart(ax)) == 5


def test_a_short_record_is_told_to_be_one_behind_how_sure_the_answer_is(tmp_path: Path) -> None:
    farm = read_farm(records_farm(tmp_path, records_text(8)))
    outcomes = fieldsim.simulate(farm, seasons=60)
    first, second = make_handout(farm, outcomes, leads(farm, outcomes))
    (told,) = few_years(farm, outcomes)
    assert told.startswith("Only 8 years lie behind the days of this farm")
    found, said = verdict(outcomes, leads=leads(farm, outcomes)), texts(first)
    places = [said.index(sentence) for sentence in (*found.surety, told, *found.bad_years)]
    assert places == sorted(places)
    inside(first)
    assert "lie behind the days" not in texts(second)
    counted = fieldsim.simulate(farm, seasons=60, replicates=20)
    for page in make_handout(farm, counted, leads(farm, counted)):
        assert "lie behind the days" not in texts(page)


def test_one_option_and_one_season_make_a_handout(tmp_path: Path) -> None:
    farm = hand_farm()
    outcomes = fieldsim.simulate(farm, seasons=1)
    first, second = make_handout(farm, outcomes, leads(farm, outcomes))
    assert "There is one option only: usual." in texts(first)
    assert "nan" not in texts(first) + texts(second)
    write_handout(farm, outcomes, tmp_path / "handout.pdf")


def test_the_file_has_two_pages_with_fonts_and_text_and_always_the_same_bytes(
    farm: fieldsim.Farm, outcomes: xr.Dataset, tmp_path: Path
) -> None:
    for name in ("one.pdf", "two.pdf"):
        write_handout(farm, outcomes, tmp_path / name)
    pdf = (tmp_path / "one.pdf").read_bytes()
    assert pdf == (tmp_path / "two.pdf").read_bytes()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["one.pdf", "two.pdf"]
    assert pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page ") == 2
    # Fonts as TrueType with a table that gives the letters back: text can be copied and searched.
    assert pdf.count(b"/FontFile2") >= 1
    assert pdf.count(b"/ToUnicode") >= 1
    assert b"/Type3" not in pdf
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    assert any(b"beginbfchar" in zlib.decompress(s) or b"beginbfrange" in zlib.decompress(s)
               for s in streams if s[:1] == b"x")  # fmt: skip


def test_outcomes_of_another_farm_are_refused(outcomes: xr.Dataset) -> None:
    with pytest.raises(InputError, match="made from another farm file"):
        make_handout(hand_farm(), outcomes)


def test_text_is_broken_where_it_would_run_out_of_its_column() -> None:
    sheet, font = new_sheet(8.5, 11.0, 0.7), Font(10.0)
    lines = in_width("a word and anotherverylongwordthatdoesnotfit in it", 1.0, font)
    assert "".join(lines).replace(" ", "") == "awordandanotherverylongwordthatdoesnotfitinit"
    assert len(lines) >= 4
    end = written(sheet, 1.0, "one two three four five six", font, left=0.7, right=1.5)
    assert end == pytest.approx(1.0 + len(sheet.figure.texts) * font.line)
    for text in sheet.figure.texts:
        assert text.get_window_extent().x1 / sheet.figure.dpi <= 1.5 + 0.03
