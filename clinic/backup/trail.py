"""Whether the audit trail still holds, and still has all that the backup before has seen of it.

Whoever owns the database can shorten the chain, or write it anew. The head that lies in an earlier backup is
out of their reach, where backups are brought to another place.
"""

from collections.abc import Mapping
from pathlib import Path

from clinic.backup.archive import opened
from clinic.backup.folder import newest
from clinic.backup.refusal import Refused
from clinic.chain_check import Head, check
from clinic.models import Clinic


def heads_before(folder: Path, key: bytes | None) -> Mapping[str, str]:
    """Where each clinic's trail ended in the newest backup, if this key opens it."""
    path = newest(folder)
    if path is None:
        return {}
    try:
        with opened(path, key) as backup:
            return backup.manifest.content.heads
    except (OSError, Refused):
        return {}


def broken(heads: Mapping[str, str]) -> list[str]:
    """Say of each clinic's trail that does not hold where it breaks."""
    found = [
        (
            clinic,
            check(clinic, Head.read(heads[str(clinic.pk)]) if str(clinic.pk) in heads else None),
        )
        for clinic in Clinic.objects.order_by("pk")
    ]
    return [f"clinic {clinic.pk}: {what.wrong}" for clinic, what in found if what.wrong]
