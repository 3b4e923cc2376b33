"""Patients brought in from a file, page by page."""

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from cases.importing import steps
from cases.models import Import, ImportRow, Patient
from clinic.models import AuditEvent
from tests.cases.importing import (
    HEAD,
    begin,
    bring_in,
    checked,
    go_on,
    name_columns,
    problems,
    row,
    upload,
    url,
    written,
)
from tests.factories.cases import create_case, create_patient
from tests.factories.clinic import create_manager

pytestmark = pytest.mark.django_db

NO_DATE = "“%s” is no date in the order that was chosen; a year has four digits."


@pytest.fixture
def desk(signed_in, manager):
    return signed_in(manager)


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def numbers() -> list[int]:
    return list(Patient.objects.order_by("pk").values_list("record_number", flat=True))


def test_a_file_is_uploaded_understood_checked_and_brought_in(desk, manager):
    create_patient(clinic=manager.clinic, record_number=41)
    answer = upload(desk, written([row(1), row(2, Sex="")]))
    run = Import.objects.get()
    assert answer.url == url(run, "columns")
    page = desk.get(answer.url)
    codes = ["own_number", "given_name", "family_name", "born", "sex", "phone"]
    assert page.context["form"].places == {code: place for place, code in enumerate(codes)}
    assert "<td>Ada1</td>" in page.content.decode()

    assert name_columns(desk, run).url == url(run)
    assert "0 of 2 rows are checked" in words(desk.get(url(run)))
    run = go_on(desk, run)
    assert "<strong>2 rows</strong> can be brought in." in words(desk.get(url(run)))
    assert Patient.objects.count() == 1
    begin(desk, run)
    run = go_on(desk, run)

    assert "<strong>2 rows</strong> were brought in." in words(desk.get(url(run)))
    first, second = Patient.objects.order_by("record_number")[1:]
    assert (str(first), first.record_number, first.born.isoformat()) == (
        "Ada1 Quist7919",
        42,
        "1931-02-02",
    )
    assert (first.sex, first.handedness, first.phone, first.clinic) == (
        "female",
        "unset",
        "+44 1632 960100",
        manager.clinic,
    )
    assert (second.sex, second.record_number) == ("unstated", 43)
    assert list(Patient.objects.named("quist7919")) == [first]


def test_one_event_says_what_was_brought_in_with_counts(desk, manager):
    run = bring_in(desk, written([row(1), row(2), row(2), row(3, Surname="")]), errors="good")

    event = AuditEvent.objects.get(verb="brought in")
    assert (event.actor, event.object_id) == (manager, run.pk)
    assert event.detail == {
        "what": "patients",
        "sha": run.sha256[:12],
        "brought": 2,
        "known": 1,
        "wrong": 1,
    }


def test_at_the_end_the_file_and_the_cells_of_what_is_in_are_removed(desk):
    run = bring_in(desk, written([row(1), row(2, Surname="")]), errors="good")

    assert (run.file_parts.count(), run.state) == (0, "done")
    assert [one.cells for one in run.rows.brought()] == [{}]
    assert run.rows.wrong().get().cells["given_name"] == "Ada2"


def test_a_column_without_a_meaning_is_not_kept(desk):
    data = written([[*row(1), "Hurts when gripping"]], head=[*HEAD, "Notes"])
    run = checked(desk, data)

    assert "Hurts" not in str(list(run.rows.values_list("cells", flat=True)))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"Surname": ""}, "The name is missing."),
        ({"Surname": "Q" * 81}, "Ensure this value has at most 80 characters (it has 81)."),
        ({"Date of birth": ""}, "The birth date is missing."),
        ({"Date of birth": "2999-01-01"}, "The birth date is in the future or before 1900."),
        ({"Date of birth": "1899-12-31"}, "The birth date is in the future or before 1900."),
        ({"Date of birth": "31.02.1981"}, NO_DATE % "31.02.1981"),
        ({"Date of birth": "1.2.81"}, NO_DATE % "1.2.81"),
        ({"Phone": "ring me"}, "Enter the phone number in digits, for example +44 1632 960100."),
        ({"Number": "9"}, "Line 2 has this number too."),
    ],
)  # fmt: skip
def test_a_row_with_an_error_is_named_by_its_line(desk, changes, why):
    run = checked(desk, written([row(9), row(4, **changes)]))

    assert problems(run) == [(3, why)]
    assert why in desk.get(url(run)).content.decode()


def test_lines_are_those_of_the_file_also_after_a_cell_of_two_lines_and_an_empty_line(desk):
    data = written([row(1, Phone="\r\n"), [], row(2, Surname="")])
    run = checked(desk, data)

    assert [line for line, _why in problems(run)] == [5]


def test_all_or_nothing_does_not_begin_while_a_row_has_an_error(desk):
    run = checked(desk, written([row(1), row(2, Surname="")]))
    answer = begin(desk, run)

    assert answer.status_code == 422
    assert "There are rows with errors." in answer.content.decode()
    assert Patient.objects.count() == 0


def test_the_good_rows_alone_are_brought_in_when_that_is_chosen(desk):
    bring_in(desk, written([row(1), row(2, Surname=""), row(3)]), errors="good")

    assert [str(one)[:4] for one in Patient.objects.order_by("pk")] == ["Ada1", "Ada3"]
    assert numbers() == [1, 2]


def test_who_is_on_record_is_shown_and_left_out(desk, manager):
    known = create_patient(
        clinic=manager.clinic, given_name="Tor", family_name="Zahl", record_number=7
    )
    new = row(2)
    same = row(3, **{"First name": "TOR", "Surname": "Zähl", "Date of birth": "1981-05-04"})
    near = row(4, **{"First name": "Thor", "Surname": "Zahl", "Date of birth": "1981-05-04"})
    run = checked(desk, written([same, near, new]))

    assert problems(run) == [
        (2, "On record already: Tor Zahl, record 0007."),
        (3, "Perhaps on record already: Tor Zahl, record 0007, born the same day."),
    ]
    assert reverse("cases:patient", args=[known.pk]) in desk.get(url(run)).content.decode()
    begin(desk, run)
    go_on(desk, run)
    assert numbers() == [7, 8]


def test_the_same_person_twice_in_a_file_comes_in_once(desk):
    twice = row(2, Number="17")
    run = bring_in(desk, written([row(1), row(2), twice, row(2, Number="18", Surname="Quist5832")]))

    assert problems(run) == [
        (4, "The same person as line 3."),
        (5, "Perhaps the same person as line 3: born the same day, with a name that is alike."),
    ]
    assert numbers() == [1, 2]


def test_the_same_person_is_found_across_the_steps_of_the_check(desk, monkeypatch):
    monkeypatch.setattr(steps, "CHECKED_AT_ONCE", 2)
    run = checked(desk, written([row(1), row(2), row(3), row(1, Number="4")]))

    assert problems(run) == [(5, "The same person as line 2.")]


def test_somebody_else_with_the_same_name_and_birth_date_comes_in_when_ticked(desk):
    run = checked(desk, written([row(1), row(1, Number="2")]))
    (twin,) = run.rows.on_record()
    begin(desk, run, anyway=[twin.pk])
    go_on(desk, run)

    assert Patient.objects.count() == 2


def test_the_same_file_is_refused_the_second_time_whatever_it_is_called(desk, manager):
    data = written([row(1)])
    bring_in(desk, data)
    answer = upload(desk, data, name="other.csv")

    assert answer.status_code == 422
    assert "This very file was brought in already: “old.csv”" in answer.content.decode()
    assert Import.objects.count() == 1


def test_two_runs_of_the_same_file_do_not_both_begin(desk):
    data = written([row(1)])
    first, second = checked(desk, data), checked(desk, data)
    begin(desk, first)

    assert begin(desk, second).status_code == 422
    with pytest.raises(IntegrityError, match=r"import_file_once|sha256"), transaction.atomic():
        Import.objects.filter(pk=second.pk).update(state="writing")


def test_a_cancelled_file_leaves_nothing_and_may_come_again(desk):
    data = written([row(1)])
    run = checked(desk, data)
    desk.post(url(run, "stop"))

    assert (run.rows.count(), run.file_parts.count(), Patient.objects.count()) == (0, 0, 0)
    bring_in(desk, data)
    assert Patient.objects.count() == 1


def test_a_run_goes_on_where_it_stopped_and_no_row_comes_in_twice(desk, monkeypatch):
    monkeypatch.setitem(steps.WRITTEN_AT_ONCE, "patients", 2)
    run = checked(desk, written([row(n) for n in range(1, 6)]))
    begin(desk, run)
    desk.post(url(run, "step"))
    assert "2 of 5 rows are in" in words(desk.get(url(run)))

    def breaks(*_args):
        raise OSError

    with monkeypatch.context() as patch:
        patch.setattr(ImportRow.objects, "keep_found", breaks)
        patch.setattr(desk, "raise_request_exception", False)
        assert desk.post(url(run, "step")).status_code == 500
    assert Patient.objects.count() == 2
    go_on(desk, run)

    assert numbers() == [1, 2, 3, 4, 5]
    names = [one.given_name for one in Patient.objects.order_by("record_number")]
    assert names == ["Ada1", "Ada2", "Ada3", "Ada4", "Ada5"]


def test_whom_the_desk_registers_meanwhile_is_left_out(desk, manager):
    run = checked(desk, written([row(1), row(2)]))
    create_patient(
        clinic=manager.clinic, given_name="Ada2", family_name="Quist5831", born="1932-03-03"
    )
    begin(desk, run)
    run = go_on(desk, run)

    assert [line for line, _why in problems(run)] == [3]
    assert run.counts == {"brought": 1, "known": 1}


def test_stopped_half_way_all_or_nothing_takes_back_what_is_in(desk, monkeypatch):
    monkeypatch.setitem(steps.WRITTEN_AT_ONCE, "patients", 2)
    run = checked(desk, written([row(n) for n in range(1, 6)]))
    begin(desk, run)
    for _step in range(2):
        desk.post(url(run, "step"))
    used = Patient.objects.get(record_number=1)
    create_case(patient=used)
    desk.post(url(run, "stop"))
    run = go_on(desk, run)

    assert list(Patient.objects.all()) == [used]
    assert run.state == "undone"
    assert "Taken back, but for <strong>1 row</strong> that was used meanwhile." in words(
        desk.get(url(run))
    )


def test_stopped_half_way_the_good_rows_that_are_in_stay(desk, monkeypatch):
    monkeypatch.setitem(steps.WRITTEN_AT_ONCE, "patients", 2)
    run = checked(desk, written([row(n) for n in range(1, 6)]))
    begin(desk, run, errors="good")
    desk.post(url(run, "step"))
    desk.post(url(run, "stop"))

    assert (go_on(desk, run).state, Patient.objects.count()) == ("done", 2)


def test_what_the_database_refuses_is_named_and_the_rest_is_taken_back(desk, monkeypatch):
    run = checked(desk, written([row(1), row(2), row(3)]))
    begin(desk, run)
    real = Patient.save

    def save(patient, **kwargs):
        if patient.given_name == "Ada2":
            raise IntegrityError
        real(patient, **kwargs)

    def refuse(*_args):
        raise IntegrityError

    monkeypatch.setattr(Patient.objects, "bulk_create", refuse)
    monkeypatch.setattr(Patient, "save", save)
    monkeypatch.setattr("cases.models.patient.PatientQuerySet.bulk_create", refuse)
    run = go_on(desk, run)

    assert (run.state, Patient.objects.count()) == ("undone", 0)
    assert problems(run) == [(3, "The database refuses this row.")]


def test_the_rows_left_out_can_be_put_right_and_brought_in(desk):
    rows = [row(1), row(2, Surname=""), row(3, Phone="ring me", **{"First name": "=1+1"})]
    run = bring_in(desk, written(rows), errors="good")
    answer = desk.get(url(run, "left_out"))
    text = b"".join(answer.streaming_content).decode()

    assert text.splitlines() == [
        "Line,Why,Number,First name,Surname,Date of birth,Sex,Phone",
        "3,Family name: The name is missing.,2,Ada2,,1932-03-03,f,'+44 1632 960100",
        '4,"Phone: Enter the phone number in digits, for example +44 1632 960100.",3,'
        "'=1+1,Quist3743,1933-04-04,f,ring me",
    ]
    right = text.replace("Ada2,,", "Ada2,Berg,").replace("ring me", "'+44 1632 960101")
    bring_in(desk, right.encode())
    again = Patient.objects.order_by("pk")[1:]
    assert [(one.given_name, one.family_name, one.phone) for one in again] == [
        ("Ada2", "Berg", "+44 1632 960100"),
        ("=1+1", "Quist3743", "+44 1632 960101"),
    ]
    assert "=1+1" in desk.get(reverse("cases:patients")).content.decode()


def test_text_of_the_file_is_shown_as_text(desk):
    run = checked(
        desk, written([row(1, Surname="<script>x</script>"), row(2, Surname="<i>", Phone="x")])
    )
    page = desk.get(url(run)).content.decode()

    assert "<i>" not in page
    assert "&lt;i&gt;" in page


@pytest.mark.parametrize("who", ["front_desk", "physiotherapist"])
def test_only_a_manager_brings_in_files(request, signed_in, desk, who):
    run = checked(desk, written([row(1)]))
    other = signed_in(request.getfixturevalue(who))

    assert upload(other, written([row(2)])).status_code == 403
    assert [other.get(url(run, page)).status_code for page in ("run", "columns", "left_out")] == [
        403
    ] * 3
    assert [other.post(url(run, page)).status_code for page in ("step", "begin", "stop")] == [
        403
    ] * 3
    assert "Bring in a file" not in other.get(reverse("cases:patients")).content.decode()


def test_a_run_of_another_clinic_does_not_exist(signed_in, desk):
    run = checked(desk, written([row(1)]))
    stranger = signed_in(create_manager())

    assert [
        stranger.get(url(run, page)).status_code for page in ("run", "columns", "left_out")
    ] == [404] * 3
    assert [stranger.post(url(run, page)).status_code for page in ("step", "begin", "stop")] == [
        404
    ] * 3
    assert upload(stranger, written([row(1)])).status_code == 302


def test_a_person_of_another_clinic_is_nobody_here(desk):
    create_patient(given_name="Ada1", family_name="Quist7919", born="1931-02-02")

    assert problems(checked(desk, written([row(1)]))) == []


def test_the_orders_of_a_date_are_shown_by_a_date_that_they_change(desk):
    rows = [row(number) for number in range(1, 8)] + [row(8, **{"Date of birth": "01/02/1975"})]
    upload(desk, written(rows))

    page = desk.get(url(Import.objects.get(), "columns"))

    orders = dict(page.context["form"]["order_born"].field.choices)
    assert orders["day"] == "day first: 01/02/1975 is 1 Feb 1975"
    assert orders["month"] == "month first: 01/02/1975 is 2 Jan 1975"
    assert orders["iso"] == "year first: 1931-02-02 is 2 Feb 1931"
