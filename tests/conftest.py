"""What all tests share: random inputs are drawn without a clock, since nothing here is a timed test.

Matrix libraries keep to one thread: the tests already run side by side, and threads that wait for each
other on a busy machine take a hundred times as long.
"""

import os

from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
