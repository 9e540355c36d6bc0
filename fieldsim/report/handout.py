"""Two pages to lay on a table: the verdict and the figures it rests on, to be printed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pandas as pd
import xarray as xr
from matplotlib import rc_context
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure

from fieldsim.decisions import total_cost, verdict
from fieldsim.decisions.cautions import cautions
from fieldsim.decisions.in_words.few import few_years
from fieldsim.decisions.in_words.undone import hardly_done
from fieldsim.farm import Farm
from fieldsim.plots import plot_finish_dates, plot_lost_revenue
from fieldsim.plots.style import GRID, INK
from fieldsim.plots.words import day_text
from fieldsim.report.comparison import Measure, Measures, comparison_rows
from fieldsim.report.figures import planted_crops
from fieldsim.report.lean_fonts import lean_fonts
from fieldsim.report.opening import check_farm, land, question, run_command
from fieldsim.report.paper import Column, Font, Sheet, new_sheet, row, rule, write, written
from fieldsim.writing import written_whole

__all__ = ["make_handout", "write_handout"]

LETTER, A4 = (8.5, 11.0), (8.27, 11.69)  # [in]
MARGIN, FOOT = 0.7, 0.5  # [in]
FINISH = 1.3  # height of the axes of finish dates [in]
QUIET = "#444444"
TITLE, HEAD = Font(17.0, "bold"), Font(11.5, "bold")
SMALL = Font(8.0, color=QUIET)
SCALES = (1.0, 0.92, 0.84, 0.76)  # of the letters, until a page holds all
MOST_OPTIONS = 5
LETTERS = 34  # of an option's name on a line beside the curves
BESIDE = 3.0  # room for it [in]
LABELS = 1.95  # width of the first column of the table [in]
FONTS: dict[Any, Any] = {"pdf.fonttype": 42, "font.family": "DejaVu Sans", "font.size": 9.0}


def make_handout(
    farm: Farm, outcomes: xr.Dataset, leads: pd.DataFrame | None = None
) -> tuple[Figure, Figure]:
    """Return the two pages.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm.
    leads : pandas.DataFrame, optional
        From `fieldsim.decisions.in_words.leads`.

    Returns
    -------
    tuple of Figure
        Of letter size, or A4 for a metric farm. Of many options the table and the figures show
        the five that cost least.

    Raises
    ------
    InputError
        If the outcomes are those of another farm file.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> len(make_handout(farm, fieldsim.simulate(farm, 50)))
    2
    """
    check_farm(farm, outcomes)
    size = LETTER if farm.units == "us" else A4
    with rc_context(FONTS):
        for scale, brief in (*((scale, False) for scale in SCALES), (1.0, True), (0.8, True)):
            first, end = _answer_page(farm, outcomes, leads, size, scale, brief=brief)
            if end <= _floor(first):
                break
        second = _figures_page(farm, outcomes, size)
        for number, sheet in enumerate((first, second), 1):
            _foot(sheet, outcomes, number)
    return first.figure, second.figure


def write_handout(
    farm: Farm, outcomes: xr.Dataset, path: str | Path, leads: pd.DataFrame | None = None
) -> None:
    """Write the two pages to a PDF file, with text that can be searched and fonts in it.

    Parameters
    ----------
    farm, outcomes, leads
        See `make_handout`.
    path : str or Path
        Name of the file, as ``handout.pdf``.
    """
    pages = make_handout(farm, outcomes, leads)
    about = {"Title": f"{farm.name}: which outfit?", "CreationDate": None, "Creator": "fieldsim"}
    with (
        written_whole(path) as beside,
        rc_context(FONTS),
        lean_fonts(),
        PdfPages(beside, metadata=about) as pdf,
    ):
        for page in pages:
            pdf.savefig(page)


def _answer_page(
    farm: Farm,
    outcomes: xr.Dataset,
    leads: pd.DataFrame | None,
    size: tuple[float, float],
    scale: float,
    *,
    brief: bool,
) -> tuple[Sheet, float]:
    """Draw the first page; return it, and where its text ends [in from the top]."""
    sheet = new_sheet(*size, MARGIN)
    found, text = verdict(outcomes, leads=leads), Font(9.5 * scale)
    top = written(sheet, MARGIN, farm.name, TITLE) + 0.04
    top = written(sheet, top, question(outcomes), HEAD) + 0.02
    seasons = outcomes.sizes["season"]
    drawn = "1 season" if seasons == 1 else f"{seasons:,} seasons"
    top = written(sheet, top, f"{land(farm)}; {drawn}, the same for every option", SMALL) + 0.2
    start, left = top, sheet.margin + 0.16
    top = written(sheet, top, found.answer, Font(12.5 * scale, "bold"), left=left) + 0.07
    for sentence in (
        *found.surety,
        *few_years(farm, outcomes),
        *found.bad_years,
        *hardly_done(outcomes),
        *found.turning,
        *found.limits,
    ):
        top = written(sheet, top, sentence, text, left=left) + 0.05
    rule(sheet, sheet.margin, start, sheet.margin, top, 2.5, INK)
    return sheet, _table(sheet, top + 0.2, farm, outcomes, scale, brief=brief)


def _shown(outcomes: xr.Dataset) -> xr.Dataset:
    """Return the outcomes of the options that cost least, in the order of the options."""
    mean = total_cost(outcomes).mean("season").values
    places = sorted(mean.argsort(kind="stable")[:MOST_OPTIONS])
    return outcomes.isel(option=places)


def _table(
    sheet: Sheet, top: float, farm: Farm, outcomes: xr.Dataset, scale: float, *, brief: bool
) -> float:
    """Write the comparison, or its first lines and sums; return where it ends."""
    some = _shown(outcomes)
    (compared,) = comparison_rows(farm, some)
    edges, plain = sheet.margin + LABELS, Font(8.5 * scale)
    width = (sheet.right - edges) / len(compared.labels)
    columns = [Column(sheet.margin, edges - 0.05, "left")]
    columns += [
        Column(edges + i * width + 0.05, edges + (i + 1) * width, "right")
        for i in range(len(compared.labels))
    ]
    bold, small = Font(plain.size, "bold"), Font(7.0 * scale, color=QUIET)
    top = written(sheet, top, "The options side by side", HEAD) + 0.06
    top = row(sheet, top, columns, ["", *compared.labels], bold) + 0.03
    for group in compared.measures:
        rule(sheet, sheet.margin, top, sheet.right, top, 0.6, GRID)
        top = written(sheet, top + 0.03, group.heading, bold)
        rows = _brief(group) if brief else group.rows
        for measure in rows:
            cells = [measure.name, *(cell.figure for cell in measure.cells)]
            top = row(sheet, top, columns, cells, bold if measure.role == "sum" else plain)
            if any(cell.band for cell in measure.cells):
                top = row(sheet, top, columns, ["", *(cell.band for cell in measure.cells)], small)
        top += 0.03
    said = "±: how far other draws of as many seasons would move a figure, 95 times in 100."
    missing = outcomes.sizes["option"] - some.sizes["option"]
    more = f" {missing} dearer options stand in report.html." if missing else ""
    return written(sheet, top + 0.03, said + more, Font(7.5 * scale, color=QUIET))


def _brief(group: Measures) -> tuple[Measure, ...]:
    """Return the sum of a group, or of dates the first two lines."""
    return tuple(measure for measure in group.rows if measure.role == "sum") or group.rows[:2]


def _figures_page(farm: Farm, outcomes: xr.Dataset, size: tuple[float, float]) -> Sheet:
    """Draw the second page."""
    sheet, some = new_sheet(*size, MARGIN), _shown(outcomes)
    crops = sorted(planted_crops(outcomes), key=lambda c: -float(outcomes.crop_area.sel(crop=c)))
    top = written(sheet, MARGIN, "When it is done, and what lateness costs", HEAD) + 0.5
    for crop in crops[:2]:
        ax = sheet.figure.add_axes(_box(sheet, 0.55, top, sheet.right - MARGIN - BESIDE, FINISH))
        plot_finish_dates(some, crop=crop, letters=LETTERS, ax=ax).set_xlabel("")
        top += FINISH + 0.7
    height = 0.4 * some.sizes["option"] + 0.25
    ax = sheet.figure.add_axes(_box(sheet, 1.55, top, sheet.right - MARGIN - 4.15, height))
    plot_lost_revenue(some, ax=ax)
    top += height + 0.5
    for scale, full in (*((scale, True) for scale in SCALES[:3]), (1.0, False)):
        if _notes(new_sheet(*size, MARGIN), top, farm, outcomes, scale, full=full) <= _floor(sheet):
            break
    _notes(sheet, top, farm, outcomes, scale, full=full)
    return sheet


def _floor(sheet: Sheet) -> float:
    """Return how far down text may reach [in]."""
    return sheet.height - FOOT - 0.1


def _box(
    sheet: Sheet, indent: float, top: float, width: float, height: float
) -> tuple[float, float, float, float]:
    """Return axes that begin right of the margin and below the top [in] as shares of the sheet."""
    left, bottom = sheet.margin + indent, sheet.height - top - height
    return left / sheet.width, bottom / sheet.height, width / sheet.width, height / sheet.height


def _notes(
    sheet: Sheet, top: float, farm: Farm, outcomes: xr.Dataset, scale: float, *, full: bool
) -> float:
    """Write the cautions and how the figures were computed; return where they end."""
    touched, text = cautions(farm), Font(8.5 * scale)
    top = written(sheet, top, "Before you act on this", HEAD) + 0.03
    if full:
        for caution in touched:
            top = written(sheet, top, f"{caution.topic}: {caution.text}", text) + 0.03
    elif touched:
        topics = ", ".join(caution.topic.lower() for caution in touched)
        said = f"The figures of this farm call for care about: {topics}; see report.html."
        top = written(sheet, top, said, text) + 0.03
    top = written(sheet, top, ADVICE, text) + 0.08
    top = written(sheet, top, "How it was computed", HEAD) + 0.03
    first, last = day_text(farm.season.first_day), day_text(farm.season.last_day)
    tables = ", ".join(json.loads(outcomes.attrs["farm_tables"]))
    beside = f" and its tables ({tables})" if tables else ""
    how = (
        f"Seasons from {first} to {last} were drawn once, and every option worked through the "
        f"same ones, day by day. Prices, yields and days are those of the farm file{beside}; "
        "report.html lists them with their sources."
    )
    top = written(sheet, top, how, text)
    if "draws" not in outcomes.attrs:
        again = f"The same figures again: {run_command(outcomes)}"
        top = written(sheet, top, again, text)
    return top


ADVICE = (
    "An aid to judgement, no advice. Long days cause accidents: rest, and let the work be late. "
    "Labels and local codes go before any figure here. Before taking on debt look at the bad "
    "years, and ask your lender and a licensed adviser."
)


def _foot(sheet: Sheet, outcomes: xr.Dataset, number: int) -> None:
    attrs, top = outcomes.attrs, sheet.height - FOOT
    rule(sheet, sheet.margin, top - 0.04, sheet.right, top - 0.04, 0.6, GRID)
    write(sheet, sheet.margin, top, f"fieldsim {attrs['fieldsim_version']}, seed {attrs['seed']}",
          SMALL)  # fmt: skip
    write(sheet, sheet.right, top, f"page {number} of 2", SMALL, "right")
