"""The connection to a kernel sends each message at once."""

from types import SimpleNamespace

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

from cubital.study.connection import PromptConnection


def test_the_socket_does_not_wait_before_the_kernel_is_connected(monkeypatch):
    done = []
    monkeypatch.setattr(
        ZMQChannelsWebsocketConnection, "connect", lambda self: done.append("connected")
    )
    handler = SimpleNamespace(set_nodelay=done.append)
    connection = PromptConnection.__new__(PromptConnection)
    monkeypatch.setattr(PromptConnection, "websocket_handler", handler)
    connection.connect()
    assert done == [True, "connected"]
