"""Before anything is collected: a clean room for pages and tests, and drawing without a screen."""

from __future__ import annotations

import matplotlib
from refresh_notebooks import clean_room

clean_room()                 # kernels of notebook tests inherit this environment
matplotlib.use("Agg")        # this process only: kernels keep the backend that shows pictures in the page
