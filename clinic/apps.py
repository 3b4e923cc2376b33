from django.apps import AppConfig
from django.db.backends.signals import connection_created

from clinic.acting import give_functions


class ClinicConfig(AppConfig):
    name = "clinic"

    def ready(self) -> None:
        connection_created.connect(give_functions)
