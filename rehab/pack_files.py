"""The packs of a run as files: all in one, or one for each patient. One pack at a time is in memory."""

import io
import zipfile
from typing import BinaryIO

from django.utils import timezone
from django.utils.translation import gettext as _

from clinic.templatetags.clinic_tags import written
from rehab.models import Handout, Pack, PackRun
from rehab.printing.joined import Joined


def write_one_file(run: PackRun, target: BinaryIO) -> None:
    """Write all packs one after the other. Raises Altered when a sheet is not what was handed out."""
    joined = Joined(target, two_sided=run.two_sided)
    languages: set[str] = set()
    for pack in run.packs.in_order():
        languages |= _add(joined, pack)
    _end(joined, run, languages)


def write_archive(run: PackRun, target: BinaryIO) -> None:
    """Write a ZIP archive with a file for each patient, known by the record number."""
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for pack in run.packs.in_order():
            if data := _alone(run, pack):
                archive.writestr(f"pack-{pack.patient.record}.pdf", data)


def _alone(run: PackRun, pack: Pack) -> bytes:
    file = io.BytesIO()
    joined = Joined(file, two_sided=run.two_sided)
    languages = _add(joined, pack)
    if not languages:
        return b""
    _end(joined, run, languages)
    return file.getvalue()


def _add(joined: Joined, pack: Pack) -> set[str]:
    """Add the sheets of a pack and return their languages."""
    joined.begin(f"{pack.patient} · {pack.patient.record}")
    found = set()
    # A query for each pack: all in one would be sorted with their bytes, and so be in memory together.
    for handout in Handout.objects.in_pack(pack).with_bytes():
        joined.add(_title(handout), handout.as_it_was())
        found.add(handout.language)
    return found


def _title(handout: Handout) -> str:
    sheet = handout.get_kind_display().capitalize()
    if handout.case is None:
        return sheet
    side = handout.case.get_side_display()
    return _("%(sheet)s, %(side)s elbow") % {"sheet": sheet, "side": side}


def _end(joined: Joined, run: PackRun, languages: set[str]) -> None:
    title = _("Packs of %(day)s") % {"day": written(run.day)}
    language = languages.pop() if len(languages) == 1 else ""
    on = timezone.localdate(run.made_at)
    joined.end(title=title, author=run.clinic.name, on=on, language=language)
