from __future__ import annotations

import numpy as np
import xarray as xr
from matplotlib.colors import to_rgb

from fieldsim.plots import plot_finish_dates, plot_lost_revenue
from fieldsim.plots.style import COLORS, CROP_COLORS, option_styles


def test_an_option_has_one_color_in_all_plots(outcomes: xr.Dataset) -> None:
    finish, loss = plot_finish_dates(outcomes, crop="soybeans"), plot_lost_revenue(outcomes)
    colors = [
        {str(line.get_label()): line.get_color() for line in ax.lines} for ax in (finish, loss)
    ]
    for option in outcomes.option.values:
        assert colors[0][option] == colors[1][option]
    assert len({colors[0][option] for option in outcomes.option.values}) == 4


def test_options_differ_in_dashes_and_markers_as_well(outcomes: xr.Dataset) -> None:
    styles = option_styles(outcomes).values()
    assert len({str(style.line) for style in styles}) == 4
    assert len({style.marker for style in styles}) == 4
    drawn = [line for line in plot_finish_dates(outcomes).lines if line.get_linestyle() != "None"]
    assert len({str(line._dash_pattern) for line in drawn[:4]}) == 4


def test_many_options_never_share_color_dashes_and_marker(outcomes: xr.Dataset) -> None:
    many = outcomes.isel(option=[0] * 30)
    many = many.assign_coords(option=[f"option_{i}" for i in range(30)])
    looks = {(s.color, str(s.line), s.marker) for s in option_styles(many).values()}
    assert len(looks) == 30


def test_no_color_of_a_line_is_too_pale_for_white_paper() -> None:
    """Contrast of relative luminance, W3C (2008), WCAG 2.0, "contrast ratio"; from memory."""
    for color in (*COLORS, *CROP_COLORS):
        rgb = np.array(to_rgb(color))
        linear = np.where(rgb <= 0.03928, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
        luminance = float(linear @ [0.2126, 0.7152, 0.0722])
        assert 1.05 / (luminance + 0.05) > 2.0
