"""Who is signed in comes with the row of the session: one query where Django asks two, on every page."""

from contextvars import ContextVar

from django.contrib.auth.backends import ModelBackend

from clinic.models import Staff

_brought: ContextVar[Staff | None] = ContextVar("brought", default=None)


def bring(staff: Staff | None) -> None:
    """Keep the person who came with a session that was just read, until they are asked for."""
    _brought.set(staff)


class StaffBackend(ModelBackend):
    """As Django's, but whoever came with the session is not fetched once more."""

    def get_user(self, user_id: int) -> Staff | None:
        brought = _brought.get()
        _brought.set(None)  # once: what is asked for later may have changed
        if brought is None or brought.pk != user_id:
            return super().get_user(user_id)
        return brought if self.user_can_authenticate(brought) else None
