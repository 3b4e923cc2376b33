"""Addresses of what is prescribed, done at home and decided."""

app_name = "rehab"

urlpatterns = []
