"""The backups as witnesses of the audit trail: what was cut off or written anew since the last one shows."""

import re

import pytest
from django.core.management import CommandError

from clinic.chain_check import Head
from clinic.models import AuditEvent, BackupRun, Clinic, Link
from tests.clinic.backup.clinic_to_copy import backup, manifest_of, put_back, run
from tests.clinic.backup.losing import lose_everything
from tests.clinic.test_chain import by_force

pytestmark = pytest.mark.usefixtures("furnished")
LAST = "(SELECT MAX(number) FROM clinic_link)"


def test_the_manifest_says_where_each_trail_ends_and_a_restored_one_ends_there(tmp_path):
    clinic, head = Clinic.objects.get(), Head.of(Clinic.objects.get())
    path = backup(tmp_path)

    assert manifest_of(path)["content"]["heads"] == {str(clinic.pk): str(head)}
    assert head.number > 1
    lose_everything()
    put_back(path)
    assert Head.of(clinic) == head
    run("audit_check", expect=str(head), clinic=clinic.pk)


def test_a_trail_that_goes_on_holds(tmp_path):
    backup(tmp_path, keep=1)

    assert "every value" in run("backup", tmp_path, keep=1)


def test_a_trail_that_was_cut_off_since_the_last_backup_is_named_and_there_is_a_backup(tmp_path):
    first = backup(tmp_path, keep=1)
    # The last entry of all is the backup's own.
    by_force(
        f"DELETE FROM clinic_link WHERE number > {LAST} - 3",
        "DELETE FROM clinic_auditevent WHERE id NOT IN (SELECT event_id FROM clinic_link "
        "WHERE event_id IS NOT NULL)",
        "DELETE FROM clinic_change WHERE id NOT IN (SELECT change_id FROM clinic_link "
        "WHERE change_id IS NOT NULL)",
    )

    with pytest.raises(
        CommandError, match=r"was made\. But the audit trail does not hold.*missing"
    ):
        run("backup", tmp_path, keep=1)
    (second,) = tmp_path.glob("clinic-*")
    assert second.name > first.name


def test_an_entry_that_was_changed_is_named(tmp_path):
    by_force("UPDATE clinic_auditevent SET verb = 'read' WHERE verb = 'printed'")

    with pytest.raises(CommandError, match=r"clinic \d+: Entry \d+, event \d+, has been changed"):
        run("backup", tmp_path)
    noted, event = BackupRun.objects.get(), AuditEvent.objects.latest("pk")
    assert re.fullmatch(r"clinic \d+: Entry \d+, event \d+, has been changed\.", noted.trail)
    assert (noted.tried, event.verb, event.detail["trail"]) == (True, "backed up", "broken")


def test_a_backup_that_this_key_does_not_open_is_no_witness(tmp_path, key_file):
    backup(tmp_path, key_file=key_file)
    assert Link.objects.exists()

    assert "every value" in run("backup", tmp_path)
