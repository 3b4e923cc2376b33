"""Addresses of what is measured."""

from django.urls import path

from assessments.views import measures, register

app_name = "assessments"

urlpatterns = [
    path("measures/", register.register, name="register"),
    path("visits/<int:pk>/measures/", measures.measures, name="measures"),
]
