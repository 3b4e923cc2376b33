#!/usr/bin/env python
"""Django's command line for this project."""

import os
import pathlib
import signal
import sys


def stop(number: int, _frame: object) -> None:
    """Leave as after Ctrl-C: what a command has half made is taken away on the way out."""
    sys.exit(128 + number)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.settings")
    if sys.argv[1:2] == ["demo"]:
        # The demo brings its own database, so that it can never open a clinic's real one.
        demo = pathlib.Path(__file__).resolve().parent / "data" / "demo.sqlite3"
        demo.parent.mkdir(exist_ok=True)
        os.environ |= {"DEBUG": "1", "DATABASE_URL": f"sqlite:///{demo}"}
    from django.core.management import execute_from_command_line

    signal.signal(signal.SIGTERM, stop)
    try:
        execute_from_command_line(sys.argv)
    except KeyboardInterrupt:
        sys.stderr.write("Stopped.\n")
        sys.exit(128 + signal.SIGINT)
