"""How soon the desk answers: `python -m tests.benchmarks.desk [--large] [--marks N]`.

A desk is started on a made kit, as a user starts one, and asked over HTTP as its page asks. Each figure is a
time on the clock and, beside it, how many empty requests (a small fixed file from the same server in the same
run) take as long. Without --large the kit is the demo: 6 pictures, 11 parts; with it, 60 pictures (five of 24
megapixels) and 40 parts. The cache starts empty; then the desk is started again.
"""

from __future__ import annotations

import argparse
import http.client
import json
import queue
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from tests.benchmarks.desk_kits import demo_kit, large_kit
from tests.benchmarks.processes import as_installed


class Server:
    """A desk in a process of its own, and the one browser it let in."""

    def __init__(self, kit: Path, env: dict[str, str]) -> None:
        self.began = time.perf_counter()
        command = [sys.executable, "-m", "palette", "desk", str(kit), "--no-browser"]
        self.process = subprocess.Popen(
            command, env=as_installed(**env), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert self.process.stdout is not None
        address = urlsplit(self.process.stdout.readline().strip())
        self.host, self.root = address.netloc, address.path.removesuffix("/bench")
        connection = http.client.HTTPConnection(self.host)
        connection.request("GET", f"{address.path}?{address.query}")
        self.cookie = connection.getresponse().getheader("Set-Cookie", "").partition(";")[0]
        page = self.get(f"{address.path}", whole=True).decode()
        self.token = page.partition('name="desk-token" content="')[2].partition('"')[0]
        self.page = time.perf_counter() - self.began
        self.connection = http.client.HTTPConnection(self.host, timeout=900)

    def get(self, path: str, whole: bool = False, **query: object) -> bytes:
        connection = getattr(self, "connection", None) or http.client.HTTPConnection(self.host, timeout=900)
        where = path if whole else f"{self.root}/{path}"
        connection.request(
            "GET", f"{where}?{urlencode(query)}" if query else where, headers={"Cookie": self.cookie}
        )
        answer = connection.getresponse()
        raw = answer.read()
        assert answer.status == 200, (path, answer.status, raw[:200])
        return raw

    def json(self, path: str, **query: object) -> dict:
        return json.loads(self.get(path, **query))

    def post(self, path: str, **body: object) -> dict:
        headers = {"Cookie": self.cookie, "X-Desk-Token": self.token, "Content-Type": "application/json"}
        self.connection.request("POST", f"{self.root}/{path}", json.dumps(body), headers)
        answer = self.connection.getresponse()
        content = json.loads(answer.read())
        assert answer.status == 200, content
        return content

    def events(self) -> queue.SimpleQueue[tuple[float, str, dict]]:
        """What is told from now on, each with the time it came."""
        told: queue.SimpleQueue[tuple[float, str, dict]] = queue.SimpleQueue()
        connection = http.client.HTTPConnection(self.host, timeout=900)
        connection.request("GET", f"{self.root}/api/events", headers={"Cookie": self.cookie})
        answer = connection.getresponse()

        def listen() -> None:
            name = ""
            for line in answer:
                if line.startswith(b"event: "):
                    name = line[7:].strip().decode()
                elif line.startswith(b"data: "):
                    told.put((time.perf_counter(), name, json.loads(line[6:])))

        threading.Thread(target=listen, daemon=True).start()
        return told

    def settle(self) -> float:
        while not self.json("api/rows")["settled"]:
            time.sleep(0.1)
        return time.perf_counter() - self.began

    def memory(self) -> float:
        """MB of this process and those it started, what they share counted once."""
        mine = [self.process.pid]
        for entry in Path("/proc").glob("[0-9]*/stat"):
            try:
                if int(entry.read_text().rpartition(")")[2].split()[1]) in mine:
                    mine.append(int(entry.parent.name))
            except OSError:
                continue
        total = 0
        for pid in mine:
            try:
                lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
                total += sum(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
            except OSError:
                continue
        return total / 1024

    def close(self) -> None:
        self.process.terminate()
        self.process.wait()


def timed(work) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def p95(values: list[float]) -> float:
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--large", action="store_true", help="60 pictures and 40 parts")
    parser.add_argument("--pictures", type=int, default=60)
    parser.add_argument("--parts", type=int, default=40)
    parser.add_argument("--marks", type=int, default=8, help="how many marks are made")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "kit"
        place.mkdir()
        kit = large_kit(place, given.pictures, given.parts) if given.large else demo_kit(place)
        env = {"PALETTE_CACHE": f"{folder}/cache", "PALETTE_STATE": f"{folder}/state"}
        cold = Server(kit, env)
        state = timed(lambda: cold.json("api/state"))
        settled = cold.settle()
        cold.close()
        server = Server(kit, env)
        small = f"{server.root.partition('/kit/')[0]}/static/desk.svg"
        empty = [timed(lambda: server.get(small, whole=True)) for _ in range(200)]
        one = sorted(empty)[len(empty) // 2]

        def say(what: str, seconds: float, aim: str = "") -> None:
            print(f"{what:<44}{1000 * seconds:>10.1f} ms{seconds / one:>10.1f} ×   {aim}", flush=True)

        print(f"{'':44}{'time':>13}{'empty':>10}")
        say("an empty request, median", one)
        say("an empty request, 95th percentile", p95(empty))
        say("cold: start to the page and its state", cold.page + state, "3000 ms")
        say("cold: start to all rows settled", settled)
        began = time.perf_counter()
        kit_state = server.json("api/state")
        say("warm: start to the page and its state", server.page + time.perf_counter() - began, "1000 ms")
        say("warm: start to all rows settled", server.settle())
        references = [r for r in kit_state["references"] if r["tone"] == "colour" and r["samples"]]
        ref = references[0]
        server.json("api/read", ref=ref["id"], x=10, y=10)  # lays the picture out, once
        points = [
            timed(lambda i=i: server.json("api/read", ref=ref["id"], x=20 + 7 * i % 400, y=20 + 11 * i % 300))
            for i in range(100)
        ]
        say("pointer to readout, 95th percentile", p95(points), "50 ms")
        every = kit_state["references"]
        for r in every:
            server.get("thumb", ref=r["id"], v=r["v"])
        thumbs = timed(lambda: [server.get("thumb", ref=r["id"], v=r["v"]) for r in every])
        say(f"a thumbnail, of {len(every)} scrolled past", thumbs / len(every))
        told = server.events()
        own, rows, all_rows = [], [], []
        part = ref["samples"][0]["part"]
        x, y, w, h = next(s["region"]["rect"] for s in ref["samples"] if "rect" in s["region"])
        version = server.json("api/state")["version"]
        for i in range(given.marks):
            region = {"rect": [x + i % 3, y + i // 3, max(8, w // 2), max(8, h // 2)]}
            began = time.perf_counter()
            op = {"op": "mark.add", "ref": ref["id"], "region": region, "part": part}
            version = server.post("api/change", version=version, ops=[op])["version"]
            own.append(time.perf_counter() - began)
            row = None
            while True:
                when, name, data = told.get(timeout=900)
                # a row is told again as soon as what the colour pictures say of its part is another
                if row is None and name == "rows" and any(one["part"] == part for one in data["rows"]):
                    row = when - began
                if name == "settled" and data["version"] == version:
                    all_rows.append(when - began)
                    break
            if row is not None:
                rows.append(row)
        say("mark to its own colour, median", sorted(own)[len(own) // 2], "150 ms")
        if rows:
            say("mark to the updated row, median", sorted(rows)[len(rows) // 2], "500 ms")
        say("mark to all rows settled, median", sorted(all_rows)[len(all_rows) // 2], "3000 ms")
        print(f"{'memory of the desk and what it started':<44}{server.memory():>10.0f} MB{'':>14}600 MB")
        server.close()


if __name__ == "__main__":
    main()
