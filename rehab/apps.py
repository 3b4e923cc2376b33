from django.apps import AppConfig


class RehabConfig(AppConfig):
    name = "rehab"
