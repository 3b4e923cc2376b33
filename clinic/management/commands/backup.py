"""`manage.py backup`: one file with everything, which has been restored once."""

from pathlib import Path

from django.core.management.base import BaseCommand, CommandError
from django.db import connection
from django.utils import timezone

from clinic.backup.cipher import read_key
from clinic.backup.engines import engine_of
from clinic.backup.making import Made, Order, make
from clinic.backup.noting import note_made, note_problem
from clinic.backup.progress import Progress
from clinic.backup.refusal import Refused
from clinic.backup.trail import broken, heads_before

TRAIL = (
    "But the audit trail does not hold; unless a backup was restored since the last one, "
    "somebody has changed it past the software."
)


class Command(BaseCommand):
    help = (
        "Copy the whole database into a new file of FOLDER while others work, restore the file elsewhere, "
        "compare every value, and keep the newest of them. For cron, every night."
    )

    def add_arguments(self, parser) -> None:
        parser.add_argument("folder", type=Path)
        parser.add_argument("--keep", type=int, default=14, help="how many stay (14)")
        parser.add_argument("--key-file", type=Path, help="64 hexadecimal figures; encrypts it")
        parser.add_argument(
            "--work", type=Path, help="where a plain copy may lie meanwhile; on an encrypted disk"
        )
        parser.add_argument(
            "--untried", action="store_true", help="do not restore it; its name says so"
        )

    def handle(self, *, folder: Path, verbosity: int, **options) -> None:
        say, began = Progress(self.stdout, quiet=verbosity == 0), timezone.now()
        try:
            engine = engine_of(connection.settings_dict)
            wanted = order(folder, options)
            heads = heads_before(folder, wanted.key)  # before the file goes that has them
            made = make(engine, wanted, now=began, say=say)
        except Refused as refused:
            note_problem(refused, began=began, ended=timezone.now())
            raise CommandError(f"No backup was made. {refused}") from refused
        how = {"tried": wanted.tried, "began": began, "ended": timezone.now()}
        say.step(said(made, tried=wanted.tried))
        say.step("Checking the audit trail …")
        told = " ".join(broken(heads))
        try:
            note_made(made, trail=told, **how)
        except Refused as refused:
            raise CommandError(str(refused)) from refused
        if told:
            raise CommandError(f"{made.path} was made. {TRAIL} {told}")


def order(folder: Path, options: dict) -> Order:
    if options["keep"] < 1:
        raise Refused("--keep must be 1 or more.")
    key_file = options["key_file"]
    if key_file and key_file.resolve().parent == folder.resolve():
        raise Refused("The key lies among the backups: whoever takes them has both. Move it away.")
    return Order(
        folder=folder,
        keep=options["keep"],
        key=read_key(key_file) if key_file else None,
        work=options["work"],
        tried=not options["untried"],
    )


def said(made: Made, *, tried: bool) -> str:
    rows = sum(made.manifest.content.counts.values())
    how = "restored once and equal in every value" if tried else "not tried out"
    gone = f" {len(made.forgotten)} older ones were deleted." if made.forgotten else ""
    return f"{made.path}: {rows} rows, {made.size / 1e6:.1f} MB, {how}.{gone}"
