"""A backup holds the database alone, so everything that must last has to be in there."""

from importlib import import_module

from django.apps import apps
from django.conf import settings
from django.db import models

from clinic.backup.engines import ENGINES


def test_no_upload_is_kept_as_a_file_beside_the_database():
    beside = [
        field
        for model in apps.get_models()
        for field in model._meta.get_fields()
        if isinstance(field, models.FileField | models.FilePathField)
    ]

    assert beside == []
    assert not settings.MEDIA_ROOT


def test_sessions_too_are_in_the_database():
    store = import_module(settings.SESSION_ENGINE).SessionStore

    assert store.get_model_class() in apps.get_models()


def test_both_databases_that_the_settings_offer_can_be_backed_up():
    assert set(ENGINES) == {"django.db.backends.sqlite3", "django.db.backends.postgresql"}
