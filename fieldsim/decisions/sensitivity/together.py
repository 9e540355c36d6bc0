"""What an answer hangs on: all inputs moved together, each anywhere in its range."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from fieldsim.decisions.sensitivity.input_checks import check_inputs
from fieldsim.decisions.sensitivity.inputs import Input, farm_at, shown_at, span
from fieldsim.decisions.sensitivity.question import answer, ask, attributes, costs
from fieldsim.decisions.sensitivity.usual_inputs import usual_inputs
from fieldsim.errors import Fault, InputError
from fieldsim.farm import Farm
from fieldsim.randomness import stream

__all__ = ["check_samples", "sobol", "variance_shares"]

RESAMPLES = 1000
DECIMALS = 10  # releases of NumPy and SciPy differ in the sixteenth
BAND = (0.025, 0.975)
SAMPLES = (16, 65_536)  # least and most, powers of 2

Floats = NDArray[np.float64]
Progress = Callable[[float], None]


def sobol(
    farm: Farm,
    inputs: Sequence[Input] | None = None,
    *,
    option: str | None = None,
    against: str | None = None,
    samples: int = 256,
    seasons: int = 200,
    seed: int = 0,
    progress: Progress | None = None,
) -> pd.DataFrame:
    """Say which inputs make the mean total cost, or a mean difference, unsure: Sobol indices.

    Each input may lie anywhere in its range, all with the same chance and independently of the
    others. Every sample is worked through the same seasons. A farm takes about 30 ms, and
    `samples` x (inputs + 2) are worked: keep to the inputs that `ranges` puts first.

    Parameters
    ----------
    farm : Farm
    inputs : sequence of Input, optional
        Two or more; default: `usual_inputs`.
    option : str, optional
        Default: the option that costs least.
    against : str, optional
        Ask for the difference of total cost between the two in place of the cost of `option`.
    samples : int
        A power of 2, from 16 to 65,536.
    seasons, seed : int
        See `simulate`.
    progress : callable, optional
        Called now and then with the share that is done, 0..1.

    Returns
    -------
    pandas.DataFrame
        A row for each input, the largest total index first:

        - ``low``, ``high``: the ends of its range, as people read them;
        - ``first_order``: the share of the variance that this input alone makes [0..1];
        - ``total``: the share that it has a part in, with other inputs or alone;
        - the ends of the 95 % bootstrap interval of each in ``..._low`` and ``..._high``;
        - ``basis``: where the range comes from.

        ``attrs`` holds ``mean`` and ``standard_deviation`` of what is asked over the samples [$],
        ``cheaper``, the share of samples in which `option` is the cheaper of the two (nan without
        `against`), ``samples``, and what that of `ranges` holds but ``best``.

    Raises
    ------
    InputError
        If an input, an option or a number is at fault.

    Notes
    -----
    See `variance_shares`.

    Examples
    --------
    >>> import fieldsim
    >>> two = Input("wage", ("money.wage",), 0.8, 1.25), Input("area", ("fields.*.area",), 0.8, 1.2)
    >>> sobol(fieldsim.demo_farm(), two, samples=16, seasons=20).index.tolist()
    ['area', 'wage']
    """
    check_samples(samples)
    if inputs is not None:
        check_inputs(farm, inputs)
    chosen = usual_inputs(farm) if inputs is None else tuple(inputs)
    if len(chosen) < 2:
        problem = "shares of the variance need two inputs or more"
        raise InputError([Fault("", "inputs", str(len(chosen)), problem, "name another")])
    question, _ = ask(farm, option, against, seasons, seed)
    if against is None:
        question = replace(question, contenders=(question.option,))
    spans = np.array([span(item) for item in chosen])
    worked = samples * (len(chosen) + 2)

    def mean_answers(shares: Floats) -> Floats:
        """Return the answer for each column of places in the ranges [0..1]."""
        found = []
        for places in shares.T:
            at = spans[:, 0] + places * (spans[:, 1] - spans[:, 0])
            positions = dict(zip(chosen, at.tolist(), strict=True))
            found.append(answer(question, costs(question, farm_at(farm, positions))).mean())
            done.append(found[-1])
            if progress is not None:
                progress(len(done) / worked)
        return np.array(found)

    done: list[float] = []
    table = variance_shares(mean_answers, [item.name for item in chosen], samples, seed)
    for place, end in enumerate(("low", "high")):
        shown = [
            shown_at(farm, item, ends[place])
            for item, ends in zip(chosen, spans.tolist(), strict=True)
        ]
        table.insert(place, end, shown)
    table["basis"] = [item.basis for item in chosen]
    independent = np.array(done[: 2 * samples])
    table = table.sort_values("total", ascending=False, kind="stable")
    table.attrs = attributes(question) | {
        "mean": float(independent.mean()),
        "standard_deviation": float(independent.std(ddof=1)),
        "cheaper": float((independent < 0).mean()) if against is not None else np.nan,
        "samples": samples,
    }
    return table


def variance_shares(
    function: Callable[[Floats], Floats], names: Sequence[str], samples: int, seed: int = 0
) -> pd.DataFrame:
    """Return the Sobol indices of a function of independent numbers, each uniform from 0 to 1.

    Parameters
    ----------
    function : callable
        Takes an array of shape (input, sample) and returns one of shape (sample,).
    names : sequence of str
        Of the inputs, two or more.
    samples : int
        A power of 2; the function is asked for `samples` x (inputs + 2) points.
    seed : int

    Returns
    -------
    pandas.DataFrame
        A row for each input: `first_order` and `total` [0..1], each with the ends of its 95 %
        bootstrap interval in ``..._low`` and ``..._high``.

    Notes
    -----
    First-order and total indices as in Saltelli, Annoni, Azzini, Campolongo, Ratto and Tarantola
    (2010), Computer Physics Communications 181, 259-270, table 2 (b) and (f), by
    `scipy.stats.sobol_indices`, on a scrambled Sobol sequence; percentile intervals of a bootstrap
    over the samples.

    Examples
    --------
    >>> shares = variance_shares(lambda x: 2 * x[0] + x[1], ["a", "b"], samples=1024)
    >>> shares.first_order.round(2).tolist()
    [0.8, 0.2]
    """
    from scipy.stats import qmc

    count = len(names)
    sequence = qmc.Sobol(2 * count, seed=stream(seed, "sensitivity.samples"))
    a, b = sequence.random(samples).T.reshape(2, count, samples)
    mixed = np.repeat(a[None], count, axis=0)
    mixed[np.arange(count), np.arange(count)] = b
    at_a, at_b = function(a), function(b)
    at_mixed = np.array([function(page) for page in mixed])
    indices = _indices(at_a, at_b, at_mixed)
    resampled = stream(seed, "sensitivity.bootstrap").integers(samples, size=(RESAMPLES, samples))
    spread = np.array([_indices(at_a[i], at_b[i], at_mixed[:, i]) for i in resampled])
    low, high = np.quantile(spread, BAND, axis=0)
    columns: dict[str, Floats] = {}
    for place, name in enumerate(("first_order", "total")):
        ends = {"": indices, "_low": low, "_high": high}
        columns |= {name + end: values[place].round(DECIMALS) for end, values in ends.items()}
    return pd.DataFrame(columns, index=pd.Index(names, name="input"))


def _indices(at_a: Floats, at_b: Floats, at_mixed: Floats) -> Floats:
    """Return first-order and total indices, shape (2, input); 0 where nothing varies."""
    from scipy.stats import sobol_indices

    points: dict[Literal["f_A", "f_B", "f_AB"], Floats] = {
        "f_A": at_a[None],
        "f_B": at_b[None],
        "f_AB": at_mixed[:, None],
    }
    found = sobol_indices(func=points, n=at_a.size)
    return np.array([found.first_order, found.total_order])


def check_samples(samples: int) -> None:
    """Raise unless a number of samples is a power of 2 within its bounds.

    Raises
    ------
    InputError
    """
    least, most = SAMPLES
    power = isinstance(samples, int) and samples > 0 and samples & (samples - 1) == 0
    if not (power and least <= samples <= most):
        problem = f"a power of 2 from {least} to {most:,} is allowed"
        raise InputError([Fault("", "samples", repr(samples), problem, "write 256")])
