"""The engine of the sessions: Django's own in the database, on rows that say whose they are."""

from django.contrib.auth import SESSION_KEY
from django.contrib.sessions.backends import db
from django.utils import timezone

from clinic.models import OpenSession
from clinic.signing_in import bring


class SessionStore(db.SessionStore):
    """Keeps the row that it was read from as `row`, so that asking for the session's end costs nothing."""

    row: OpenSession | None = None

    @classmethod
    def get_model_class(cls):
        return OpenSession

    def _get_session_from_db(self) -> OpenSession | None:
        """As Django's, with the person whose session it is."""
        rows = self.model.objects.select_related("staff__clinic")
        found = rows.filter(session_key=self.session_key, expire_date__gt=timezone.now()).first()
        if found is None:
            self._session_key = None
        return found

    def load(self) -> dict:
        self.row = self._get_session_from_db()
        bring(self.row.staff if self.row else None)
        return self.decode(self.row.session_data) if self.row else {}

    def create_model_instance(self, data: dict) -> OpenSession:
        row = super().create_model_instance(data)
        row.began_at = row.seen_at = timezone.now()
        row.staff_id = data.get(SESSION_KEY)
        row.address, row.browser = data.get("seen_from", ("", ""))
        return row
