"""Pages that are finished when all of them are known, so that each can say which of how many it is."""

from collections.abc import Callable

from reportlab.pdfgen.canvas import Canvas


class LatePages(Canvas):
    """A canvas whose pages wait for the last one; `finish` then draws on each, given page and pages.

    To set a sheet twice, the first time only to count its pages, takes twice as long.
    """

    def __init__(self, *args, finish: Callable[[Canvas, int, int], None], **kwargs):
        super().__init__(*args, **kwargs)
        self.finish = finish
        self.waiting: list[dict[str, object]] = []
        self.places: list[str] = []

    def mark_place(self, key: str) -> None:
        """Let an entry of the outline lead to this page; a page is bookmarked as it is finished."""
        self.places.append(key)

    def showPage(self) -> None:
        self.waiting.append(dict(vars(self)))
        self.places = []
        self._startPage()

    def save(self) -> None:
        for page, left in enumerate(self.waiting, start=1):
            vars(self).update(left)
            for key in self.places:
                self.bookmarkPage(key)
            self.finish(self, page, len(self.waiting))
            super().showPage()
        super().save()
