import pytest

from clinic.audit import record
from tests.factories.clinic import create_manager

pytestmark = pytest.mark.django_db

PAGE = "/audit/"


def shown(response):
    return [event.verb for event in response.context["page"]]


def test_the_trail_of_the_own_clinic_is_shown_newest_first(manager, front_desk, signed_in):
    record(front_desk, "registered")
    record(manager, "changed", front_desk, fields=["role"])
    record(create_manager(), "printed")

    assert shown(signed_in(manager).get(PAGE)) == ["changed", "registered"]


def test_who_when_what_and_the_codes_are_read_on_the_page(manager, front_desk, signed_in):
    record(front_desk, "marked", manager, status="arrived")

    page = signed_in(manager).get(PAGE).content.decode()

    told = (str(front_desk), "marked", f"staff {manager.pk}", "status: arrived")
    assert [text for text in told if text not in page] == []


def test_the_trail_is_paged(manager, signed_in):
    for number in range(51):
        record(manager, f"did {number}")

    assert shown(signed_in(manager).get(PAGE, {"page": 2})) == ["did 0"]


def test_an_empty_trail_says_what_will_appear(manager, signed_in):
    assert "Nothing has been done yet" in signed_in(manager).get(PAGE).content.decode()


@pytest.mark.parametrize("rows", [1, 3])
def test_the_trail_costs_the_same_however_long_it_is(
    manager, signed_in, rows, django_assert_num_queries
):
    for _ in range(rows):
        record(create_manager(clinic=manager.clinic), "printed")
    client = signed_in(manager)

    with django_assert_num_queries(5):
        client.get(PAGE)


@pytest.mark.parametrize(
    ("role", "status"), [("manager", 200), ("physiotherapist", 403), ("front_desk", 403)]
)
def test_only_a_manager_reads_the_trail(request, signed_in, role, status):
    assert signed_in(request.getfixturevalue(role)).get(PAGE).status_code == status


def test_other_methods_are_refused(manager, signed_in):
    assert signed_in(manager).post(PAGE).status_code == 405
