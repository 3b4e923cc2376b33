"""The case page says how the battery went on."""

import datetime

import pytest

from tests.factories.cases import OPENED, create_case, create_visit
from tests.factories.findings import create_battery, create_finding


def two_rounds(lead, *, before: int, after: int):
    """A case with familiar pain on resisted wrist extension in two rounds, two weeks apart."""
    case = create_case(lead=lead)
    for days, pain in ((0, before), (14, after)):
        on = OPENED + datetime.timedelta(days=days)
        visit = create_visit(case=case, on=on)
        battery = create_battery(visit=visit)
        create_finding(
            battery=battery, test="wrist-extension", side="right", answer="familiar", pain=pain
        )
        visit.sign(by=lead, at=datetime.datetime.combine(on, datetime.time(10), datetime.UTC))
    return case


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (6, 3, "Battery: half as much familiar pain as last time or less"),
        (6, 6, "Battery: unchanged, the same pain in the same tests"),
    ],
)
def test_a_better_round_and_an_unchanged_one_are_told_apart(
    physiotherapist, signed_in, before, after, words
):
    case = two_rounds(physiotherapist, before=before, after=after)

    page = signed_in(physiotherapist).get(f"/cases/{case.pk}/").content.decode()

    assert words in page


def test_one_round_alone_is_compared_with_nothing(physiotherapist, signed_in):
    visit = create_visit(case=create_case(lead=physiotherapist))
    create_finding(battery=create_battery(visit=visit))

    page = signed_in(physiotherapist).get(f"/cases/{visit.case_id}/").content.decode()

    assert "battery-course" not in page
