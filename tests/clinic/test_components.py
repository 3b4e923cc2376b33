"""Every control has its label, hint and error where a screen reader finds them; every state has its word."""

import re
from types import SimpleNamespace

import pytest
from django import forms
from django.core.paginator import Paginator
from django.template.loader import render_to_string
from django.test import RequestFactory

SIDES = [("right", "Right"), ("left", "Left")]


class Sheet(forms.Form):
    rest = forms.IntegerField(label="Pain at rest", min_value=0, max_value=10)
    worst = forms.IntegerField(label="Worst pain", required=False, help_text="In 24 hours.")
    side = forms.ChoiceField(label="Side", choices=SIDES, widget=forms.RadioSelect)
    load = forms.DecimalField(label="Load", max_value=40, help_text="As marked.")
    owns = forms.MultipleChoiceField(
        label="Owns", choices=SIDES, required=False, widget=forms.CheckboxSelectMultiple
    )
    agrees = forms.BooleanField(label="Agrees")


def component(name: str, *, request=None, **context) -> str:
    return render_to_string(f"components/{name}.html", context, request)


def ids(page: str) -> set[str]:
    return set(re.findall(r' id="([^"]+)"', page))


def described_by(page: str) -> list[str]:
    return re.findall(r'aria-describedby="([^"]+)"', page)[0].split()


@pytest.mark.parametrize(
    ("name", "field"),
    [("field", "load"), ("field", "side"), ("pain_scale", "rest"), ("pain_scale", "worst")],
)
def test_hint_and_error_are_where_the_control_says_they_are(name, field):
    page = component(name, field=Sheet({"load": "41", "worst": "x"})[field])

    assert set(described_by(page)) - ids(page) == set()


@pytest.mark.parametrize("field", list(Sheet.base_fields))
def test_every_control_stands_in_a_label_or_has_one_by_id(field):
    page = component("field", field=Sheet()[field])
    labeled = set(re.findall(r'<label for="([^"]+)"', page))
    enclosed = set(re.findall(r'<label class="(?:tick|key)"><input[^>]* id="([^"]+)"', page))

    assert set(re.findall(r'<input[^>]* id="([^"]+)"', page)) == labeled | enclosed


def test_a_unit_is_read_with_the_label_and_shown_beside_the_control():
    page = component("field", field=Sheet()["load"], unit="kg")

    assert re.findall(r">(, kg|kg)<", page) == [", kg", "kg"]


@pytest.mark.parametrize(("field", "count"), [("load", 0), ("owns", 1)])
def test_only_what_may_stay_empty_is_marked_optional(field, count):
    assert component("field", field=Sheet()[field]).count("(optional)") == count


@pytest.mark.parametrize(("field", "keys"), [("rest", 11), ("worst", 12)])
def test_a_pain_scale_has_eleven_keys_and_one_for_not_asked(field, keys):
    page = component("pain_scale", field=Sheet()[field])

    assert page.count('type="radio"') == keys


@pytest.mark.parametrize(("typed", "chosen"), [("7", ["7"]), ("0", ["0"]), ("", [""])])
def test_a_pain_scale_keeps_what_was_typed(typed, chosen):
    page = component("pain_scale", field=Sheet({"worst": typed})["worst"])

    assert re.findall(r'value="(\d*)" id="[^"]+" checked', page) == chosen


def test_the_error_summary_leads_to_controls_that_are_on_the_page():
    form = Sheet({"load": "41"})
    page = component("error_summary", form=form)
    controls = "".join(component("field", field=field) for field in form)

    links = set(re.findall(r'href="#([^"]+)"', page))
    assert (len(links), links - ids(controls)) == (4, set())


def test_a_form_without_errors_has_no_summary():
    assert component("error_summary", form=Sheet()).strip() == ""


def test_a_conflict_shows_a_zero_and_what_is_not_there():
    conflict = SimpleNamespace(label="Pain", theirs=0, mine=None)
    page = component("conflict", conflicts=[conflict])

    assert re.findall(r'<td class="typed"[^>]*>([^<]*)</td>', page) == ["0", "–"]


@pytest.mark.parametrize(
    ("state", "word"),
    [("done", "done"), ("now", "now"), ("todo", "to do"), ("stopped", "stopped")],
)
def test_each_step_of_a_case_has_a_word(state, word):
    page = component("steps", steps=[SimpleNamespace(label="Intake", state=state)])

    assert page.split("</svg>")[1].split("<")[0].strip() == word


def test_turning_a_page_keeps_search_and_sort():
    request = RequestFactory().get("/", {"q": "ek", "sort": "-due", "page": "2"})
    page = component("pagination", page=Paginator(range(30), 10).page(2), request=request)

    assert re.findall(r'href="(\?[^"]+)"', page) == [
        "?q=ek&amp;sort=-due&amp;page=1",
        "?q=ek&amp;sort=-due&amp;page=3",
    ]


@pytest.mark.parametrize(
    ("now", "order", "link"),
    [("due", "ascending", "?sort=-due"), ("-due", "descending", "?sort=due")],
)
def test_pressing_a_column_head_again_turns_the_order_round(now, order, link):
    request = RequestFactory().get("/", {"sort": now, "page": "2"})
    page = component("sort_head", label="Due", key="due", request=request)

    assert re.findall(r'aria-sort="(\w+)"|href="(\?[^"]+)"', page) == [(order, ""), ("", link)]
