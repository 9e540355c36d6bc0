"""Pictures of outcomes and studies: figures in, Axes out."""

from fieldsim.plots.breakeven import plot_cost_curves
from fieldsim.plots.days import plot_suitable_days
from fieldsim.plots.finish import plot_finish_dates
from fieldsim.plots.investment import plot_investment
from fieldsim.plots.loss import plot_lost_revenue
from fieldsim.plots.replay import plot_season
from fieldsim.plots.risk import plot_yearly_cost
from fieldsim.plots.sensitivity import plot_ranges, plot_variance_shares
from fieldsim.plots.sizes import plot_sizes
from fieldsim.plots.sizing import plot_certainty

__all__ = [
    "plot_certainty",
    "plot_cost_curves",
    "plot_finish_dates",
    "plot_investment",
    "plot_lost_revenue",
    "plot_ranges",
    "plot_season",
    "plot_sizes",
    "plot_suitable_days",
    "plot_variance_shares",
    "plot_yearly_cost",
]
