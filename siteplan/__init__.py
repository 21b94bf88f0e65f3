"""Site plans for automated vehicular swing gates."""

import gc
import os

__version__ = "0.1.0"

# Set before anything else is loaded.  Our arrays are small: threads of the linear algebra under numpy cost more
# processor time at the start than all our imports, and would slow small kernels down.  Records refer to one another
# in one direction only, so there is next to no rubbish in circles: looking for it seldom saves a tenth of the start.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
gc.set_threshold(50_000, 20, 100)
