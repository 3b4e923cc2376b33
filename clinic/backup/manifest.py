"""What stands at the head of each backup: what is in it, and how to tell that it is whole."""

import datetime
import json
from dataclasses import asdict, dataclass

from clinic.backup.content import Content
from clinic.backup.refusal import Refused

FORMAT = 1


@dataclass(frozen=True, kw_only=True)
class Manifest:
    """No name and no value of a patient: counts, digests, times and versions alone."""

    made_at: datetime.datetime
    engine: str
    engine_version: str
    size: int
    sha256: str
    content: Content

    def as_json(self) -> bytes:
        fields = asdict(self) | {"format": FORMAT, "made_at": self.made_at.isoformat()}
        return json.dumps(fields, indent=1).encode()

    @classmethod
    def from_json(cls, text: bytes) -> "Manifest":
        try:
            fields = json.loads(text)
            if fields.pop("format") != FORMAT:
                raise Refused("A newer version of this software wrote this backup; update first.")
            fields["made_at"] = datetime.datetime.fromisoformat(fields["made_at"])
            applied = tuple((app, name) for app, name in fields["content"]["migrations"])
            fields["content"] = Content(**fields["content"] | {"migrations": applied})
            return cls(**fields)
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            raise Refused("This is no backup that this software wrote.") from error
