"""Settings of the project, driven by the environment; the README lists the variables.

Production is the default. `DEBUG=1` is for development and the demo; without it an unsafe value stops the
start with a sentence that names it.
"""

import os
from datetime import timedelta
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured, ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext_lazy as _

BASE_DIR = Path(__file__).resolve().parent.parent
UNSAFE_KEY = "for-development-and-the-demo-only-never-for-patients"


def flag(name: str, *, default: bool = False) -> bool:
    """Return the on/off variable `name`; anything but 1, 0, true, false, yes, no stops the start."""
    words = {"1": True, "true": True, "yes": True, "0": False, "false": False, "no": False}
    text = os.environ.get(name, "").strip().lower()
    if text and text not in words:
        raise ImproperlyConfigured(f"{name}={text!r} is neither 1 nor 0.")
    return words.get(text, default)


def names(variable: str) -> list[str]:
    return [part.strip() for part in os.environ.get(variable, "").split(",") if part.strip()]


def number(name: str, *, default: int, least: int, most: int) -> int:
    """Return the whole-number variable `name`; one out of its range stops the start."""
    text = os.environ.get(name, "").strip() or str(default)
    if not (text.isdecimal() and least <= int(text) <= most):
        raise ImproperlyConfigured(f"{name}={text!r} is no whole number from {least} to {most}.")
    return int(text)


def is_address(text: str) -> bool:
    try:
        validate_email(text)
    except ValidationError:
        return False
    return True


DEBUG = flag("DEBUG")
SECRET_KEY = os.environ.get("SECRET_KEY") or (UNSAFE_KEY if DEBUG else "")
SECRET_KEY_FALLBACKS = names("SECRET_KEY_FALLBACKS")
ALLOWED_HOSTS = names("ALLOWED_HOSTS") or (["localhost", "127.0.0.1", "[::1]"] if DEBUG else [])
CSRF_TRUSTED_ORIGINS = names("CSRF_TRUSTED_ORIGINS")
BEHIND_PROXY = flag("BEHIND_PROXY")

if not DEBUG:
    if len(SECRET_KEY) < 50 or SECRET_KEY == UNSAFE_KEY:
        raise ImproperlyConfigured("SECRET_KEY must be a secret of at least 50 characters.")
    if not ALLOWED_HOSTS or "*" in ALLOWED_HOSTS:
        raise ImproperlyConfigured(
            "ALLOWED_HOSTS must list the host names that this site answers to."
        )

INSTALLED_APPS = [
    "clinic",
    "cases",
    "assessments",
    "rehab",
    "axes",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.postgres",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials",
]

MIDDLEWARE = [
    "clinic.logs.RequestLog",
    # Before all that may answer or fail: static files, refusals and failure pages have these headers too.
    "clinic.middleware.AnswerHeaders",
    "csp.middleware.CSPMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # Static files come precompressed; what the views answer is compressed here.
    "clinic.middleware.Compressed",
    "clinic.views.failures.FailurePages",
    "clinic.middleware.DatabaseThere",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "clinic.middleware.Acts",
    "clinic.reads.NotesReads",
    "rehab.refusals.NotesRefusals",
    "clinic.middleware.SessionLimits",
    "clinic.middleware.SignInRequired",
    "clinic.middleware.SecondFactorRequired",
    "clinic.middleware.ClinicTime",
    "cases.restricted.AskForReason",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "rehab.cannot_print.SaysWhy",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "clinic.urls"
WSGI_APPLICATION = "clinic.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "clinic.context.navigation",
                "clinic.context.session_end",
            ],
        },
    }
]

FORM_RENDERER = "clinic.controls.Controls"

DATABASES = {
    "default": dj_database_url.config(
        default=f"sqlite:///{BASE_DIR / 'data' / 'clinic.sqlite3'}", conn_max_age=600
    )
}
# The most connections that the threads of a process share; with 0 each thread keeps one.
DATABASE_POOL = number("DATABASE_POOL", default=0, least=0, most=100)
if DATABASES["default"]["ENGINE"].endswith("sqlite3"):
    if DATABASE_POOL:
        raise ImproperlyConfigured("DATABASE_POOL is for PostgreSQL; SQLite has no connections.")
    DATABASES["default"]["OPTIONS"] = {
        # Wait for the write lock at BEGIN: a deferred transaction fails at once when it turns to writing.
        "transaction_mode": "IMMEDIATE",
        "timeout": 10,
        # WAL: readers never wait. FULL: a committed record survives a power cut.
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    }
    if Path(DATABASES["default"]["NAME"]).parent == BASE_DIR / "data":
        (BASE_DIR / "data").mkdir(exist_ok=True)
else:
    DATABASES["default"]["CONN_HEALTH_CHECKS"] = True
    # As on SQLite for a row that somebody else holds, and the same for a server that is gone: the web server
    # would end a process that waits longer, and nobody would be told why.
    ASKED = DATABASES["default"].setdefault("OPTIONS", {})
    ASKED.setdefault("connect_timeout", 10)
    ASKED.setdefault("options", "-c lock_timeout=10s")
    if DATABASE_POOL:
        ASKED["pool"] = {"min_size": 1, "max_size": DATABASE_POOL, "timeout": 10}
        DATABASES["default"]["CONN_MAX_AGE"] = 0  # the pool keeps them
# With IMMEDIATE, ATOMIC_REQUESTS would make every page that only reads take the write lock.
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "clinic.Staff"
LOGIN_URL = "clinic:sign_in"
LOGIN_REDIRECT_URL = "cases:day"
LOGOUT_REDIRECT_URL = "clinic:sign_in"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "clinic.signing_in.StaffBackend",
]
# After so many wrong passwords for one name from one address, that pair waits; DEVELOPERS.md says why.
# Both numbers: common practice, no source.
AXES_FAILURE_LIMIT = number("SIGN_IN_TRIES", default=5, least=3, most=100)
AXES_COOLOFF_TIME = timedelta(minutes=number("SIGN_IN_WAIT", default=15, least=1, most=1440))
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_CLIENT_IP_CALLABLE = "clinic.address.network_of"
AXES_LOCKOUT_CALLABLE = "clinic.lockout.answer"
AXES_RESET_ON_SUCCESS = True
# Trying on while locked out must not make the wait longer, or somebody could keep a colleague out for ever.
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_DISABLE_ACCESS_LOG = True
AXES_VERBOSE = False
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
PASSWORD_RESET_TIMEOUT = 24 * 60 * 60  # seconds; common practice, no source
# A password stands alone until everybody has a second factor: 15, as OWASP ASVS 5.0, 6.2.1 recommends.
PASSWORD_LENGTH = 15
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": PASSWORD_LENGTH},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "clinic.password_rules.KnownWords"},
    {"NAME": "clinic.password_rules.Repetition"},
]

# Lines of JSON on standard output. Django's own words about a request quote its address; RequestLog tells the
# same without. Development keeps Django's.
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "clinic.logs.JsonLines"}},
    "handlers": {
        "lines": {
            "class": "logging.StreamHandler",
            "stream": "ext://sys.stdout",
            "formatter": "json",
        },
        "nowhere": {"class": "logging.NullHandler"},
    },
    "loggers": {
        "clinic": {"level": "INFO", "handlers": ["nowhere" if DEBUG else "lines"]},
    },
}
if not DEBUG:
    LOGGING["root"] = {"level": "WARNING", "handlers": ["lines"]}
    LOGGING["loggers"] |= {
        "clinic": {"level": "INFO"},
        "django": {"level": "WARNING", "handlers": []},
        "django.request": {"handlers": ["nowhere"], "propagate": False},
    }

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English")), ("es", _("Spanish"))]
LOCALE_PATHS = [BASE_DIR / "clinic" / "locale"]
USE_TZ = True
TIME_ZONE = "UTC"  # stored in UTC; each request is shown in its clinic's own zone

# E-mail to patients goes through the clinic's own mail server. Without one, development prints what it would
# send, and production sends nothing.
EMAIL_HOST = os.environ.get("EMAIL_HOST", "").strip()
EMAIL_HOST_USER = os.environ.get("EMAIL_USER", "")
EMAIL_HOST_PASSWORD = os.environ.get("EMAIL_PASSWORD", "")
EMAIL_SECURITY = os.environ.get("EMAIL_SECURITY") or "starttls"
EMAIL_USE_TLS, EMAIL_USE_SSL = EMAIL_SECURITY == "starttls", EMAIL_SECURITY == "tls"
email_port = os.environ.get("EMAIL_PORT") or {"tls": "465", "none": "25"}.get(EMAIL_SECURITY, "587")
DEFAULT_FROM_EMAIL = os.environ.get("EMAIL_FROM") or ("" if EMAIL_HOST else "clinic@example.org")
# Seconds; a shorter one takes a slow answer for none, and the mail would go out twice.
EMAIL_TIMEOUT = 60

if EMAIL_SECURITY not in ("starttls", "tls", "none"):
    raise ImproperlyConfigured(f"EMAIL_SECURITY={EMAIL_SECURITY!r} is none of starttls, tls, none.")
if EMAIL_SECURITY == "none" and EMAIL_HOST not in ("localhost", "127.0.0.1", "::1"):
    raise ImproperlyConfigured(
        "EMAIL_SECURITY=none lets others read names and times; only for a mail server on this machine."
    )
if not (email_port.isdecimal() and 0 < int(email_port) < 65536):
    raise ImproperlyConfigured(f"EMAIL_PORT={email_port!r} is no port number from 1 to 65535.")
if bool(EMAIL_HOST_USER) != bool(EMAIL_HOST_PASSWORD):
    raise ImproperlyConfigured(
        "EMAIL_USER and EMAIL_PASSWORD belong together: set both or neither."
    )
if not is_address(DEFAULT_FROM_EMAIL):
    raise ImproperlyConfigured(
        "EMAIL_FROM must be the address that e-mail is sent from, as desk@clinic.example.org."
    )
for name in ("EMAIL_FROM", "EMAIL_PASSWORD", "EMAIL_PORT", "EMAIL_SECURITY", "EMAIL_USER"):
    if os.environ.get(name) and not EMAIL_HOST:
        raise ImproperlyConfigured(f"{name} is set without EMAIL_HOST, so nothing would be sent.")
EMAIL_PORT = int(email_port)
SENDS_EMAIL = bool(EMAIL_HOST) or DEBUG
EMAIL_BACKEND = "django.core.mail.backends." + (
    "smtp.EmailBackend" if EMAIL_HOST else "console.EmailBackend" if DEBUG else "dummy.EmailBackend"
)

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = BASE_DIR / "staticfiles"
# Development serves what is in static/ as it is; production serves what collectstatic gathered.
WHITENOISE_AUTOREFRESH = WHITENOISE_USE_FINDERS = DEBUG
if not DEBUG:
    STORAGES = {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
        "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
    }

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
# No other site learns an address. "no-referrer" would make browsers send "Origin: null" with our own forms
# (Fetch standard), and each of them would be refused.
SECURE_REFERRER_POLICY = "same-origin"
CSRF_FAILURE_VIEW = "clinic.views.failures.form_expired"
SESSION_ENGINE = "clinic.sessions"
SESSION_COOKIE_HTTPONLY = True
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
# Each clinic sets when a session ends (clinic.middleware.SessionLimits); no row outlives this.
SESSION_COOKIE_AGE = 24 * 60 * 60
CSRF_COOKIE_HTTPONLY = True
# Messages name patients: they stay on the server.
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
COOKIE_PREFIX = ""
# The token outlives the session, so a form typed before it ended can still be held.
CSRF_USE_SESSIONS = False
# Asked by a probe beside the web server, which speaks no TLS; the answer holds no data.
SECURE_REDIRECT_EXEMPT = [r"^health$"]
if not DEBUG:
    SECURE_SSL_REDIRECT = not flag("INSECURE_HTTP")
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_PROXY else None
    SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = not flag("INSECURE_HTTP")
    # A name that browsers take only over https and from this host itself; over http they would refuse it.
    COOKIE_PREFIX = "__Host-" if SESSION_COOKIE_SECURE else ""
    SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
SESSION_COOKIE_NAME = f"{COOKIE_PREFIX}sessionid"
CSRF_COOKIE_NAME = f"{COOKIE_PREFIX}csrftoken"
