"""Addresses of what is prescribed, done at home and decided, and of the pages that show a case whole."""

from django.urls import include, path

from rehab.views import (
    arrival,
    case,
    case_exports,
    caseload,
    catalog,
    copies,
    corrections,
    course,
    decision,
    diary,
    due,
    equipment,
    erasing,
    exchange,
    handouts,
    history,
    packs,
    pages,
    paper_diary,
    papers,
    prints,
    program,
    referral,
    refusals,
    research,
    restrictions,
    rights,
    seen,
    self_check,
    thresholds,
    visit,
)

app_name = "rehab"

# /cases/<pk>/
case_urls = [
    path("", case.case, name="case"),
    path("program/", program.program, name="program"),
    path("program/issue/", program.program_issue, name="program_issue"),
    path("program/discard/", program.program_discard, name="program_discard"),
    path("equipment/", equipment.equipment, name="equipment"),
    path("diary/", diary.diary, name="diary"),
    path("paper-diary/", paper_diary.paper_diary, name="paper_diary"),
    path("course/", course.course, name="course"),
    path("ladder/", history.history, name="history"),
    path("course.pdf", prints.course, name="course_pdf"),
    path("self-check.pdf", self_check.self_check, name="self_check"),
    path("case.fhir.json", exchange.case_fhir, name="case_fhir"),
    path("summary.pdf", prints.summary, name="summary"),
    path("summary/", pages.summary, name="summary_page"),
    path("summary.html", pages.summary_file, name="summary_file"),
]

# /visits/<pk>/
visit_urls = [
    path("", visit.visit, name="visit"),
    path("stage-check/", decision.stage_check, name="stage_check"),
    path("decision/", decision.decision, name="decision"),
    path("sign/", visit.sign, name="sign"),
    path("record.pdf", prints.visit_record, name="visit_record"),
]

# /screening-answers/<pk>/
screening_answer_urls = [
    path("referral-letter/", referral.referral, name="referral"),
    path("referral-letter.pdf", referral.referral_letter, name="referral_letter"),
    path("letter-given/", referral.referral_given, name="referral_given"),
]

# /programs/<pk>/
program_urls = [
    path("home-program.pdf", prints.home_program, name="home_program"),
    path("home-program/", pages.home_program, name="home_program_page"),
    path("home-program.html", pages.home_program_file, name="home_program_file"),
    path("next-visit.ics", pages.next_visit_entry, name="next_visit_entry"),
    path("diary.pdf", prints.diary_page, name="diary_page"),
    path("return-plan.pdf", prints.return_plan, name="return_plan_pdf"),
    path("withdraw/", program.program_withdraw, name="program_withdraw"),
]

# /exercises/
exercise_urls = [
    path("", catalog.catalog, name="catalog"),
    path("new/", catalog.catalog_new, name="catalog_new"),
    path("<slug:code>/", catalog.catalog_card, name="catalog_card"),
    path("<slug:code>/change/", catalog.catalog_change, name="catalog_change"),
    path("<slug:code>/offer/", catalog.catalog_offer, name="catalog_offer"),
]

# /packs/
pack_urls = [
    path("", packs.packs, name="packs"),
    path("<int:pk>/", packs.pack_run, name="pack_run"),
    path("<int:pk>/step/", packs.pack_step, name="pack_step"),
    path("<int:pk>/stop/", packs.pack_stop, name="pack_stop"),
    path("<int:pk>.pdf", packs.packs_pdf, name="packs_pdf"),
    path("<int:pk>.zip", packs.packs_zip, name="packs_zip"),
]

# /case-exports/
export_urls = [
    path("", case_exports.case_exports, name="case_exports"),
    path("<int:pk>/", case_exports.case_export, name="case_export"),
    path("<int:pk>/step/", case_exports.case_export_step, name="case_export_step"),
    path("<int:pk>/remove/", case_exports.case_export_remove, name="case_export_remove"),
    path("<int:pk>.zip", case_exports.case_export_zip, name="case_export_zip"),
]

# /record-copies/
copy_urls = [
    path("<int:pk>/", copies.record_copy, name="record_copy"),
    path("<int:pk>/step/", copies.record_copy_step, name="record_copy_step"),
    path("<int:pk>/remove/", copies.record_copy_remove, name="record_copy_remove"),
    path("<int:pk>.zip", copies.record_copy_zip, name="record_copy_zip"),
]

urlpatterns = [
    path("packs/", include(pack_urls)),
    path("due/", due.due, name="due"),
    path("due/<int:pk>/book/", due.due_book, name="due_book"),
    path("due.csv", due.due_csv, name="due_csv"),
    path("book/<int:pk>/arrival/", arrival.arrival, name="arrival"),
    path("exercises/", include(exercise_urls)),
    path("exercises.csv", catalog.catalog_csv, name="catalog_csv"),
    path("caseload/", caseload.caseload, name="caseload"),
    path("caseload.csv", caseload.caseload_csv, name="caseload_csv"),
    path("case-exports/", include(export_urls)),
    path("research/", research.research, name="research"),
    path("research.zip", research.research_zip, name="research_zip"),
    path("thresholds/", thresholds.thresholds, name="thresholds"),
    path("thresholds.csv", thresholds.thresholds_csv, name="thresholds_csv"),
    path("thresholds/<slug:code>/", thresholds.threshold, name="threshold"),
    path("cases/<int:pk>/", include(case_urls)),
    path("visits/<int:pk>/", include(visit_urls)),
    path("screening-answers/<int:pk>/", include(screening_answer_urls)),
    path("patients/<int:pk>/papers/", papers.papers, name="papers"),
    path(
        "patients/<int:pk>/appointment-card.pdf",
        prints.appointment_card,
        name="appointment_card",
    ),
    path("patients/<int:pk>/seen/", seen.seen, name="who_has_seen"),
    path("patients/<int:pk>/rights/", rights.rights, name="rights"),
    path("patients/<int:pk>/copy/", copies.record_copy_new, name="record_copy_new"),
    path("record-copies/", include(copy_urls)),
    path("patients/<int:pk>/erase/", erasing.record_erase, name="record_erase"),
    path("patients/<int:pk>/keep/", erasing.record_keep, name="record_keep"),
    path("patients/<int:pk>/hold/", erasing.hold_place, name="hold_place"),
    path("patients/<int:pk>/hold/lift/", erasing.hold_lift, name="hold_lift"),
    path("patients/<int:pk>/corrections/new/", corrections.correction_new, name="correction_new"),
    path("patients/<int:pk>/restrict/", restrictions.restriction_new, name="restriction_new"),
    path(
        "patients/<int:pk>/restrict/lift/", restrictions.restriction_lift, name="restriction_lift"
    ),
    path("patients/<int:pk>/restricted/", restrictions.restricted, name="restricted"),
    path("corrections/", corrections.corrections, name="corrections"),
    path("corrections.csv", corrections.corrections_csv, name="corrections_csv"),
    path("corrections/<int:pk>/", corrections.correction, name="correction"),
    path(
        "corrections/<int:pk>/refusal.pdf", refusals.correction_refusal, name="correction_refusal"
    ),
    path("erasure-refusals/<int:pk>/letter.pdf", refusals.erasure_refusal, name="erasure_refusal"),
    path("records/due/", erasing.records_due, name="records_due"),
    path("records/due.csv", erasing.records_due_csv, name="records_due_csv"),
    path("records/erased/", erasing.records_erased, name="records_erased"),
    path("records/erased.csv", erasing.records_erased_csv, name="records_erased_csv"),
    path("records/erased/<int:pk>/", erasing.record_erased, name="record_erased"),
    path("patients/<int:pk>/handouts/", handouts.handouts, name="handouts"),
    path("handouts/<int:pk>/", handouts.handout, name="handout"),
    path("programs/<int:pk>/", include(program_urls)),
]
