"""axe-core finds nothing on any page, at three widths, light and dark, under the page's own policy.

What takes longest is contrast. It is looked at wide and narrow, where a page has other parts, in both
schemes; everything else is the same in both, so the dark one asks for contrast alone.
"""

import pytest

from tests.browser.axe import CONTRAST, EVERYTHING, TAGS, found_on, keep_picture, overflows
from tests.browser.situations import a_clinic_at_work, pages

pytestmark = pytest.mark.django_db(transaction=True)

BUT_CONTRAST = {"runOnly": TAGS, "rules": {"color-contrast": {"enabled": False}}}
LOOKED_FOR = {
    "light": {1280: EVERYTHING, 820: BUT_CONTRAST, 390: EVERYTHING},
    "dark": {1280: CONTRAST, 820: None, 390: CONTRAST},
}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_any_page(person, physiotherapist, manager, scheme, pictures):
    physiotherapist.clinic.staff.filter(pk=manager.pk).update(treats=True)
    manager.refresh_from_db()
    numbers = a_clinic_at_work(physiotherapist)
    someone = person(manager, color_scheme=scheme)
    someone.hold_work()

    problems = []
    for address in pages(numbers):
        someone.open(address)
        for width, rules in LOOKED_FOR[scheme].items():
            someone.page.set_viewport_size({"width": width, "height": 900})
            found = found_on(someone.page, rules)
            problems += [f"{address} at {width}: {one}" for one in found]
            if overflows(someone.page):
                problems.append(f"{address} at {width}: wider than the window")
            keep_picture(someone.page, pictures, address, scheme)

    assert problems == []
    assert someone.complaints == []
