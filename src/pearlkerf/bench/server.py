"""The bench's server: on this machine alone, at a free port, ended at once."""

import socket
from pathlib import Path
from typing import Final

import uvicorn

from pearlkerf.bench.app import bench_app
from pearlkerf.bench.guards import Door, Guard
from pearlkerf.bench.rooms import Rooms
from pearlkerf.bench.shelf import Shelf

HERE: Final = "127.0.0.1"
PATIENCE_S: Final = 1  # for answers that are under way when it is ended


class Bench:
    """A bench over a folder: bound as soon as it is made, answering while ``serve`` runs."""

    def __init__(self, folder: Path) -> None:
        # with the protocol named, so that answers are sent at once (TCP_NODELAY) and not 40 ms later
        self._socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        self._socket.bind((HERE, 0))
        self._socket.listen()  # whoever opens the address as soon as it is printed waits, and is not sent away
        self.door = Door(f"{HERE}:{self._socket.getsockname()[1]}")
        self._rooms = Rooms(Shelf(folder))
        self._server = uvicorn.Server(
            uvicorn.Config(
                Guard(bench_app(self._rooms), self.door), lifespan="off", ws="none", http="h11", loop="asyncio",
                log_level="critical", access_log=False, server_header=False, timeout_graceful_shutdown=PATIENCE_S,
            )
        )  # fmt: skip

    def serve(self) -> None:
        """Answer until ``end`` or an interruption, which is raised again."""
        try:
            self._server.run(sockets=[self._socket])
        finally:
            self._socket.close()
            self._rooms.end()

    def end(self) -> None:
        """End it, from another thread."""
        self._server.should_exit = True
