"""Which field outfit finishes on time, and what late planting costs.

Names are loaded when first used, so that ``import fieldsim`` is quick.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
