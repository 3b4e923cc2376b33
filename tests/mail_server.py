"""A mail server on this machine that takes, refuses or defers, by another hand than ours (aiosmtpd)."""

import asyncio
import contextlib
import email
import email.policy

from aiosmtpd.controller import Controller

from tests.ports import free_port

# By the name before the @: what the server answers to RCPT.
ANSWERS = {
    "gone": "550 5.1.1 no such user here",
    "full": "552 5.2.2 mailbox full",
    "later": "451 4.3.0 try again later",
    "hang-up": "421 4.3.2 closing",
}


class Postbox:
    """What the server has taken; while it is `holding`, it takes a message and says nothing."""

    def __init__(self) -> None:
        self.messages, self.holding = [], False

    async def handle_RCPT(self, server, session, envelope, address, options):
        answer = ANSWERS.get(address.split("@")[0], "250 OK")
        if answer.startswith("250"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server, session, envelope):
        message = email.message_from_bytes(envelope.content, policy=email.policy.default)
        self.messages.append(message)
        while self.holding:
            await asyncio.sleep(0.01)
        return "250 taken"

    @property
    def ids(self) -> list[str]:
        return [message["Message-ID"] for message in self.messages]


@contextlib.contextmanager
def mail_server():
    """Run the server at a free port; gives the port and what arrives."""
    postbox = Postbox()
    controller = Controller(postbox, hostname="127.0.0.1", port=free_port())
    controller.start()
    try:
        yield controller.port, postbox
    finally:
        controller.stop()
