"""Addresses of what is measured."""

app_name = "assessments"

urlpatterns = []
