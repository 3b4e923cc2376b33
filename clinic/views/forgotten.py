"""A forgotten password: asking for a link by e-mail, and choosing a new password behind it."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.views import PasswordResetConfirmView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from clinic.access import open_to_all
from clinic.audit import record
from clinic.lockout import lift
from clinic.models import AccountNews, ResetRequest
from clinic.password_forms import ChoosePasswordForm, ForgottenForm
from clinic.writing import atomic_post


@open_to_all
@require_http_methods(["GET", "POST"])
@atomic_post
def forgotten(request: HttpRequest) -> HttpResponse:
    """The answer is the same whether anybody has the address; the e-mail itself is sent later."""
    if request.method == "POST" and not settings.SENDS_EMAIL:
        return redirect("clinic:forgotten")
    form = ForgottenForm(request.POST or None)
    if form.is_valid():
        origin = request.build_absolute_uri("/").rstrip("/")
        ResetRequest.objects.ask(form.cleaned_data["email"], origin=origin, now=timezone.now())
        messages.success(
            request,
            _(
                "If this is the address of somebody's account, an e-mail with a link comes within "
                "a quarter of an hour."
            ),
        )
        return redirect("clinic:sign_in")
    context = {"form": form, "sends": settings.SENDS_EMAIL}
    return render(request, "clinic/forgotten.html", context, status=422 if form.is_bound else 200)


class NewPassword(PasswordResetConfirmView):
    """Django's own view: it checks the link, and takes the secret out of the address before the form."""

    form_class = ChoosePasswordForm
    template_name = "clinic/new_password.html"
    success_url = reverse_lazy("clinic:sign_in")

    def get_user(self, uidb64):
        user = super().get_user(uidb64)
        return user if user and user.is_active else None

    def form_valid(self, form) -> HttpResponse:
        answer = super().form_valid(form)
        record(self.user, "chose a new password", self.user)
        AccountNews.objects.tell(self.user, AccountNews.About.CHOSEN)
        self.user.sessions.all().delete()
        lift(self.user)
        messages.success(self.request, _("The new password is set. Sign in with it."))
        return answer

    def form_invalid(self, form) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=422)

    def render_to_response(self, context, **kwargs) -> HttpResponse:
        if not self.validlink:
            kwargs["status"] = 404
        return super().render_to_response(context, **kwargs)


new_password = open_to_all(atomic_post(NewPassword.as_view()))
