"""Whatever goes wrong says so in a sentence, and leaves the database and the folder as they were."""

import gzip
import io
import json
import resource
import tarfile

import pytest
from django.core.management import CommandError, call_command

from clinic.backup import archive
from clinic.backup.cipher import HEAD
from clinic.models import Clinic
from tests.clinic.backup.clinic_to_copy import backup, export, run

pytestmark = pytest.mark.usefixtures("furnished")


NOTED = '["clinic_backuprun"'  # a backup that came to nothing is noted for the manager


def kept() -> list[str]:
    return [line for line in export() if NOTED not in line]


def refusal(command: str, *args, **options) -> str:
    """Run it, and check beside what it says that it left nothing behind."""
    before = kept()
    with pytest.raises(CommandError) as refused:
        run(command, *args, **options)
    assert kept() == before
    return str(refused.value)


def other_key(key_file):
    other = key_file.with_name("other.key")
    other.write_text("00" * 32)
    other.chmod(0o600)
    return other


def test_a_restore_needs_the_key_that_the_backup_was_made_with(tmp_path, key_file):
    plain, enciphered = backup(tmp_path / "plain"), backup(tmp_path / "keyed", key_file=key_file)

    assert "not the key" in refusal(
        "restore", enciphered, key_file=other_key(key_file), replace=True
    )
    assert "needs its key: say --key-file" in refusal("restore", enciphered, replace=True)
    assert "without a key" in refusal("restore", plain, key_file=key_file, replace=True)
    missing = key_file.with_name("gone.key")
    assert "The key can't be read" in refusal("restore", enciphered, key_file=missing, replace=True)
    assert "There is no backup at" in refusal("restore", tmp_path / "gone", replace=True)


@pytest.mark.parametrize("enciphered", [False, True])
@pytest.mark.parametrize("share", [0, 0.001, 0.5, 0.99])
def test_a_backup_that_was_cut_short_is_not_used(tmp_path, key_file, enciphered, share):
    key = {"key_file": key_file} if enciphered else {}
    path = backup(tmp_path, **key)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * share)])

    said = refusal("restore", path, replace=True, **key)

    assert said.startswith("Nothing was changed.")
    assert "cut short or changed" in said or "needs" in said or "without a key" in said


# Some bytes in a row: among blanks, one more or less in a code can mean the same, and nothing is changed.
@pytest.mark.parametrize(("at", "many"), [(HEAD + 20, 16), (-5_000, 16), (-6, 1), (-1, 1)])
def test_a_backup_of_which_bytes_were_changed_is_not_used(tmp_path, key_file, at, many):
    for key in ({}, {"key_file": key_file}):
        path = backup(tmp_path / f"{len(key)}", **key)
        data = bytearray(path.read_bytes())
        for place in range(at, at + many):
            data[place] ^= 0xFF
        path.write_bytes(data)

        assert "cut short or changed" in refusal("restore", path, replace=True, **key)


def rewritten(path, change, content=None) -> None:
    """Write a plain backup anew, with a manifest or a content that is not its own."""
    with tarfile.open(path) as tar:
        manifest = json.load(tar.extractfile("manifest.json"))
        data = tar.extractfile("content").read() if content is None else content
    change(manifest)
    members = {"manifest.json": json.dumps(manifest).encode(), "content": data}
    with gzip.open(path, "wb") as packed, tarfile.open(fileobj=packed, mode="w|") as tar:
        for name, text in members.items():
            member = tarfile.TarInfo(name)
            member.size = len(text)
            tar.addfile(member, io.BytesIO(text))


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda one: one["content"]["migrations"].append(["rehab", "9999_later"]),
         "A newer version of this software wrote this backup (rehab 9999_later)"),
        (lambda one: one.update(engine="ledger"), "This backup is of ledger, but DATABASE_URL names"),
        (lambda one: one.update(sha256="0" * 64), "cut short or changed"),
        (lambda one: one["content"].update(digest="0" * 64), "not the same values"),
        (lambda one: one["content"]["counts"].update(cases_patient=7), 
         "cases_patient: 7 rows, 1 in the copy"),
        (lambda one: one.update(format=2), "A newer version of this software wrote this backup"),
        (lambda one: one.pop("content"), "no backup that this software wrote"),
    ],
)  # fmt: skip
def test_a_manifest_that_does_not_fit_is_refused(tmp_path, change, said):
    path = backup(tmp_path)
    rewritten(path, change)

    assert said in refusal("restore", path, replace=True)


def test_what_is_no_backup_is_refused(tmp_path):
    for name, data in {"text": b"hello", "empty": b"", "gz": gzip.compress(b"x" * 2000)}.items():
        (tmp_path / name).write_bytes(data)

        said = refusal("restore", tmp_path / name, replace=True)
        assert "cut short or changed" in said or "no backup that this software wrote" in said


@pytest.fixture
def small_files():
    """No file of this process may grow beyond 100 kB, as on a disk that is full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_disk_that_fills_up_leaves_nothing_half_written(tmp_path, small_files):
    with pytest.raises(CommandError, match="No backup was made"):
        call_command("backup", tmp_path)

    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_is_called_one(tmp_path, monkeypatch):
    def full(*_args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(archive, "pack", full)

    assert "the disk is full. Nothing half-written was left" in refusal("backup", tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_can_not_be_written_to_is_named():
    said = refusal("backup", "/sys/clinic-backups")  # nobody can make a folder there, not even root

    assert said.startswith("No backup was made. /sys/clinic-backups can't be used for backups")


def test_a_file_in_place_of_the_folder_is_named(tmp_path):
    (tmp_path / "file").touch()

    assert "can't be used for backups" in refusal("backup", tmp_path / "file")


def test_a_key_among_the_backups_is_refused(tmp_path, key_file):
    said = refusal("backup", key_file.parent, key_file=key_file)

    assert "whoever takes them has both" in said


def test_none_can_be_kept(tmp_path):
    assert "--keep must be 1 or more" in refusal("backup", tmp_path, keep=0)


def test_a_copy_that_comes_back_different_gets_no_name(tmp_path, monkeypatch):
    real = archive.digest_of

    def changed(path):
        # The copy changes after it was counted, as by a disk that does not keep what it was given.
        data = path.read_bytes()
        path.write_bytes(data.replace(Clinic.objects.get().name.encode(), b"X", 1))
        return real(path)

    monkeypatch.setattr(archive, "digest_of", changed)

    assert "No backup was made" in refusal("backup", tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_one_that_was_not_tried_out_says_so_in_its_name(tmp_path):
    tried = backup(tmp_path, keep=1)
    made = [backup(tmp_path, keep=1, untried=True) for _night in range(2)]

    assert sorted(tmp_path.iterdir()) == sorted([tried, made[-1]])
    assert made[-1].name.endswith("Z-untried.tar.gz")
