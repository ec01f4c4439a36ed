"""`palette desk`: starting, being asked, and being stopped."""

from __future__ import annotations

import http.cookiejar
import os
import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from contextlib import contextmanager

import pytest
from click.testing import CliRunner

from palette.commands import group
from tests.desk.desk_made import small_kit

pytestmark = pytest.mark.skipif(os.name != "posix", reason="stops the desk by a signal")


@contextmanager
def running(*args: object, cwd, more=("--no-browser",), env=None):
    command = [sys.executable, "-m", "palette", "desk", *map(str, args), *more]
    process = subprocess.Popen(
        command,
        cwd=cwd,
        env={**os.environ, **(env or {})},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    try:
        yield process, process.stdout.readline().strip()
    finally:
        process.kill()
        process.wait()
        process.stdout.close()
        process.stderr.close()


def test_it_answers_at_the_address_it_prints_and_ctrl_c_closes_it(tmp_path):
    small_kit(tmp_path)
    with running(tmp_path, cwd=tmp_path) as (process, address):
        port = int(address.split(":")[2].split("/")[0])
        own = address.split("/")[3]
        assert address.startswith(f"http://127.0.0.1:{port}/{own}/kit/1/bench?ticket=") and len(own) >= 16
        with pytest.raises(urllib.error.HTTPError):  # nothing stands outside this run's own path
            urllib.request.urlopen(f"http://127.0.0.1:{port}/kit/1/")
        opener = urllib.request.build_opener(
            urllib.request.ProxyHandler({}),
            urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()),
        )
        with opener.open(address) as answer:
            page = answer.read().decode()
        assert answer.url == f"http://127.0.0.1:{port}/{own}/kit/1/bench" and "palette desk" in page
        with pytest.raises(urllib.error.HTTPError):  # another browser; the terminal then shows a new address
            urllib.request.urlopen(address)
        again = process.stdout.readline().strip()
        assert again.startswith(f"http://127.0.0.1:{port}/{own}/kit/1/bench?ticket=") and again != address
        # Bound to every address it would answer here too.
        with pytest.raises(OSError):
            socket.create_connection(("127.0.0.2", port), timeout=2)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
        assert process.returncode == 0 and out == ""
        assert err.splitlines()[-1] == "closed" and "Traceback" not in err and "GET" not in err


@pytest.mark.skipif(sys.platform == "darwin", reason="opens a browser")
@pytest.mark.parametrize("display", ["", ":99"])
def test_where_no_browser_opens_the_address_is_enough(tmp_path, display):
    """Fails when the system's complaint about a missing browser reaches the terminal, or nothing is said."""
    opener = tmp_path / "xdg-open"
    opener.write_text("#!/bin/sh\necho no browser >&2\necho no browser\nexit 3\n")
    opener.chmod(0o755)
    env = {"PATH": f"{tmp_path}{os.pathsep}{os.environ['PATH']}", "DISPLAY": display, "WAYLAND_DISPLAY": ""}
    with running(cwd=tmp_path, more=(), env={**env, "BROWSER": ""}) as (process, address):
        assert address.startswith("http://127.0.0.1:")
        said = process.stderr.readline() + (process.stderr.readline() if not display else "")
        assert ("No browser could be opened" in said) == (not display)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=120)
        assert out == "" and err == "closed\n"


def test_a_port_in_use_is_one_line(tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        answer = CliRunner().invoke(group, ["desk", "--port", str(port), "--no-browser"])
    assert answer.exit_code == 1 and answer.stdout == ""
    assert answer.stderr == (
        f"error: port {port} is in use by another program; "
        "give another with --port, or none for any that is free\n"
    )


@pytest.mark.parametrize(("name", "said"), [("nowhere", "there is no such file"), (".", "holds no kit.toml")])
def test_a_kit_that_is_not_there_is_said_before_anything_opens(tmp_path, name, said):
    answer = CliRunner().invoke(group, ["desk", str(tmp_path / name), "--no-browser"])
    assert answer.exit_code == 1 and said in answer.stderr and answer.stderr.count("\n") == 1
