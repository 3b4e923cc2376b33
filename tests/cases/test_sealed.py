"""What the database itself refuses, past every form."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from cases.models import Addendum, Battery, Case, Finding, Visit
from clinic.audit import record
from clinic.models import AuditEvent
from tests.factories.cases import create_case, create_patient, create_signed_visit, create_visit
from tests.factories.findings import create_battery, create_finding
from tests.sealed import changed, refused, sql


@pytest.fixture
def signed(db):
    """A signed visit with one finding."""
    visit = create_visit()
    create_finding(battery=create_battery(visit=visit))
    visit.sign(by=visit.practitioner, at=timezone.now())
    return visit


@pytest.fixture
def addendum(signed):
    return Addendum.objects.create(
        visit=signed, text="Added.", reason="late", written_by=signed.practitioner
    )


VISIT_WRITES = {
    "save": lambda v: changed(v, plan="Other."),
    "move": lambda v: changed(v, case=create_case(lead=v.practitioner)),
    "unsign": lambda v: changed(v, signed_at=None, signed_by=None),
    "queryset": lambda v: lambda: Visit.objects.update(plan="Other."),
    "delete": lambda v: lambda: Visit.objects.filter(pk=v.pk)._raw_delete("default"),
    "raw update": lambda v: sql("UPDATE cases_visit SET plan = %s WHERE id = %s", "Other.", v.pk),
    "raw delete": lambda v: sql("DELETE FROM cases_visit WHERE id = %s", v.pk),
}


@pytest.mark.parametrize("way", VISIT_WRITES)
def test_a_signed_visit_stays(signed, way):
    assert refused(VISIT_WRITES[way](signed), by="visit_signed_stays")
    assert Visit.objects.get(pk=signed.pk).plan == ""


@pytest.mark.django_db
def test_a_draft_visit_may_be_changed_and_deleted():
    visit = create_visit()

    changed(visit, plan="Other.")()
    visit.delete()

    assert Visit.objects.count() == 0


FINDING_WRITES = {
    "save": lambda f: changed(f, pain=1),
    "queryset": lambda f: lambda: Finding.objects.update(pain=1),
    "delete": lambda f: f.delete,
    "add": lambda f: lambda: create_finding(battery=f.battery, side="left"),
    "raw update": lambda f: sql("UPDATE cases_finding SET pain = 1 WHERE id = %s", f.pk),
    "raw delete": lambda f: sql("DELETE FROM cases_finding WHERE id = %s", f.pk),
    "move": lambda f: changed(f, battery=create_battery(visit=create_visit())),
}


@pytest.mark.parametrize("way", FINDING_WRITES)
def test_findings_of_a_signed_visit_stay(signed, way):
    finding = Finding.objects.get()

    assert refused(FINDING_WRITES[way](finding), by="finding_of_signed_visit_stays")
    assert list(Finding.objects.values_list("side", "pain")) == [("right", 6)]


BATTERY_WRITES = {
    "save": lambda b: changed(b, resting_pain=3),
    "queryset": lambda b: lambda: Battery.objects.update(resting_pain=3),
    "raw update": lambda b: sql("UPDATE cases_battery SET resting_pain = 3 WHERE id = %s", b.pk),
}


@pytest.mark.parametrize("way", BATTERY_WRITES)
def test_the_battery_of_a_signed_visit_stays(signed, way):
    battery = Battery.objects.get()

    assert refused(BATTERY_WRITES[way](battery), by="battery_of_signed_visit_stays")
    assert Battery.objects.get().resting_pain == 0


@pytest.mark.django_db
def test_a_signed_visit_takes_no_battery_afterwards():
    signed = create_signed_visit()

    assert refused(lambda: create_battery(visit=signed), by="battery_of_signed_visit_stays")


ADDENDUM_WRITES = {
    "save": lambda a: changed(a, text="Other."),
    "queryset": lambda a: lambda: Addendum.objects.update(text="Other."),
    "delete": lambda a: a.delete,
    "raw update": lambda a: sql("UPDATE cases_addendum SET text = %s", "Other."),
    "raw delete": lambda a: sql("DELETE FROM cases_addendum"),
}


@pytest.mark.parametrize("way", ADDENDUM_WRITES)
def test_an_addendum_stays(addendum, way):
    assert refused(ADDENDUM_WRITES[way](addendum), by="addendum_stays")
    assert Addendum.objects.get().text == "Added."


AUDIT_WRITES = {
    "save": lambda e: changed(e, verb="never was here"),
    "queryset": lambda e: lambda: AuditEvent.objects.update(verb="never was here"),
    # Without the look at what points to it, which would refuse sooner.
    "delete": lambda e: lambda: AuditEvent.objects.filter(pk=e.pk)._raw_delete("default"),
    "raw update": lambda e: sql("UPDATE clinic_auditevent SET verb = %s", "never was here"),
    "raw delete": lambda e: sql("DELETE FROM clinic_auditevent"),
}


@pytest.mark.parametrize("way", AUDIT_WRITES)
def test_an_audit_event_stays(physiotherapist, way):
    event = record(physiotherapist, "opened")

    assert refused(AUDIT_WRITES[way](event), by="audit_only_grows")
    assert AuditEvent.objects.get().verb == "opened"


@pytest.mark.django_db
def test_a_case_has_one_draft_visit():
    case = create_visit().case

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        create_visit(case=case)

    assert case.visits.count() == 1


@pytest.mark.django_db
def test_a_signed_visit_leaves_room_for_the_next_draft():
    case = create_signed_visit().case

    create_visit(case=case)

    assert case.visits.count() == 2


@pytest.mark.django_db
def test_an_elbow_has_one_open_case():
    patient = create_patient()
    create_case(patient=patient, side="left")

    with pytest.raises(IntegrityError, match=r"(?i)unique"), transaction.atomic():
        create_case(patient=patient, side="left")

    assert list(Case.objects.values_list("side", flat=True)) == ["left"]


@pytest.mark.django_db
def test_both_elbows_and_a_closed_case_leave_room():
    patient = create_patient()
    create_case(patient=patient, side="left")
    closed = create_case(patient=patient, side="right")
    closed.close("discharged", on=closed.opened, reason="settled")

    create_case(patient=patient, side="right")

    assert sorted(Case.objects.values_list("side", flat=True)) == ["left", "right", "right"]
