"""A free port on this machine, a page on it, until it is asked to stop."""

from __future__ import annotations

import socket
from pathlib import Path
from typing import TYPE_CHECKING

from extractor.errors import PourwordError, Where
from extractor.review.guard import Guard, Secrets
from extractor.review.job import Job

if TYPE_CHECKING:
    import uvicorn

LINGER_S = 2
"""So long a recording that is being sent may hold up the end."""


class Server:
    """Bound when it is made, so that `address` can be told; `run` serves until `stop`, Ctrl-C or the page's button."""

    def __init__(self, job: Job, *, recording: Path | None = None, port: int = 0) -> None:
        from extractor.review.app import make_app

        if recording is not None and not recording.is_file():
            raise PourwordError(
                "There is no such recording", where=Where(str(recording)), hint="Check the name, or leave it out."
            )
        self.secrets = Secrets()
        self._socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            self._socket.bind(("127.0.0.1", port))
            # From here on whoever opens the address waits for `run`, and is not turned away.
            self._socket.listen(64)
        except (OSError, OverflowError) as error:
            self._socket.close()
            raise PourwordError(
                f"Port {port} cannot be used: {error}", hint="Leave --port out, and a free one is taken."
            ) from None
        self.port: int = self._socket.getsockname()[1]
        app = make_app(job, self.secrets, recording=recording, stop=self.stop)
        self._app = Guard(app, self.secrets, self.port)
        self._server: uvicorn.Server | None = None
        self._stopped = False

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/?key={self.secrets.address}"

    def run(self) -> None:
        import uvicorn

        config = uvicorn.Config(
            self._app, log_level="error", access_log=False, lifespan="off", ws="none", http="h11", proxy_headers=False,
            server_header=False, timeout_graceful_shutdown=LINGER_S,
        )  # fmt: skip
        self._server = uvicorn.Server(config)
        if not self._stopped:
            self._server.run(sockets=[self._socket])

    def stop(self) -> None:
        """Safe from any thread. What was answered is in the file already."""
        self._stopped = True
        if self._server is not None:
            self._server.should_exit = True
