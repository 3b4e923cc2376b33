"""One case on one page: how the arm is, what changed, what is due, what goes on at home."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.charting import Around, chart_of
from assessments.charts import Chart
from assessments.course import Course, course_of, measured_visits
from assessments.results import Results
from cases.access import case_or_404
from cases.clinical.screening import open_items
from cases.models import Appointment, Case, Visit
from clinic.access import allow
from clinic.roles import Capability
from rehab.around import around
from rehab.complete import complete
from rehab.inputs import Records, reasons_not_to_issue
from rehab.models import Decision, Program


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step of a case: `state` is done, now, todo or stopped."""

    label: str
    state: str
    url: str
    detail: str = ""


@require_safe
@allow(Capability.READ_CLINICAL)
def case(request: HttpRequest, pk: int) -> HttpResponse:
    opened = case_or_404(request.user, pk)
    in_order = measured_visits(opened)
    course, visits = _course(opened, in_order), in_order[::-1]
    programs = list(Program.objects.of_case(opened).with_exercises())
    draft = next((program for program in programs if not program.is_issued), None)
    programs = [program for program in programs if program.is_issued]
    current = next((program for program in programs if program.ended_at is None), None)
    records = Records(opened)
    battery, earlier = records.rounds
    records.findings = list(battery.findings.all()) if battery else []
    found = steps(records, course, visits, current, links=request.user.may_write_clinical)
    context = {
        "case": opened,
        "course": course,
        "charts": charts(course, around(records, course, programs)),
        "results": Results(course=course),
        "flags": records.red_flags if opened.is_open else (),
        "sore": records.other_side_sore,
        "complete": complete(records, course, today=timezone.localdate()),
        "visits": visits,
        "draft_visit": next((visit for visit in visits if not visit.is_signed), None),
        "program": current,
        "draft": draft,
        "programs": programs,
        "battery": battery,
        "earlier": earlier,
        "reading": battery.read(earlier) if battery and earlier else None,
        "made": Decision.objects.of_case(opened).first(),
        "steps": found,
        "asked_first": "" if current else _asked_first(found),
        "self_check_waits": bool(records.screening and records.screening.must_wait()),
        "open_reasons": reasons_not_to_issue(opened, records=records) if not current else (),
        "appointment": Appointment.objects.next_of(opened, after=timezone.now()),
        "signed_today": any(at.is_signed and at.on == timezone.localdate() for at in visits[:1]),
    }
    return render(request, "rehab/case.html", context)


def _course(opened: Case, in_order: list[Visit]) -> Course:
    """The course up to the newest visit, or to one before while nothing is measured at its draft."""
    course = course_of(opened, visits=in_order)
    if in_order[1:] and not in_order[-1].is_signed and not course.today.anything:
        return course_of(opened, visits=in_order[:-1])
    return course


def _asked_first(found: list[Step]) -> str:
    """Which of the intake and the screening comes before a visit."""
    pages = zip(("intake", "screening"), found, strict=False)
    return next((page for page, step in pages if step.state == "now"), "")


def charts(course: Course, around: Around) -> list[Chart]:
    """Two measures that the stages are judged by; the course page has all of them."""
    if len(course.visits) < 2:
        return []
    found = (
        chart_of(course, key, around=around, alone=False) for key in ("grip_pain_free", "prtee")
    )
    return [chart for chart in found if chart]


def steps(
    records: Records, course: Course, visits: list[Visit], current: Program | None, *, links: bool
) -> list[Step]:
    """The way from the first question to the first program, with what is done; `links` to do it."""
    opened, screening = records.case, records.screening
    clear = screening is not None and screening.may_issue()[0]
    visit = next((visit for visit in visits if not visit.is_signed), None)
    on_visit = [visit.pk] if visit else None

    def address(name: str, args: list | None) -> str:
        return reverse(name, args=args) if args else ""

    found = [
        (_("Intake"), records.intake.pk is not None, reverse("cases:intake", args=[opened.pk])),
        (_("Screening"), clear, reverse("cases:screening", args=[opened.pk])),
        (_("Battery"), records.battery is not None, address("cases:battery", on_visit)),
        (
            _("Measures"),
            any(at.anything for at in course.visits),
            address("assessments:measures", on_visit),
        ),
        (_("Program"), current is not None, reverse("rehab:program", args=[opened.pk])),
        (
            _("Notes and signature"),
            any(at.is_signed for at in visits),
            address("rehab:visit", on_visit),
        ),
    ]
    stopped = screening is not None and not clear and bool(open_items(screening.given()))
    if not links:
        found = [(label, done, "") for label, done, _url in found]
    return _in_order(found, stopped_at=1 if stopped else None)


def _in_order(found: list[tuple[str, bool, str]], *, stopped_at: int | None) -> list[Step]:
    made, reached = [], False
    for place, (label, done, url) in enumerate(found):
        state = "done" if done else "todo" if reached else "now"
        if place == stopped_at:
            state = "stopped"
        reached = reached or not done
        made.append(Step(label=label, state=state, url=url))
    return made
