from django.urls import include, path

from cases.views import (
    absences,
    appointments,
    battery,
    book,
    book_figures,
    cases,
    changing,
    closed_days,
    contacts,
    day,
    displays,
    feed,
    hours,
    imports,
    intake,
    mail,
    mail_texts,
    patients,
    screening,
    series,
    staff,
    to_move,
    trail,
    visits,
    wrist,
)

app_name = "cases"

# /patients/
patient_urls = [
    path("", patients.patients, name="patients"),
    path("new/", patients.patient_new, name="patient_new"),
    path("<int:pk>/", patients.patient, name="patient"),
    path("<int:pk>/edit/", patients.patient_edit, name="patient_edit"),
    path("<int:pk>/visits-ahead/", series.series_new, name="series_new"),
    path("<int:pk>/cases/new/", cases.case_new, name="case_new"),
]

# /book/
book_urls = [
    path("", book.book, name="book"),
    path("week/", book.week, name="week"),
    path("bookings.csv", book.book_csv, name="book_csv"),
    path("figures/", book_figures.book_figures, name="book_figures"),
    path("figures.csv", book_figures.book_figures_csv, name="book_figures_csv"),
    path("new/", appointments.appointment_new, name="appointment_new"),
    path("absences/", absences.absences, name="absences"),
    path("absences.csv", absences.absences_csv, name="absences_csv"),
    path("absences/<int:pk>/", absences.absence, name="absence"),
    path("absences/<int:pk>/remove/", absences.absence_remove, name="absence_remove"),
    path("to-move/", to_move.to_move, name="to_move"),
    path("to-move.csv", to_move.to_move_csv, name="to_move_csv"),
    path("<int:pk>/", appointments.appointment, name="appointment"),
    path("<int:pk>/mark/", appointments.appointment_mark, name="appointment_mark"),
    path("<int:pk>/change/", changing.appointment_change, name="appointment_change"),
    path("<int:pk>/cancel/", appointments.appointment_cancel, name="appointment_cancel"),
]

# /clinic/: what its manager sets that bookings go by
clinic_urls = [
    path("hours/", hours.hours, name="hours"),
    path("closed-days/", closed_days.closed_days, name="closed_days"),
    path("closed-days.csv", closed_days.closed_days_csv, name="closed_days_csv"),
    path("closed-days/<int:pk>/open/", closed_days.open_again, name="open_again"),
]

# /staff/: one person, with what is booked with them; the list is the clinic's
staff_urls = [
    path("<int:pk>/", staff.staff_member, name="staff_member"),
    path("<int:pk>/close/", staff.account_close, name="account_close"),
    path("<int:pk>/open/", staff.account_open, name="account_open"),
    path("<int:pk>/new-password/", staff.account_new_password, name="account_new_password"),
    path("<int:pk>/let-in/", staff.account_let_in, name="account_let_in"),
]

# /mail/
mail_urls = [
    path("", mail.mail, name="mail"),
    path("<int:pk>/", mail.notice, name="notice"),
    path("<int:pk>/settle/", mail.notice_settle, name="notice_settle"),
    path("<int:pk>/again/", mail.notice_again, name="notice_again"),
    path("<int:pk>/came-back/", mail.notice_came_back, name="notice_came_back"),
    path("texts/", mail_texts.texts, name="mail_texts"),
    path("texts/<slug:which>/", mail_texts.text, name="mail_text"),
]

# /import/
import_urls = [
    path("", imports.imports, name="imports"),
    path("<int:pk>/", imports.import_run, name="import_run"),
    path("<int:pk>/columns/", imports.import_columns, name="import_columns"),
    path("<int:pk>/step/", imports.import_step, name="import_step"),
    path("<int:pk>/begin/", imports.import_begin, name="import_begin"),
    path("<int:pk>/stop/", imports.import_stop, name="import_stop"),
    path("<int:pk>/left-out.csv", imports.import_left_out, name="import_left_out"),
]

# /cases/<pk>/
case_urls = [
    path("close/", cases.case_close, name="case_close"),
    path("calls/", contacts.contacts, name="contacts"),
    path("intake/", intake.intake, name="intake"),
    path("screening/", screening.screening, name="screening"),
    path("wrist-angle/", wrist.wrist_angle, name="wrist_angle"),
    path("visits/begin/", visits.visit_begin, name="visit_begin"),
]

# /screening-answers/<pk>/
screening_answer_urls = [
    path("action/", screening.screening_action, name="screening_action"),
]

# /visits/<pk>/
visit_urls = [
    path("battery/", battery.battery, name="battery"),
    path("notes/", visits.notes, name="notes"),
    path("addenda/", visits.addendum, name="addendum"),
]

urlpatterns = [
    path("", day.day, name="day"),
    path("calendar/", feed.calendar_address, name="calendar_address"),
    path("calendar/<int:pk>/revoke/", feed.calendar_revoke, name="calendar_revoke"),
    path("calendar/<str:secret>.ics", feed.feed, name="feed"),
    path("displays/", displays.displays, name="displays"),
    path("displays/<int:pk>/revoke/", displays.display_revoke, name="display_revoke"),
    path("displays/<str:secret>.json", displays.display, name="display"),
    path("patients/", include(patient_urls)),
    path("patients.csv", patients.patients_csv, name="patients_csv"),
    path("book/", include(book_urls)),
    path("clinic/", include(clinic_urls)),
    path("staff/", include(staff_urls)),
    path("mail/", include(mail_urls)),
    path("mail.csv", mail.mail_csv, name="mail_csv"),
    path("audit/", trail.audit, name="audit"),
    path("audit.csv", trail.audit_csv, name="audit_csv"),
    path("import/", include(import_urls)),
    path("import.csv", imports.imports_csv, name="imports_csv"),
    path("cases/<int:pk>/", include(case_urls)),
    path("screening-answers/<int:pk>/", include(screening_answer_urls)),
    path("visits/<int:pk>/", include(visit_urls)),
]
