"""Conventions of the code base, kept by tests."""

import ast
import pathlib
import re

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

ROOT = pathlib.Path(__file__).resolve().parent.parent
PACKAGES = ("clinic", "cases", "assessments", "rehab")  # from the bottom up
WIRING = {"clinic/urls.py", "clinic/management"}
PURE = {
    "clinic/wording.py",
    "clinic/evidence.py",
    "clinic/roles.py",
    "clinic/slots.py",
    "clinic/first_fits.py",
    "cases/delivery.py",
    "cases/mail_words.py",
    "cases/retries.py",
}
STANDARD = set(__import__("sys").stdlib_module_names)
# Quantiles of F and chi-square have no short formula; SciPy's are the ones that others check against.
GUESTS = {"assessments/clinical": {"scipy"}}


def sources(package):
    return sorted((ROOT / package).rglob("*.py"))


def local(path):
    return path.relative_to(ROOT).as_posix()


def is_wiring(path):
    return any(local(path).startswith(door) for door in WIRING)


def is_pure(path):
    return "clinical" in path.parts or local(path) in PURE


def imported(path):
    """Full names of the modules that a file imports."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level:
            above = path.relative_to(ROOT).with_suffix("").parts[: -node.level]
            yield ".".join((*above, node.module or ""))
        elif isinstance(node, ast.ImportFrom):
            yield node.module


def too_high(package, path):
    above = PACKAGES[PACKAGES.index(package) + 1 :]
    return [name for name in imported(path) if name.split(".")[0] in above]


def guests(path):
    """Libraries that may be imported in the folder of `path`, beside the standard library."""
    return {
        name for folder, names in GUESTS.items() if f"/{folder}/" in str(path) for name in names
    }


def impure(path):
    for name in imported(path):
        top, *rest = name.split(".")
        own = top in PACKAGES and ("clinical" in rest or f"{name.replace('.', '/')}.py" in PURE)
        if top not in STANDARD | guests(path) and not own:
            yield name


@pytest.mark.parametrize("package", PACKAGES)
def test_a_package_imports_only_what_lies_below_it(package):
    wrong = {
        local(path): too_high(package, path)
        for path in sources(package)
        if not is_wiring(path) and too_high(package, path)
    }

    assert wrong == {}


def test_pure_modules_know_the_standard_library_and_each_other():
    wrong = {
        local(path): sorted(impure(path))
        for package in PACKAGES
        for path in sources(package)
        if is_pure(path) and list(impure(path))
    }

    assert wrong == {}


def test_the_import_checks_see_a_wrong_import(tmp_path):
    file = tmp_path / "wrong.py"
    file.write_text("from rehab.models import Program\nimport django\n")

    assert too_high("cases", file) == ["rehab.models"]
    assert sorted(impure(file)) == ["django", "rehab.models"]


@pytest.mark.parametrize(
    ("folder", "wrong"),
    [("assessments/clinical", ["numpy"]), ("rehab/clinical", ["numpy", "scipy"])],
)
def test_scipy_is_a_guest_of_one_folder_alone(tmp_path, folder, wrong):
    file = tmp_path / folder / "interval.py"
    file.parent.mkdir(parents=True)
    file.write_text("import numpy\nfrom scipy import special\n")

    assert sorted(impure(file)) == wrong


def views(resolver=None):
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from views(entry)
        elif isinstance(entry, URLPattern):
            yield entry.callback


def test_every_view_says_who_may_open_it():
    silent = [view.__name__ for view in views() if not hasattr(view, "allowed")]

    assert silent == []


def test_views_leave_filtering_to_querysets():
    wrong = [
        local(path)
        for package in PACKAGES
        for path in (ROOT / package / "views").rglob("*.py")
        if ".filter(" in path.read_text()
    ]

    assert wrong == []


def test_templates_carry_no_script_and_no_style():
    inline = re.compile(r"<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=|hx-on", re.IGNORECASE)
    django = re.compile(r"{%.*?%}|{{.*?}}|{#.*?#}|{% comment %}.*?{% endcomment %}", re.DOTALL)
    wrong = [
        local(path)
        for path in (ROOT / "templates").rglob("*.html")
        if inline.search(django.sub("", path.read_text()))
    ]

    assert wrong == []


def public_functions():
    for package in PACKAGES:
        for path in sources(package):
            if not is_pure(path):
                continue
            for node in ast.parse(path.read_text()).body:
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    yield f"{local(path)}:{node.name}", node


def declared_in(script: str) -> list[str]:
    """The names that a script gives to the whole page."""
    return re.findall(r"^(?:const|let|var|class|(?:async )?function) (\w+)", script, re.MULTILINE)


def test_no_two_scripts_give_the_page_the_same_name():
    """A page loads several as they are: the second `const` of a name stops its whole script."""
    scripts = sorted((ROOT / "static/js").glob("*.js"))
    names = [name for path in scripts for name in declared_in(path.read_text())]

    assert sorted({name for name in names if names.count(name) > 1}) == []
    assert declared_in("const a = 1;\nasync function b() {}\n  let c;") == ["a", "b"]


def test_every_public_pure_function_says_what_it_does_and_returns():
    silent = [
        name
        for name, node in public_functions()
        if node.returns is None or not ast.get_docstring(node)
    ]

    assert silent == []
