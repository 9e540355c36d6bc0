"""Quantiles of short samples, and what few years borrow from the weeks beside."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["neighbor_share", "sample_quantiles", "smoothing_weights"]


def sample_quantiles(
    sample: NDArray[np.float64], percentiles: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return quantiles of samples in which figures may be missing.

    The k-th smallest of n figures stands at the percentile (k - 1/3) / (n + 1/3), interpolated
    linearly between; beyond the outermost figures their value is kept. These plotting positions
    are about median-unbiased whatever the distribution: Hyndman and Fan 1996, Sample quantiles in
    statistical packages, The American Statistician 50(4), 361-365, definition 8.

    Parameters
    ----------
    sample : ndarray, shape (..., year, week)
        Figures; nan where missing.
    percentiles : ndarray, shape (percentile,)
        Shares of years [0..1].

    Returns
    -------
    ndarray, shape (..., week, percentile)
        In the unit of the sample; nan where all figures are missing.

    Examples
    --------
    >>> sample_quantiles(np.array([[3.0], [1.0], [2.0]]), np.array([0.2, 0.5])).tolist()
    [[1.0, 2.0]]
    """
    ordered = np.sort(np.moveaxis(sample, -2, -1), axis=-1)  # nan last
    count = (~np.isnan(ordered)).sum(axis=-1)[..., None]
    position = np.clip(percentiles * (count + 1 / 3) + 1 / 3, 1, np.maximum(count, 1)) - 1
    below = np.floor(position).astype(np.intp)
    above = np.minimum(below + 1, np.maximum(count - 1, 0))
    low, high = (np.take_along_axis(ordered, at, axis=-1) for at in (below, above))
    quantiles: NDArray[np.float64] = low + (position - below) * (high - low)
    return quantiles


def smoothing_weights(weights: NDArray[np.float64], half_width: int) -> NDArray[np.float64]:
    """Return the matrix that puts a straight line through each figure and those beside it.

    Locally weighted regression (Cleveland 1979, Journal of the American Statistical Association
    74, 829-836) with triangular weights and without its robustness steps: row i holds the weight
    of each figure j in the value at i of the line that fits the figures best with the weights
    weights_j (1 - |i - j| / (half_width + 1)). A line, and not a mean, so that figures that rise or
    fall steadily stay as they are, up to the first and the last with a weight; beyond those their
    values are kept, as a line drawn on would be at the mercy of chance.

    Parameters
    ----------
    weights : ndarray, shape (figure,)
        Weight of each figure [-], 0 or more, at least one above 0; here the years behind it.
    half_width : int
        Figures on either side that are looked at.

    Returns
    -------
    ndarray, shape (figure, figure)
        Each row adds up to 1.

    Examples
    --------
    >>> smoothing_weights(np.ones(4), half_width=2)[1].round(2).tolist()
    [0.33, 0.4, 0.2, 0.07]
    """
    count = len(weights)
    distance = np.arange(count)[None, :] - np.arange(count)[:, None]
    held = weights > 0
    matrix = np.zeros((count, count))
    for row, apart in enumerate(distance):
        reach = max(half_width, int(np.abs(apart[held]).min()))
        near = weights * np.maximum(1 - np.abs(apart) / (reach + 1), 0)
        moments = [(near * apart**power).sum() for power in range(3)]
        determinant = moments[0] * moments[2] - moments[1] ** 2
        if determinant > 1e-9 * moments[0] ** 2:
            line = near * (moments[2] - apart * moments[1]) / determinant
        else:
            line = near / moments[0]
        matrix[row] = line
    first, last = np.flatnonzero(held)[[0, -1]]
    matrix[:first], matrix[last + 1 :] = matrix[first], matrix[last]
    return matrix


def neighbor_share(years: NDArray[np.float64], neighbor_years: float) -> NDArray[np.float64]:
    """Return the share of a figure that is taken from the line through the figures beside it.

    neighbor_years / (neighbor_years + years): the line counts as much as so many years of the
    figure's own. This is the weight that makes the mean squared error least when the true figures
    lie around the line with the variance v and one year tells the figure with the variance
    v x neighbor_years (shrinkage as in Fay and Herriot 1979, Journal of the American Statistical
    Association 74, 269-277). One year tells the median of a week to about 2.2 days (1.25 standard
    deviations of a week); 20 neighbor years therefore stand for weeks whose true medians lie about
    0.5 day off a smooth course.

    Parameters
    ----------
    years : ndarray
        Years behind each figure.
    neighbor_years : float
        0 or more; 0 for no smoothing.

    Returns
    -------
    ndarray
        Shares [0..1]; 1 where there is no year.

    Examples
    --------
    >>> neighbor_share(np.array([0.0, 20.0, 60.0]), 20.0).tolist()
    [1.0, 0.5, 0.25]
    """
    total = neighbor_years + years
    return np.where(years > 0, neighbor_years / np.where(total > 0, total, 1.0), 1.0)
