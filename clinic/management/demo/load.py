"""What the arms of the demo have to do, as the intake asks it: at sport, at work and at home."""

from collections.abc import Mapping

Told = tuple[tuple[str, object], ...]

_EVERYBODY = {
    "found_at": "epicondyle",
    "spreads_to": ("forearm",),
    "weak_grip": True,
    "stiff_minutes": 10,
    "earlier_episodes": 0,
    "neck_pain": False,
    "racket_sport": False,
}
_LIGHT_WORK = dict.fromkeys(
    ("work_force", "work_repetition", "work_twisting", "work_tools", "work_heavy"), False
)


def told(*parts: Mapping[str, object], **answers: object) -> Told:
    """Answers of the intake; later ones replace earlier ones."""
    merged = dict(_EVERYBODY)
    for part in (*parts, answers):
        merged |= part
    return tuple(merged.items())


BOATYARD = _LIGHT_WORK | {
    "work_force": True,
    "work_tools": True,
    "work_heavy": True,
    "work_bent_hours": 3,
    "screen_hours": 2,
    "crafts": "model ships",
    "crafts_hours": 3,
}
SAIL_LOFT = _LIGHT_WORK | {
    "work_force": True,
    "work_repetition": True,
    "work_twisting": True,
    "work_bent_hours": 4,
    "screen_hours": 3,
}
KITCHEN = _LIGHT_WORK | {
    "work_repetition": True,
    "work_twisting": True,
    "work_heavy": True,
    "work_bent_hours": 2.5,
    "screen_hours": 4,
}
GARDEN = _LIGHT_WORK | {
    "work_force": True,
    "work_tools": True,
    "work_bent_hours": 2,
    "gardening_hours": 32,
    "screen_hours": 3,
}
STRINGS = _LIGHT_WORK | {
    "work_repetition": True,
    "work_bent_hours": 3,
    "music": "violin",
    "music_hours": 24,
    "screen_hours": 6,
}
OFFICE = _LIGHT_WORK | {"work_bent_hours": 0.5, "screen_hours": 34}
TENNIS = OFFICE | {
    "racket_sport": True,
    "racket_years": 18,
    "racket_hours": 3,
    "racket_hours_before": 5,
    "backhand": "one",
    "grip_size": "L3",
    "string_tension": 24,
    "string_tension_unit": "kgf",
    "racket_change": "strings 2 kg tighter since the summer",
}
# Rackets without a numbered grip and with lighter strings, or none.
OTHER_RACKET = OFFICE | {
    "racket_sport": True,
    "racket_years": 6,
    "racket_hours": 2,
    "racket_hours_before": 4.5,
    "backhand": "one",
}
