"""The least that three pages can cost: the rows that they show by plain SQL, in a table without a style.

And the least that any page can cost: a view that returns a constant. All are behind the same middleware on
the same server, so that who is signed in is known, as it must be. No floor writes into the trail that
somebody has looked at a patient; the pages do.
"""

import datetime

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.template import Context, Engine
from django.urls import path
from django.utils import timezone

from clinic.urls import (  # noqa: F401  a list of addresses has its failure pages beside it
    handler400,
    handler403,
    handler404,
    handler500,
)
from clinic.urls import urlpatterns as site

BARE = Engine().from_string(
    "<!doctype html><title>Rows</title>{% for rows in tables %}<table>{% for row in rows %}<tr>"
    "{% for cell in row %}<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}</table>{% endfor %}"
)
PERSON = "p.id, p.given_name, p.family_name, p.record_number, p.phone"
BOOKED = f"""
SELECT a.id, a.starts_at, a.ends_at, a.status, a.kind, a.practitioner_id, {PERSON}, c.id, c.side
FROM cases_appointment a JOIN cases_patient p ON p.id = a.patient_id
LEFT JOIN cases_case c ON c.id = a.case_id
"""
DECLINED = """
(SELECT outcome FROM cases_contact WHERE case_id = c.id ORDER BY id DESC LIMIT 1)
"""
WAITING = f"""
FROM cases_case c JOIN cases_patient p ON p.id = c.patient_id
WHERE c.clinic_id = %(clinic)s AND c.status = 'open' AND c.lead_id = %(user)s AND c.due_on <= %(week)s
AND NOT EXISTS (SELECT 1 FROM cases_appointment WHERE case_id = c.id AND starts_at >= %(midnight)s
  AND status NOT IN ('cancelled', 'missed'))
AND COALESCE({DECLINED}, '') <> 'declined'
"""
DAY = (
    f"{BOOKED} WHERE a.practitioner_id = %(user)s AND a.starts_at >= %(midnight)s "
    "AND a.starts_at < %(next)s AND a.status <> 'cancelled' ORDER BY a.starts_at",
    f'SELECT v.id, v."on", v.saved_at, c.side, {PERSON} FROM cases_visit v '
    "JOIN cases_case c ON c.id = v.case_id JOIN cases_patient p ON p.id = c.patient_id "
    'WHERE v.practitioner_id = %(user)s AND v.signed_at IS NULL ORDER BY v."on" DESC',
    f"SELECT c.id, c.side, {PERSON} FROM cases_case c JOIN cases_patient p ON p.id = c.patient_id "
    f"WHERE c.lead_id = %(user)s AND c.status = 'open' AND {DECLINED} = 'declined'",
    f"SELECT c.id, c.due_on, {PERSON} {WAITING} ORDER BY c.due_on LIMIT 8",
    f"SELECT COUNT(*) {WAITING}",
)
BOOK = (
    f"{BOOKED} WHERE a.clinic_id = %(clinic)s AND a.starts_at >= %(midnight)s "
    "AND a.starts_at < %(next)s ORDER BY a.starts_at",
    "SELECT id, first_name, last_name FROM clinic_staff WHERE clinic_id = %(clinic)s AND treats",
    "SELECT weekday, opens, closes FROM clinic_openinghours WHERE clinic_id = %(clinic)s",
    "SELECT staff_id, starts_at, ends_at FROM clinic_absence WHERE clinic_id = %(clinic)s "
    "AND starts_at < %(next)s AND ends_at > %(midnight)s",
    "SELECT day, name FROM clinic_closedday WHERE clinic_id = %(clinic)s AND day = %(today)s",
)
OF_VISIT = "WHERE visit_id IN (SELECT id FROM cases_visit WHERE case_id = %(case)s)"
NEWEST_ROUNDS = (
    f"SELECT id FROM cases_battery {OF_VISIT} ORDER BY performed_on DESC, id DESC LIMIT 2"
)
CASE = (
    f"SELECT c.*, {PERSON}, p.born, p.sex, p.handedness FROM cases_case c "
    "JOIN cases_patient p ON p.id = c.patient_id WHERE c.id = %(case)s",
    "SELECT v.id, v.\"on\", v.signed_at, v.signed_name, s.first_name, s.last_name FROM cases_visit v "
    "JOIN clinic_staff s ON s.id = v.practitioner_id WHERE v.case_id = %(case)s ORDER BY v.\"on\" DESC",
    f"SELECT visit_id, context, value FROM assessments_painrating {OF_VISIT}",
    "SELECT g.visit_id, g.side, g.position, g.effort, t.number, t.force_n, t.struck "
    "FROM assessments_griptest g JOIN assessments_griptrial t ON t.grip_test_id = g.id "
    f"{OF_VISIT}",
    f"SELECT visit_id, items FROM assessments_questionnaireresponse {OF_VISIT}",
    "SELECT r.visit_id, a.name, r.value FROM assessments_activityrating r "
    f"JOIN cases_activity a ON a.id = r.activity_id {OF_VISIT}",
    f"SELECT visit_id, value FROM assessments_globalrating {OF_VISIT}",
    f"SELECT visit_id, value FROM assessments_timeoffwork {OF_VISIT}",
    "SELECT id, version, stage, stage_since, policy, load_kg, remark, issued_at, ended_at "
    "FROM rehab_program WHERE case_id = %(case)s",
    "SELECT e.* FROM rehab_programexercise e JOIN rehab_program p ON p.id = e.program_id "
    "WHERE p.case_id = %(case)s",
    "SELECT \"on\", sets_done, worst_pain, next_morning_pain, night_wakings FROM rehab_diaryday "
    "WHERE case_id = %(case)s ORDER BY \"on\"",
    "SELECT battery_id, test, side, finger, answer, pain FROM cases_finding "
    f"WHERE battery_id IN (SELECT id FROM ({NEWEST_ROUNDS}) AS newest)",
    "SELECT made, made_step, decided_at FROM rehab_decision "
    f"{OF_VISIT} ORDER BY id DESC LIMIT 1",
    "SELECT question, answer, note FROM cases_screeninganswer WHERE screening_id = "
    "(SELECT id FROM cases_screening WHERE case_id = %(case)s ORDER BY \"on\" DESC, id DESC LIMIT 1)",
    "SELECT rest_pain, worst_pain, nights_woken FROM cases_intake WHERE case_id = %(case)s",
    f"{BOOKED} WHERE a.case_id = %(case)s AND a.starts_at >= %(midnight)s ORDER BY a.starts_at LIMIT 1",
)  # fmt: skip


def constant(request: HttpRequest) -> HttpResponse:
    return HttpResponse("constant")


def day(request: HttpRequest) -> HttpResponse:
    return _rows(request, DAY)


def book(request: HttpRequest) -> HttpResponse:
    return _rows(request, BOOK)


def case(request: HttpRequest, pk: int) -> HttpResponse:
    return _rows(request, CASE, case=pk)


def _rows(request: HttpRequest, statements: tuple[str, ...], **numbers: int) -> HttpResponse:
    today = timezone.localdate()
    midnight = timezone.make_aware(datetime.datetime.combine(today, datetime.time()))
    midnight = midnight.astimezone(datetime.UTC)
    told = numbers | {
        "user": request.user.pk,
        "clinic": request.user.clinic_id,
        "today": today.isoformat(),
        "week": (today + datetime.timedelta(days=7)).isoformat(),
        "midnight": f"{midnight:%Y-%m-%d %H:%M:%S}",
        "next": f"{midnight + datetime.timedelta(days=1):%Y-%m-%d %H:%M:%S}",
    }
    tables = []
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement, told)
            tables.append(cursor.fetchall())
    return HttpResponse(BARE.render(Context({"tables": tables})))


urlpatterns = [
    path("floor/constant/", constant),
    path("floor/day/", day),
    path("floor/book/", book),
    path("floor/cases/<int:pk>/", case),
    *site,
]
