"""Signing in without losing what was typed, the clinic's own time, and nothing kept in caches."""

import zoneinfo

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.db import connection
from django.http import HttpResponse
from django.shortcuts import resolve_url
from django.utils import timezone
from django.utils.http import urlencode

from clinic.database_file import file_in_place, is_in_a_file
from clinic.trouble import MISSING
from clinic.typed import hold
from clinic.views.failures import unavailable


class DatabaseThere:
    """Without the file of the database no request goes on to open it, which would make an empty one."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if is_in_a_file(connection) and file_in_place() is None:
            return unavailable(request, MISSING)
        return self.get_response(request)


class SignInRequired(LoginRequiredMiddleware):
    """Every view needs a signed-in person, save those that say otherwise; a form sent too late is held."""

    def handle_no_permission(self, request, view_func):
        if request.method == "POST":
            hold(request)
        if request.headers.get("HX-Request"):
            page = request.headers.get("HX-Current-URL", "/")
            query = urlencode({"next": page})
            sign_in = resolve_url(self.get_login_url(view_func))
            return HttpResponse(headers={"HX-Redirect": f"{sign_in}?{query}"})
        return super().handle_no_permission(request, view_func)


class ClinicTime:
    """Dates and times of a request are those of the clinic's own zone."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        if request.user.is_authenticated:
            timezone.activate(zoneinfo.ZoneInfo(request.user.clinic.time_zone))
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()


class NoStore:
    """Pages of signed-in people may stay in no cache."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if request.user.is_authenticated and "Cache-Control" not in response:
            response["Cache-Control"] = "no-store"
        return response
