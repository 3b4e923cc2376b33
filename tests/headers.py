"""What each answer of the site must carry, whatever its status.

OWASP ASVS 5.0, 3.4.1 to 3.4.8 (transport security, content security policy, type sniffing, referrer, framing,
opener) and 14.3.2 (nothing sensitive in a cache).
"""

import re

from django.http import HttpResponse

POLICY = {
    "default-src": {"'none'"},
    "script-src": {"'self'"},
    "style-src": {"'self'"},
    "img-src": {"'self'", "data:"},
    "font-src": {"'self'"},
    "connect-src": {"'self'"},
    "form-action": {"'self'"},
    "base-uri": {"'none'"},
    "frame-ancestors": {"'none'"},
    "object-src": {"'none'"},
}
REQUIRED = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
PASSED_ON = {"Cache-Control": "public"}  # of static files
NOTHING = re.compile(r"[a-z-]+=\(\)")


def policy(answer: HttpResponse) -> dict[str, set[str]]:
    lines = answer.get("Content-Security-Policy", "").split(";")
    return {name: set(sources) for name, *sources in map(str.split, filter(None, lines))}


def faults(answer: HttpResponse, *, static: bool = False) -> list[str]:
    """The headers that the answer lacks, or that say something else."""
    wanted = REQUIRED | (PASSED_ON if static else {})
    wrong = [name for name, value in wanted.items() if value not in answer.get(name, "")]
    if policy(answer) != POLICY:
        wrong.append("Content-Security-Policy")
    features = answer.get("Permissions-Policy", "").split(", ")
    if not {"camera=()", "microphone=()", "geolocation=()"} <= set(features):
        wrong.append("Permissions-Policy")
    return wrong + [feature for feature in features if not NOTHING.fullmatch(feature)]
