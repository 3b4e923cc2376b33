"""Addresses of what is measured."""

from django.urls import path

from assessments.views import measures

app_name = "assessments"

urlpatterns = [
    path("visits/<int:pk>/measures/", measures.measures, name="measures"),
]
