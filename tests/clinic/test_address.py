"""Where a request came from, with and without a proxy."""

import pytest
from django.test import RequestFactory

from clinic.address import address_of, network_of

# Addresses for examples: RFC 5737 (192.0.2.0/24, 198.51.100.0/24) and RFC 3849 (2001:db8::/32).


def request(remote="192.0.2.1", forwarded=None):
    headers = {} if forwarded is None else {"X-Forwarded-For": forwarded}
    return RequestFactory().get("/", REMOTE_ADDR=remote, headers=headers)


def test_without_a_proxy_what_the_client_says_of_itself_is_not_believed(settings):
    settings.BEHIND_PROXY = False

    assert address_of(request(forwarded="198.51.100.7")) == "192.0.2.1"


@pytest.mark.parametrize(
    ("forwarded", "address"),
    [
        ("198.51.100.7", "198.51.100.7"),
        # The client wrote the first, the proxy added the last.
        ("203.0.113.9, 198.51.100.7", "198.51.100.7"),
        (" 198.51.100.7 ", "198.51.100.7"),
        ("2001:DB8::1", "2001:db8::1"),
        ("::ffff:198.51.100.7", "198.51.100.7"),
        (None, "192.0.2.1"),
        ("", "192.0.2.1"),
        ("198.51.100.7, unknown", "192.0.2.1"),
        ("198.51.100.7:4711", "192.0.2.1"),
        ("'; drop table", "192.0.2.1"),
    ],
)
def test_behind_a_proxy_it_is_the_address_that_the_proxy_saw(settings, forwarded, address):
    settings.BEHIND_PROXY = True

    assert address_of(request(forwarded=forwarded)) == address


@pytest.mark.parametrize("remote", ["", "a socket"])
def test_what_is_no_address_is_none(remote):
    assert (address_of(request(remote)), network_of(request(remote))) == (None, None)


@pytest.mark.parametrize(
    ("remote", "network"),
    [
        ("192.0.2.1", "192.0.2.1"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("2001:db8:1:2:ffff::1", "2001:db8:1:2::"),
        ("2001:db8:1:3::1", "2001:db8:1:3::"),
    ],
)
def test_all_addresses_of_one_ipv6_home_count_as_one(remote, network):
    assert network_of(request(remote)) == network
