"""Two web servers behind nginx on one database, as the README tells for more than one machine.

Requests go to both in turn. One is taken out before it is stopped, so that a restart of one after the other
loses nothing. `.ci/two-servers` starts the same for somebody who wants to look.
"""

import contextlib
import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, field

from tests.operations.server import ROOT, Server, Visitor
from tests.ports import free_port

README = ROOT / "README.md"

CONFIGURATION = """
daemon off;
pid {folder}/nginx.pid;
error_log {folder}/nginx-errors;
worker_processes 1;
events {{ worker_connections 512; }}
http {{
  access_log off;
  client_body_temp_path {folder}/body;
  proxy_temp_path {folder}/proxy;
  fastcgi_temp_path {folder}/fastcgi;
  uwsgi_temp_path {folder}/uwsgi;
  scgi_temp_path {folder}/scgi;
  {site}
}}
"""
LONGEST_S = 60


def site_of_the_readme() -> str:
    return re.search(r"<!-- nginx -->\n```nginx\n(.*?)```", README.read_text(), re.DOTALL)[1]


@dataclass
class BehindNginx:
    """Servers that are started already, and the one address that people know."""

    servers: list[Server]
    folder: pathlib.Path
    port: int = field(default_factory=free_port)
    nginx: subprocess.Popen | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def visitor(self, session: str = "") -> Visitor:
        return Visitor(self.port, session)

    def start(self) -> "BehindNginx":
        self.folder.chmod(0o711)  # nginx's own account keeps large bodies below it
        self._write(out=None)
        command = ["nginx", "-c", str(self._file), "-e", str(self.folder / "nginx-errors")]
        self.nginx = subprocess.Popen(command)
        until(lambda: is_well(self), "nginx answers")
        return self

    def stop(self) -> None:
        if self.nginx:
            self.nginx.send_signal(signal.SIGTERM)
            self.nginx.wait()

    def restart_one_after_the_other(self) -> None:
        """Each is taken out, answers what it was asked, ends, starts, says that it is well, and is let in."""
        for server in self.servers:
            self._let(server)
            server.end()
            server.start()
            until(lambda server=server: is_well(server), "the server is well")
            self._let(None)

    def _let(self, out: Server | None) -> None:
        """Send requests to all but one; come back when nothing is under way by the rule of before."""
        before = self._workers()
        self._write(out)
        self.nginx.send_signal(signal.SIGHUP)
        until(lambda: self._workers() and not before & self._workers(), "nginx has let go")

    def _workers(self) -> set[str]:
        own = self.nginx.pid
        return set(pathlib.Path(f"/proc/{own}/task/{own}/children").read_text().split())

    @property
    def _file(self) -> pathlib.Path:
        return self.folder / "nginx.conf"

    def _write(self, out: Server | None) -> None:
        """The README's site, at this machine's ports and without TLS."""
        first, other = (
            f"127.0.0.1:{server.port}{' down' if server is out else ''}" for server in self.servers
        )
        here = {
            "10.0.0.11:8000": first,
            "10.0.0.12:8000": other,
            "listen 443 ssl": f"listen 127.0.0.1:{self.port}",
            "server_name clinic.example.org": "add_header X-Answered-By $upstream_addr always",
        }
        site = site_of_the_readme()
        for written, meant in here.items():
            site = site.replace(written, meant)
        self._file.write_text(CONFIGURATION.format(folder=self.folder, site=site))


def is_well(server: Server | BehindNginx) -> bool:
    with contextlib.suppress(OSError):
        return server.visitor().get("/health").status == 200
    return False


def until(holds, what: str) -> None:
    ends = time.monotonic() + LONGEST_S
    while not holds():
        if time.monotonic() > ends:
            raise RuntimeError(f"in {LONGEST_S} s not: {what}")
        time.sleep(0.02)


@contextlib.contextmanager
def two_servers(url: str, folder: pathlib.Path):
    """Two servers of one worker each, as if on two machines, behind nginx."""
    with contextlib.ExitStack() as stack:
        servers = []
        for name in ("one", "other"):
            own = folder / name
            own.mkdir()
            servers.append(Server(url, own, workers=1, variables={"BEHIND_PROXY": "1"}))
            stack.callback(servers[-1].kill)
            servers[-1].run()
        for server in servers:
            server.wait_until_ready()
        both = BehindNginx(servers, folder)
        stack.callback(both.stop)
        yield both.start()


def main() -> None:
    """Serve the database of DATABASE_URL until a signal ends it; SIGHUP restarts the servers by turns."""
    with (
        tempfile.TemporaryDirectory(prefix="two-servers-") as folder,
        two_servers(os.environ["DATABASE_URL"], pathlib.Path(folder)) as both,
    ):
        signal.signal(signal.SIGHUP, lambda *_signal: both.restart_one_after_the_other())
        signal.signal(signal.SIGTERM, lambda *_signal: sys.exit())
        print(f"{both.address} asks {[server.port for server in both.servers]}", flush=True)
        with contextlib.suppress(KeyboardInterrupt):
            while True:
                signal.pause()


if __name__ == "__main__":
    main()
