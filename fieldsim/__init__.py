"""Which field outfit finishes on time, and what late planting costs.

fieldsim draws thousands of springs of suitable fieldwork days, works every set of equipment of a
farm through the same springs day by day, and says when each is finished, what lateness costs, and
which to prefer, with the error of every figure beside it.

A farm is a file. ``fieldsim new my_farm`` on the command line writes one with comments to begin
from, and a demo farm, which is invented, comes with the package:

>>> import fieldsim
>>> farm = fieldsim.demo_farm()  # or fieldsim.read_farm("my_farm/farm.toml")
>>> list(farm.options)
['four_rows', 'six_rows', 'eight_rows', 'two_six_rows']

`simulate` runs all options through the same drawn seasons; what comes back is an xarray Dataset
with units, seed and the farm itself in it. The same seed draws the same seasons:

>>> outcomes = fieldsim.simulate(farm, seasons=500, seed=0)
>>> outcomes.finish_date.dims
('option', 'season', 'operation', 'crop')

`summarize` says in words what that means, and no more than the numbers hold; `compare` is the table
behind it, season against season, `finish_dates` tells when work is done, `pairwise` sets every
option against every other, and `risk` and `efficient` look at the bad years:

>>> print(fieldsim.summarize(outcomes)[0].split(", by")[0])
On these assumptions, least cost in an average year: two outfits of 6 rows
>>> fieldsim.compare(outcomes).total_cost.idxmin()
'two_six_rows'

A farm is frozen. `changed` gives another one, with any figure of its file in other words; since the
seasons stay the same, what differs is due to that figure alone:

>>> half = fieldsim.changed(farm, {"fields.*.area": fieldsim.Times(0.5)})
>>> fieldsim.compare(fieldsim.simulate(half, seasons=500)).total_cost.idxmin()
'eight_rows'

`replay` tells one season day by day, `simulate_enough` draws seasons until the cheapest option is
told from the others, `study` runs many farms on a cluster, and `write_outcomes` and
`read_outcomes` keep results in netCDF files. A mistake in a farm file raises `InputError`, with
every fault at once and what to write instead.

Where to look next
------------------
fieldsim.plots
    Figures: outcomes in, matplotlib Axes out. ``python -m fieldsim.plots.gallery FARM.toml FOLDER``
    draws them all.
fieldsim.decisions
    What an answer hangs on (`sensitivity`, `breakeven`), how large a machine must be (`sizing`,
    `sizes`), and when a change pays back (`investment`).
fieldsim.days, fieldsim.machines, fieldsim.crops
    The science alone, on numbers and arrays: suitable days from tables, records and weather; field
    capacity, power and cost; yield by planting date. Each formula with its source.
fieldsim.variables.VARIABLES
    Name, unit and meaning of every variable of the outcomes.

The same from the command line: ``fieldsim --help``. Lessons stand in ``notebooks/``. Names are
loaded when first used, so that ``import fieldsim`` is quick.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
