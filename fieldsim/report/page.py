"""One page in HTML, whole in itself: nothing is fetched and nothing runs in it."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

import pandas as pd
import xarray as xr
from jinja2 import Environment, StrictUndefined
from markupsafe import Markup
from matplotlib.figure import Figure

from fieldsim.decisions import summarize
from fieldsim.decisions.cautions import cautions
from fieldsim.decisions.in_words.few import few_years
from fieldsim.decisions.in_words.undone import hardly_done
from fieldsim.decisions.in_words.worn import worn_out
from fieldsim.farm import Farm
from fieldsim.plots.words import day_text
from fieldsim.report.assumptions import assumptions
from fieldsim.report.captions import Caption, captions
from fieldsim.report.comparison import comparison_rows
from fieldsim.report.equipment_table import equipment_tables, people_table
from fieldsim.report.figures import make_figures
from fieldsim.report.inline_svg import inline_svg
from fieldsim.report.leads_table import leads_table
from fieldsim.report.opening import check_farm, land, question, run_command
from fieldsim.report.time_table import time_table
from fieldsim.writing import written_whole

__all__ = ["render_report", "write_report"]


def render_report(
    farm: Farm,
    outcomes: xr.Dataset,
    figures: Mapping[str, Figure] | None = None,
    leads: pd.DataFrame | None = None,
) -> str:
    """Return the page that says what was found and what it rests on.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm.
    figures : mapping, optional
        From `make_figures`, where they are drawn already.
    leads : pandas.DataFrame, optional
        From `fieldsim.decisions.in_words.leads`: what the answer hangs on is then on the page.

    Returns
    -------
    str
        HTML. The same outcomes give the same text, byte for byte.

    Raises
    ------
    InputError
        If the outcomes are those of another farm file.

    Examples
    --------
    >>> import fieldsim
    >>> farm = fieldsim.demo_farm()
    >>> page = render_report(farm, fieldsim.simulate(farm, 50))
    >>> page.count("<figure")
    4
    """
    check_farm(farm, outcomes)
    drawn = make_figures(farm, outcomes) if figures is None else figures
    template = (files("fieldsim.report") / "page.html.j2").read_text(encoding="utf-8")
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.from_string(template).render(
        farm=farm,
        run=outcomes.attrs
        | {"seasons": outcomes.sizes["season"], "options": outcomes.sizes["option"]},
        question=question(outcomes),
        land=land(farm),
        answer=[
            *summarize(outcomes, leads=leads),
            *hardly_done(outcomes),
            *few_years(farm, outcomes),
        ],
        hangs=None if leads is None else leads_table(leads),
        command=run_command(outcomes),
        parts=_replicates(outcomes),
        compared=comparison_rows(farm, outcomes),
        figures=_figures(drawn, captions(outcomes)),
        touched=cautions(farm),
        time=time_table(farm),
        equipment=equipment_tables(outcomes),
        worn=worn_out(farm, outcomes),
        people=people_table(outcomes),
        tables=assumptions(farm),
        first_day=day_text(farm.season.first_day),
        last_day=day_text(farm.season.last_day),
    )


def write_report(
    farm: Farm,
    outcomes: xr.Dataset,
    figures: Mapping[str, Figure] | None,
    path: str | Path,
    leads: pd.DataFrame | None = None,
) -> None:
    """Write the page to a file; an old file stays whole until the new one is.

    Parameters
    ----------
    farm : Farm
    outcomes : xarray.Dataset
        From `simulate`, of the same farm.
    figures : mapping or None
        From `make_figures`; None: they are drawn.
    path : str or Path
        Name of the file, as ``report.html``.
    leads : pandas.DataFrame, optional
        See `render_report`.

    Raises
    ------
    InputError
        If the outcomes are those of another farm file.
    """
    page = render_report(farm, outcomes, figures, leads)
    with written_whole(path) as beside:
        beside.write_text(page, encoding="utf-8", newline="\n")


def _replicates(outcomes: xr.Dataset) -> str:
    given = outcomes.attrs.get("replicates")
    return "" if given is None else f", replicates={given}"


def _figures(
    figures: Mapping[str, Figure], known: Mapping[str, Caption]
) -> list[tuple[Caption, Markup]]:
    """Return each figure as SVG, with its caption."""
    drawn = []
    for number, (name, figure) in enumerate(figures.items(), 1):
        caption = known[name]
        svg = inline_svg(figure, f"figure-{number}", caption.title, caption.alt)
        drawn.append((caption, svg))
    return drawn
