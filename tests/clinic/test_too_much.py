"""More than a form can hold is refused at the door, signed in or not, whatever it is called."""

import pytest
from django.test import Client

from tests.headers import faults

pytestmark = pytest.mark.django_db

FORM = "application/x-www-form-urlencoded"
# What Django takes at most: 2.5 MB beside files, 1000 fields, 100 files (its settings reference).
TOO_MUCH = {
    "one long text": ("name=" + "a" * 2_700_000, FORM),
    "many fields": ("&".join(f"f{number}=" for number in range(1100)), FORM),
    "many files": (
        "".join(
            f'--x\r\nContent-Disposition: form-data; name="file"; filename="{number}"\r\n\r\na\r\n'
            for number in range(110)
        )
        + "--x--\r\n",
        "multipart/form-data; boundary=x",
    ),
}


@pytest.mark.parametrize("what", TOO_MUCH)
@pytest.mark.parametrize("address", ["/sign-in/", "/import/"])
@pytest.mark.parametrize("is_in", [True, False])
def test_too_much_is_refused(manager, what, address, is_in):
    client = Client(raise_request_exception=False)
    if is_in:
        client.force_login(manager)
    body, kind = TOO_MUCH[what]

    answer = client.post(address, body, content_type=kind)

    assert (answer.status_code, faults(answer)) == (
        413,
        [],
    )  # Content Too Large (RFC 9110, 15.5.14)
