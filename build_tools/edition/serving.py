"""What every host of an edition on this machine shares: its address, its content types, its server."""

from __future__ import annotations

from http.server import ThreadingHTTPServer
from typing import Any

ADDRESS = "127.0.0.1"
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".mjs": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".zip": "application/zip",
    ".xml": "text/xml; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
    "": "application/octet-stream",
}


class LocalServer(ThreadingHTTPServer):
    """A server whose open connections do not hold up its end."""

    daemon_threads = True
    allow_reuse_address = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing of a browser that closed a connection."""
