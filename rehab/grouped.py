"""A proposal's criteria in the groups in which a page shows them, each source noted once."""

from dataclasses import dataclass

from django.utils.translation import gettext

from assessments.lines import mark_of
from clinic.evidence import Status
from clinic.templatetags.clinic_tags import number
from clinic.wording import Sentence, say
from rehab.clinical.criterion import Criterion
from rehab.clinical.proposal import Proposal
from rehab.clinical.thresholds import Threshold

ABOUT = {
    "data": say("Enough to judge"),
    "load": say("For more load"),
    "stage": say("For the next stage"),
}


@dataclass(frozen=True, kw_only=True)
class Note:
    """One source with the criteria whose limits stand on it."""

    mark: str
    source: str
    status: Status
    limits: str
    figures: tuple[Threshold, ...]

    @property
    def titles(self) -> tuple[tuple[Sentence, str], ...]:
        return tuple((figure.words, _in_force(figure)) for figure in self.figures)

    @property
    def is_own(self) -> bool:
        """Whether the values are the clinic's own; the source is then that of the printed ones."""
        return any(figure.printed is not None for figure in self.figures)


@dataclass(frozen=True, kw_only=True)
class Group:
    """The criteria of one question, each with the mark of its note."""

    title: Sentence
    rows: tuple[tuple[Criterion, str], ...]
    held: int


@dataclass(frozen=True, kw_only=True)
class Judged:
    groups: tuple[Group, ...]
    notes: tuple[Note, ...]


def _in_force(figure: Threshold) -> str:
    if figure.printed is None:
        return str(figure)
    words = gettext("%(value)s, printed %(printed)s")
    return words % {
        "value": figure,
        "printed": number(figure.printed, figure.places),
    }


def judged(proposal: Proposal, *, after: int = 0) -> Judged:
    """Return the criteria grouped by what they are about, and one note for each source.

    Marks go on `after` so many that the page has used already.
    """
    notes = _notes(proposal.criteria, after)
    mark = {figure: note.mark for note in notes for figure in note.figures}
    groups = []
    for about, title in ABOUT.items():
        rows = tuple((row, mark[row.figure]) for row in proposal.criteria if row.about == about)
        if rows:
            held = sum(row.held is True for row, _mark in rows)
            groups.append(Group(title=title, rows=rows, held=held))
    return Judged(groups=tuple(groups), notes=notes)


def _notes(criteria: tuple[Criterion, ...], after: int) -> tuple[Note, ...]:
    found: dict[tuple, dict[Threshold, None]] = {}
    for row in criteria:
        same = found.setdefault((row.figure.source, row.figure.status, row.figure.limits), {})
        same[row.figure] = None
    return tuple(
        Note(
            mark=mark_of(place),
            source=source,
            status=status,
            limits=limits,
            figures=tuple(figures),
        )
        for place, ((source, status, limits), figures) in enumerate(found.items(), start=after)
    )
