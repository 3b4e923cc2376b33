"""What the head of every page says about where one is."""

import pytest

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("page", "main"),
    [
        ("/", "Today"),
        ("/patients/", "Patients"),
        ("/book/week/", "Book"),
        ("/packs/", "Book"),
        ("/research/", "Caseload"),
        ("/case-exports/", "Caseload"),
        ("/clinic/hours/", "Clinic"),
        ("/staff/sign-ins/", "Clinic"),
        ("/records/erased/", "Clinic"),
        ("/corrections/", "Clinic"),
        ("/account/", None),
    ],
)
def test_a_page_stands_under_the_main_page_that_leads_to_it(manager, signed_in, page, main):
    nav = signed_in(manager).get(page).context["nav"]

    assert [label for _url, label, is_current in nav if is_current] == ([main] if main else [])
