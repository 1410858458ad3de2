"""The server's connection to a kernel, without the pause that the network adds to small messages.

A moved slider brings several small messages one after the other. By default the second waits in
the network's buffer until the browser has acknowledged the first, about 40 ms.
"""

import asyncio

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class PromptConnection(ZMQChannelsWebsocketConnection):
    """Send each message to the page at once (TCP_NODELAY)."""

    def connect(self) -> asyncio.Future[None] | None:
        """Connect to the kernel, on a socket that does not wait to fill a packet."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
