"""How much memory something takes."""

import tracemalloc
from collections.abc import Callable


def peak_mb(run: Callable[[], object]) -> float:
    """What Python holds at the most while it runs, beyond what it held before, in MB."""
    tracemalloc.start()
    try:
        run()
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()
