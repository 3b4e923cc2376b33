"""What the rules propose at a visit, and what the physiotherapist decides."""

import datetime
from dataclasses import dataclass
from functools import cached_property

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from assessments.course import Course, course_of
from cases.access import visit_or_404
from cases.models import Visit
from clinic.access import allow
from clinic.answers import answer_form
from clinic.audit import record
from clinic.forms import stamp
from clinic.looked import changed_since
from clinic.roles import Capability
from clinic.typed import typed
from clinic.wording import Sentence
from clinic.writing import atomic_post
from rehab.clinical.progression import Proposal, propose
from rehab.clinical.sessions import JUDGED_DAYS
from rehab.clinical.thresholds import Limits
from rehab.forms.decision import DecisionForm, StageCheckForm
from rehab.grouped import Judged, judged
from rehab.inputs import Records, arm_today, is_highly_irritable
from rehab.models import Decision, Program, StageCheck


@dataclass(kw_only=True)
class DecisionSection:
    """The proposal at a visit as the records stand now, or the decision that was made."""

    visit: Visit
    program: Program | None
    made: Decision | None = None
    proposal: Proposal | None = None
    form: DecisionForm | None = None
    diary: frozenset[datetime.date] = frozenset()
    url: str

    @property
    def runs(self) -> bool:
        """Whether the program was done at home before this visit and still is: only then is there a diary."""
        return self.program is not None and self.program.ended_at is None and not self.is_new

    @property
    def is_new(self) -> bool:
        """Issued on the day of the visit: there is nothing to judge yet."""
        return timezone.localdate(self.program.issued_at) >= self.visit.on

    @property
    def diary_ends(self) -> datetime.date | None:
        return max(self.diary, default=None)

    @property
    def diary_is_behind(self) -> bool:
        """Whether days before the visit are still on paper; the proposal takes them as not written down."""
        yesterday = self.visit.on - datetime.timedelta(days=1)
        if self.made or not self.runs:
            return False
        return self.diary_ends is None or self.diary_ends < yesterday

    @property
    def unknown(self) -> list[Sentence]:
        """The criteria that a value is missing for."""
        return [row.words for row in self.proposal.criteria if row.held is None]

    @property
    def empty_days(self) -> int:
        """Days without a row among those that sessions are counted on, if fewer rows stand than sessions."""
        window = min(JUDGED_DAYS, (self.visit.on - timezone.localdate(self.program.issued_at)).days)
        since = self.visit.on - datetime.timedelta(days=window)
        rows = sum(since <= on < self.visit.on for on in self.diary)
        asked = self.program.main.days_per_week * window / 7
        return window - rows if self.runs and rows < asked else 0

    @property
    def next_version(self) -> int:
        return self.program.version + 1

    @property
    def proposed(self) -> dict[str, object]:
        """What accepting the proposal comes to; its reasons may be worded anew without changing that."""
        values = vars(self.proposal).items()
        return {
            name: str(value)
            for name, value in values
            if name in ("decision", "load_step") or name.startswith("next_")
        }

    @property
    def seen(self) -> str:
        return stamp(self.proposed)

    @cached_property
    def judged(self) -> Judged:
        return judged(self.proposal)


def decision_section(
    request: HttpRequest, visit: Visit, records: Records, course: Course
) -> DecisionSection:
    url = reverse("rehab:decision", args=[visit.pk])
    if made := Decision.objects.at(visit):
        return DecisionSection(
            visit=visit, program=made.program, made=made, proposal=made.as_proposed(), url=url
        )
    section = DecisionSection(visit=visit, program=Program.objects.current_of(visit.case), url=url)
    if section.program and section.program.main and not section.is_new:
        arm = arm_today(visit, section.program, course, records=records)
        section.proposal = propose(arm, limits=records.limits)
        section.diary = frozenset(day.on for day in records.diary)
        section.form = DecisionForm(
            typed(request, url), proposal=section.proposal, reason=request.GET.get("reason", "")
        )
    return section


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def decision(request: HttpRequest, pk: int) -> HttpResponse:
    """The proposal alone, asked for again whenever the visit's page has saved something."""
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    course = course_of(visit.case, visit=visit)
    records = Records(visit.case)
    section = decision_section(request, visit, records, course)
    if request.method == "POST":
        return _decide(request, section, course, records.limits)
    template = "rehab/decision.html" + ("#proposal" if request.htmx else "")
    return render(request, template, {"decision": section})


def _decide(
    request: HttpRequest, section: DecisionSection, course: Course, limits: Limits
) -> HttpResponse:
    visit = section.visit
    if section.form is None or visit.is_signed:
        messages.error(
            request,
            _("Nothing was decided: the decision is made, the visit is signed or no program runs."),
        )
        return redirect("rehab:visit", visit.pk)
    if section.form.is_valid() and changed_since(request, section.proposed):
        section.form.add_error(
            None, _("What is proposed has changed since you looked. Read it, then decide.")
        )
    if not section.form.is_valid():
        context = {"decision": section, "form": section.form}
        return render(request, "rehab/decision.html", context, status=422)
    made = Decision.make(
        visit,
        section.program,
        section.proposal,
        by=request.user,
        at=timezone.now(),
        irritable=is_highly_irritable(visit.case, course, on=visit.on, limits=limits),
        limits=limits,
        **section.form.cleaned_data,
    )
    record(
        request.user, "decided", made, proposed=made.proposed, made=made.made, step=made.made_step
    )
    if made.changes_program:
        return redirect("rehab:program", visit.case_id)
    return redirect("rehab:visit", visit.pk)


@dataclass(kw_only=True)
class StageCheckSection:
    visit: Visit
    form: StageCheckForm
    url: str


def stage_check_section(
    request: HttpRequest, visit: Visit, check: StageCheck | None = None
) -> StageCheckSection:
    url = reverse("rehab:stage_check", args=[visit.pk])
    check = check or StageCheck.at(visit)
    form = StageCheckForm(typed(request, url), instance=check, prefix="check")
    if form.is_bound and visit.is_signed:
        form.add_error(
            None, _("This visit is signed. Nothing was saved; copy it into an addendum.")
        )
    return StageCheckSection(visit=visit, form=form, url=url)


@require_http_methods(["GET", "POST"])
@allow(Capability.WRITE_CLINICAL)
@atomic_post
def stage_check(request: HttpRequest, pk: int) -> HttpResponse:
    """What no measure gives: the test lift, the job, the other arm."""
    visit = visit_or_404(request.user, pk, lock=request.method == "POST")
    if visit.is_signed and request.method == "GET":
        return redirect("rehab:visit", pk)
    section = stage_check_section(request, visit)
    context = {"check": section, "form": section.form}
    if request.method == "GET":
        return render(request, "rehab/stage_check.html", context)
    ok = section.form.is_valid()
    if ok:
        section.form.save()
        section.form.restamp()
        record(request.user, "answered stage check", visit)
        context["saved_at"] = timezone.now()
    onward = reverse("rehab:visit", args=[visit.pk])
    return answer_form(
        request, "rehab/stage_check.html", context, ok=ok, state="check-state", onward=onward
    )
