"""Back up, lose everything, restore: what comes back is equal in every byte, and still sealed."""

import datetime

import pytest
from django.core.management import CommandError
from django.db import connection

from cases.models import Visit
from clinic.models import AuditEvent, Clinic
from tests.clinic.backup.clinic_to_copy import (
    KEY,
    backup,
    export,
    manifest_of,
    put_back,
    run,
    sha256,
)
from tests.clinic.backup.losing import lose_everything
from tests.factories.cases import create_patient
from tests.sealed import refused

pytestmark = pytest.mark.usefixtures("furnished")


@pytest.mark.parametrize("enciphered", [False, True])
def test_what_was_lost_comes_back_equal_in_every_byte(tmp_path, key_file, enciphered):
    before = export()
    path = backup(tmp_path / "backups", **({"key_file": key_file} if enciphered else {}))
    lose_everything()

    put_back(path, bytes.fromhex(KEY) if enciphered else None)

    assert sha256(export()) == sha256(before)
    assert len(before) > 300


def test_the_command_adds_nothing_but_a_line_in_the_trail(tmp_path):
    before = export()
    path = backup(tmp_path)
    lose_everything()

    said = run("restore", path)

    after = export()
    assert [line for line in before if line not in after] == []
    added = {line.partition(",")[0] for line in after if line not in before}
    assert added <= {'["clinic_auditevent"', '["clinic_link"'}
    event = AuditEvent.objects.latest("pk")
    assert (event.verb, event.actor) == ("restored a backup", None)
    assert event.detail == {"file": path.name, "kept": ""}
    assert "every value" in said


def test_what_was_written_since_is_kept_aside(tmp_path):
    path = backup(tmp_path)
    Clinic.objects.update(name="Written after the backup")

    with pytest.raises(CommandError, match=r"Nothing was changed\. The database holds data"):
        run("restore", path)
    assert Clinic.objects.get().name == "Written after the backup"

    said = run("restore", path, replace=True)
    assert Clinic.objects.get().name != "Written after the backup"
    kept = AuditEvent.objects.latest("pk").detail["kept"]
    assert f"What was there before is kept as {kept}." in said


def test_seals_and_keys_work_on_in_what_was_restored(tmp_path):
    path = backup(tmp_path)
    lose_everything()
    run("restore", path)

    signed = Visit.objects.filter(signed_at__isnull=False)
    for change, rule in (
        (lambda: signed.update(plan="changed"), "visit_signed_stays"),
        (lambda: signed.all()._raw_delete(signed.db), "visit_signed_stays"),
        (lambda: AuditEvent.objects.update(verb="changed"), "audit_only_grows"),
        (lambda: AuditEvent.objects.all()._raw_delete("default"), "audit_only_grows"),
    ):
        assert refused(change, by=rule)
    assert create_patient(clinic=Clinic.objects.get()).pk


def test_the_manifest_says_when_what_and_how_much_and_names_nobody(tmp_path):
    patient = create_patient(clinic=Clinic.objects.get(), given_name="Quillfeather")
    path = backup(tmp_path)

    manifest = manifest_of(path)
    made_at = datetime.datetime.fromisoformat(manifest["made_at"])
    assert f"clinic-{made_at:%Y%m%dT%H%M%SZ}.tar.gz" == path.name
    assert manifest["engine"] == connection.vendor
    assert manifest["content"]["counts"]["cases_patient"] == type(patient).objects.count()
    assert ["cases", "0001_baseline"] in manifest["content"]["migrations"]
    for name in ("Quillfeather", Clinic.objects.get().name):
        assert name not in str(manifest) + path.name


def test_only_this_account_can_read_a_backup(tmp_path):
    path = backup(tmp_path / "backups")

    assert (path.stat().st_mode & 0o777, path.parent.stat().st_mode & 0o777) == (0o600, 0o700)


def test_the_newest_stay(tmp_path):
    made = [backup(tmp_path, keep=2) for _night in range(3)]

    assert sorted(tmp_path.glob("*")) == made[1:]
