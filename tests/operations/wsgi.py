"""The door for gunicorn in tests: as in production, but without TLS and without collected static files.

Its key is that of the tests, so that a session that a test made is one here.
"""

import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clinic.settings")

from django.conf import settings
from django.core.wsgi import get_wsgi_application

from clinic import settings as written

settings.SECRET_KEY = written.UNSAFE_KEY
settings.STORAGES = settings.STORAGES | {
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
}
settings.WHITENOISE_USE_FINDERS = settings.WHITENOISE_AUTOREFRESH = True
settings.ROOT_URLCONF = os.environ.get("TEST_URLS", settings.ROOT_URLCONF)
wait = float(os.environ.get("TEST_BUSY_TIMEOUT", 10))
options = settings.DATABASES["default"].setdefault("OPTIONS", {})
if "sqlite" in settings.DATABASES["default"]["ENGINE"]:
    options["timeout"] = wait
else:
    # The tests' PostgreSQL acknowledges before it has written, for speed; a clinic's does not.
    options["options"] = f"-c lock_timeout={wait}s -c synchronous_commit=on"

application = get_wsgi_application()
