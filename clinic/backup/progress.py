"""How far long work is, for whoever sits before the terminal; cron's mail gets one line a step."""

import io
import time
from typing import TextIO


class Progress:
    """Tells a step in a line; on a terminal also how much of it is done, once a second."""

    def __init__(self, out: TextIO, *, quiet: bool = False):
        self.out, self.quiet, self.told = out, quiet, 0.0
        self.live = not quiet and out.isatty()

    @classmethod
    def silent(cls) -> "Progress":
        return cls(io.StringIO(), quiet=True)

    def step(self, text: str) -> None:
        if not self.quiet:
            self.out.write(f"{text}\n")
            self.out.flush()

    def share(self, done: int, total: int) -> None:
        if not self.live or time.monotonic() - self.told < 1:
            return
        self.told = time.monotonic()
        self.out.write(f"  {100 * done // max(total, 1)} %\r")
        self.out.flush()
