"""Who may what, as one table."""

from enum import StrEnum

from clinic.wording import gettext_noop


class Role(StrEnum):
    """A person's place in the clinic. `Staff.treats` adds a physiotherapist's capabilities to a manager."""

    PHYSIOTHERAPIST = "physiotherapist"
    FRONT_DESK = "front desk"
    MANAGER = "manager"


class Capability(StrEnum):
    """One thing that a page or a button may need; the value is how a refusal names it."""

    SEE_CLINIC = gettext_noop("see the day of the clinic")
    REGISTER = gettext_noop("register patients")
    BOOK = gettext_noop("book appointments")
    PRINT = gettext_noop("print a patient's program")
    TYPE_DIARIES = gettext_noop("type in diaries")
    READ_CLINICAL = gettext_noop("read clinical records")
    WRITE_CLINICAL = gettext_noop("write clinical records")
    KEEP_RECORDS = gettext_noop("answer for patients' records")
    READ_AUDIT = gettext_noop("read the audit trail")
    MANAGE = gettext_noop("manage the clinic")


EVERYBODY = frozenset(
    {
        Capability.SEE_CLINIC,
        Capability.REGISTER,
        Capability.BOOK,
        Capability.PRINT,
        Capability.TYPE_DIARIES,
    }
)
CAPABILITIES: dict[Role, frozenset[Capability]] = {
    Role.FRONT_DESK: EVERYBODY,
    Role.PHYSIOTHERAPIST: EVERYBODY
    | {Capability.READ_CLINICAL, Capability.WRITE_CLINICAL, Capability.KEEP_RECORDS},
    Role.MANAGER: EVERYBODY
    | {
        Capability.READ_CLINICAL,
        Capability.KEEP_RECORDS,
        Capability.READ_AUDIT,
        Capability.MANAGE,
    },
}  # fmt: skip


def capabilities(role: Role, *, treats: bool) -> frozenset[Capability]:
    """Return what a person of this role may do; a manager who treats may write clinical records too."""
    extra = CAPABILITIES[Role.PHYSIOTHERAPIST] if treats else frozenset()
    return CAPABILITIES[role] | extra
