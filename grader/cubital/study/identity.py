"""Who may use the server: who knows its token, and the browser that brings a ticket, once.

Every user of a computer can read the command line that a browser is started with. So the token
does not stand there: the address that is opened carries a ticket, which is void once it was used.
"""

import re
from pathlib import Path

from jupyter_server.auth.identity import PasswordIdentityProvider
from tornado.web import RequestHandler
from traitlets import Unicode

_TICKET = re.compile(r"[\w-]{32}", re.ASCII)


class TicketIdentity(PasswordIdentityProvider):
    """Takes a ticket in the token's place; each is a file of its name, gone with its use."""

    tickets_folder = Unicode(help="Where the command leaves tickets.").tag(config=True)

    def get_token(self, handler: RequestHandler) -> str | None:
        """Return what a request brings; for a ticket that is still good, the token itself."""
        given = super().get_token(handler)
        if given and _TICKET.fullmatch(given):
            try:
                (Path(self.tickets_folder) / given).unlink()
            except FileNotFoundError:
                return given
            return self.token
        return given
