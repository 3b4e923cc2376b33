"""Where a request came from."""

import ipaddress

from django.conf import settings
from django.http import HttpRequest

from clinic.browsers import in_short

IPV6_HOME = 64  # bits: whoever has one IPv6 address has all that begin so (RFC 6177, 2)


def address_of(request: HttpRequest) -> str | None:
    """Return the client's address, or None when there is none that can be read.

    Behind the clinic's own proxy it is the last one of X-Forwarded-For, which the proxy wrote itself; those
    before it are what the client says.
    """
    told = request.META.get("HTTP_X_FORWARDED_FOR", "") if settings.BEHIND_PROXY else ""
    return _read(told.rpartition(",")[2]) or _read(request.META.get("REMOTE_ADDR", ""))


def seen_from(request: HttpRequest) -> tuple[str, str]:
    """Return the address of the machine, "" for none, and a short name of the browser."""
    return address_of(request) or "", in_short(request.headers.get("User-Agent", ""))


def network_of(request: HttpRequest) -> str | None:
    """Return what wrong passwords are counted by: the address, or the home that an IPv6 address is of."""
    address = address_of(request)
    if address is None or ":" not in address:
        return address
    return str(ipaddress.ip_network((address, IPV6_HOME), strict=False).network_address)


def _read(text: str) -> str | None:
    try:
        address = ipaddress.ip_address(text.strip())
    except ValueError:
        return None
    # The same machine, whether it is written ::ffff:192.0.2.1 or 192.0.2.1.
    return str(getattr(address, "ipv4_mapped", None) or address)
