"""Addresses of what is measured."""

from django.urls import path

from assessments.views import measures, register, reliability

app_name = "assessments"

urlpatterns = [
    path("measures/", register.register, name="register"),
    path("reliability/", reliability.reliability, name="reliability"),
    path("visits/<int:pk>/measures/", measures.measures, name="measures"),
]
