"""Every address of the site. This file is wiring: it joins the packages and may see all of them."""

from django.urls import include, path

from clinic.views import (
    account,
    audit,
    backups,
    clinic,
    forgotten,
    health,
    help,
    invitations,
    logo,
    second_factor,
    session,
    set_up,
    sign_ins,
    signing_in,
    staff,
)

clinic_urls = [
    path("health", health.health, name="health"),
    path("sign-in/", signing_in.sign_in, name="sign_in"),
    path("sign-in/code/", signing_in.code, name="sign_in_code"),
    path("sign-in/recovery/", signing_in.recovery, name="sign_in_recovery"),
    path("sign-out/", signing_in.sign_out, name="sign_out"),
    path("forgotten/", forgotten.forgotten, name="forgotten"),
    path("new-password/<str:uidb64>/<str:token>/", forgotten.new_password, name="new_password"),
    path("account/", account.account, name="account"),
    path("account/sign-ins/", sign_ins.own_sign_ins, name="own_sign_ins"),
    path("account/password/", account.password, name="password"),
    path("staff/", staff.staff, name="staff"),
    path("staff.csv", staff.staff_csv, name="staff_csv"),
    path("account/code/", second_factor.second_factor, name="second_factor"),
    path("account/code/begin/", second_factor.begin, name="second_factor_begin"),
    path("account/code/recovery/", second_factor.renew, name="second_factor_renew"),
    path("account/code/off/", second_factor.off, name="second_factor_off"),
    path("staff/<int:pk>/code/remove/", second_factor.remove, name="staff_second_factor_remove"),
    path("account/sessions/end/", session.end, name="sessions_end"),
    path("staff/<int:pk>/sessions/end/", session.end_of_staff, name="staff_sessions_end"),
    path("session/", session.left, name="session"),
    path("session/stay/", session.stay, name="session_stay"),
    path("session/hold/", session.keep_typed, name="session_hold"),
    path("staff/sign-ins/", sign_ins.sign_ins, name="sign_ins"),
    path("staff/sign-ins.csv", sign_ins.sign_ins_csv, name="sign_ins_csv"),
    path("staff/invite/", invitations.invite, name="invite"),
    path("staff/invitations/<int:pk>/", invitations.invitation, name="invitation"),
    path(
        "staff/invitations/<int:pk>/renew/", invitations.invitation_renew, name="invitation_renew"
    ),
    path(
        "staff/invitations/<int:pk>/revoke/",
        invitations.invitation_revoke,
        name="invitation_revoke",
    ),
    path("join/", invitations.join, name="join"),
    path("join/<str:secret>/", invitations.join_by, name="join_by"),
    path("clinic/", clinic.clinic, name="clinic"),
    path("clinic/set-up/", set_up.set_up, name="set_up"),
    path("clinic/logo/", logo.logo, name="logo"),
    path("clinic/logo/remove/", logo.remove, name="logo_remove"),
    path("backups/", backups.backups, name="backups"),
    path("audit/<int:pk>/", audit.audit_event, name="audit_event"),
    path("keys/", help.keys, name="keys"),
    path("words/", help.glossary, name="glossary"),
    path("account/help/", help.shown, name="help_shown"),
]

handler400 = "clinic.views.failures.bad_request"
handler403 = "clinic.views.failures.forbidden"
handler404 = "clinic.views.failures.not_found"
handler500 = "clinic.views.failures.server_error"

urlpatterns = [
    path("", include((clinic_urls, "clinic"))),
    path("", include("cases.urls")),
    path("", include("assessments.urls")),
    path("", include("rehab.urls")),
]
