"""Drives the service and its ceilings in pairs and prints median ratios; started by serve.sh.

Invariants: loopback only; a pair with foreign load above FOREIGN is tried again, and said to be noisy
where none came; ends only what it started. The server is held to one core, the load to the other.
"""

import argparse
import os
import pathlib
import re
import shutil
import socket
import statistics
import subprocess
import tempfile
import time
import urllib.request

FOREIGN = 0.15  # cores burnt by neither side
TRIES = 3  # further tries of a pair that was disturbed
TICK = os.sysconf("SC_CLK_TCK")
JOB = pathlib.Path("examples/l-shape.json")


def cpu(pid):
    fields = pathlib.Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / TICK


def busy():
    fields = [int(f) for f in open("/proc/stat").readline().split()[1:]]
    return (sum(fields[:3]) + sum(fields[5:8])) / TICK


def memory(pid, key):
    text = pathlib.Path(f"/proc/{pid}/status").read_text()
    return int(re.search(rf"{key}:\s+(\d+)", text).group(1)) / 1024


def free_port():
    with socket.socket() as at:
        at.bind(("127.0.0.1", 0))
        return at.getsockname()[1]


class Server:
    """A server that was started here, on one core unless said."""

    def __init__(self, command, path, cores="0", **environment):
        self.port = free_port()
        self.folder = tempfile.mkdtemp()
        values = {
            **os.environ,
            "XDG_DATA_HOME": self.folder,
            "CROSSFALL_LISTEN": f"127.0.0.1:{self.port}",
            **environment,
        }
        values.pop("CROSSFALL_TEST_POSTGRES", None)
        self.begun = time.perf_counter()
        self.process = subprocess.Popen(
            ["taskset", "-c", cores, *[part.replace("PORT", str(self.port)) for part in command]],
            env=values, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self.base = f"http://127.0.0.1:{self.port}"
        self.first = self.wait(path)

    def wait(self, path):
        while time.perf_counter() - self.begun < 30:
            try:
                with socket.create_connection(("127.0.0.1", self.port), 1) as at:
                    body = b"" if path == "/livez" else JOB.read_bytes()
                    verb = "GET" if path == "/livez" else "POST"
                    head = f"{verb} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
                    at.sendall(head.encode() + body)
                    if at.recv(12).endswith(b"200"):
                        return time.perf_counter() - self.begun
            except OSError:
                time.sleep(0.001)
        raise SystemExit(f"{self.process.args} did not start")

    @property
    def pid(self):
        return self.process.pid

    def stop(self):
        self.process.terminate()
        self.process.wait(20)
        shutil.rmtree(self.folder, ignore_errors=True)


def load(server, connections, seconds, headers=(), path="/v1/estimates", core="1"):
    """One run of the load: requests a second, CPU a request, p99 and p99.9, errors, foreign load."""
    script = pathlib.Path(server.folder) / "load.lua"
    script.write_text(
        "wrk.method='POST'\nlocal f=io.open('%s','rb'); wrk.body=f:read('*a'); f:close()\n"
        "wrk.headers['Content-Type']='application/json'\n%s"
        "done=function(s,l,r) local e=s.errors\n io.write(string.format('@ %%d %%d %%f %%f %%d\\n',"
        " s.requests, s.duration, l:percentile(99), l:percentile(99.9),"
        " e.status+e.connect+e.read+e.write+e.timeout)) end\n"
        % (JOB.resolve(), "".join(f"wrk.headers['{n}']='{v}'\n" for n, v in headers)))
    before, all_before = cpu(server.pid), busy()
    usage = os.times()
    out = subprocess.run(
        ["taskset", "-c", core, "wrk", "-t1", f"-c{connections}", f"-d{seconds}s", "--timeout", "10s",
         "-s", script, server.base + path], capture_output=True, text=True, check=True).stdout
    used, all_used = cpu(server.pid) - before, busy() - all_before
    mine = os.times()
    own = mine.children_user + mine.children_system - usage.children_user - usage.children_system
    n, micros, p99, p999, errors = re.search(r"@ (\d+) (\d+) (\S+) (\S+) (\d+)", out).groups()
    n, span = int(n), int(micros) / 1e6
    return {"rps": n / span, "cpu": used / n * 1e6, "p99": float(p99) / 1e3, "p999": float(p999) / 1e3,
            "errors": int(errors), "foreign": max(0.0, (all_used - used - own) / span)}


def pairs(count, run_a, run_b):
    """Interleaved runs; the pairs that were quiet, or all where none was."""
    kept, noisy = [], []
    for _ in range(count):
        for _ in range(TRIES + 1):
            pair = (run_a(), run_b())
            if max(one["foreign"] for one in pair) <= FOREIGN:
                kept.append(pair)
                break
        else:
            noisy.append(pair)
    return (kept or noisy), bool(kept)


def ratio(found, key):
    return statistics.median(a[key] / b[key] for a, b in found)


def middle(found, side, key):
    return statistics.median(pair[side][key] for pair in found)


ROWS = []


def say(what, value, must, goal, quiet=True, detail=""):
    ROWS.append((what, value, must, goal))
    mark = "" if quiet else " NOISY"
    print(f"{what:<58} {value:>9} must {must:<7} goal {goal:<7}{mark} {detail}", flush=True)


def single(options, service, ceiling):
    for one in (service, ceiling):
        load(one, 8, 1)
    found, quiet = pairs(options.pairs, lambda: load(service, 8, 2), lambda: load(ceiling, 8, 2))
    mine, theirs = middle(found, 0, "cpu"), middle(found, 1, "cpu")
    say("CPU per estimate over the ceiling", f"{ratio(found, 'cpu'):.2f}", "<=1.5", "<=1.2", quiet,
        f"{mine:.0f} us over {theirs:.0f} us")
    say("requests a second on one core over the ceiling", f"{ratio(found, 'rps'):.2f}", ">=0.65",
        ">=0.85", quiet, f"{middle(found, 0, 'rps'):.0f} over {middle(found, 1, 'rps'):.0f}")
    say("p99 over the ceiling's", f"{ratio(found, 'p99'):.2f}", "<=3", "<=1.5", quiet,
        f"{middle(found, 0, 'p99'):.2f} ms over {middle(found, 1, 'p99'):.2f} ms")
    gzip = [("Accept-Encoding", "gzip")]
    found, quiet = pairs(options.pairs, lambda: load(service, 8, 2, gzip), lambda: load(ceiling, 8, 2))
    say("gzip: CPU over the uncompressed ceiling", f"{ratio(found, 'cpu'):.2f}", "<=3", "<=2.5", quiet,
        f"p99 {middle(found, 0, 'p99'):.1f} ms (must <10)")


def crowd(options, service):
    found, quiet = pairs(max(2, options.pairs // 2), lambda: load(service, 640, 3),
                         lambda: load(service, 64, 3))
    say("640 connections over 64: requests a second", f"{ratio(found, 'rps'):.2f}", ">=0.9", ">=0.95", quiet)
    say("  errors", str(sum(a["errors"] + b["errors"] for a, b in found)), "0", "0", quiet)
    queueing = statistics.median(a["p999"] / (640 / a["rps"] * 1e3) for a, _ in found)
    say("  p99.9 over the queueing time", f"{queueing:.2f}", "<=4", "<=2.5", quiet)


def shared(options, service):
    """The same from a book in Postgres, which others may share."""
    other = Server([options.service], "/livez", CROSSFALL_DATABASE_URL=options.postgres)
    try:
        load(other, 8, 1)
        found, quiet = pairs(options.pairs, lambda: load(other, 8, 2), lambda: load(service, 8, 2))
        say("a book in Postgres over the embedded one, CPU", f"{ratio(found, 'cpu'):.3f}", "<=1.1", "<=1.03", quiet,
            f"{middle(found, 0, 'cpu'):.0f} us over {middle(found, 1, 'cpu'):.0f} us")
    finally:
        other.stop()


def table_run(options, what, threads, rows, **environment):
    cores = "0" if threads == 1 else "0,1"
    before, begun = busy(), time.perf_counter()
    usage = os.times()
    out = subprocess.run(["taskset", "-c", cores, options.table, str(rows), str(threads), what],
                         capture_output=True, text=True, check=True, env={**os.environ, **environment})
    mine = os.times()
    own = mine.children_user + mine.children_system - usage.children_user - usage.children_system
    span = time.perf_counter() - begun
    return {"rows": float(re.search(r"([\d.]+) rows/s", out.stdout).group(1)), "cpu": own / rows * 1e6,
            "foreign": max(0.0, (busy() - before - own) / span)}


def table(options):
    rows = options.rows
    run = lambda what, threads, **more: lambda: table_run(options, what, threads, rows, **more)
    # The ceiling is so much faster that it is given more rows, for a run that can be timed.
    top = lambda: table_run(options, "ceiling", 1, rows * 8)
    found, quiet = pairs(options.pairs, run("product", 1), top)
    detail = f"{middle(found, 0, 'rows'):.0f} over {middle(found, 1, 'rows'):.0f} rows/s"
    say("table, one thread: rows over parse-and-write", f"{ratio(found, 'rows'):.3f}", ">=0.35", ">=0.5",
        quiet, detail)
    found, quiet = pairs(options.pairs, run("product", 2), run("product", 1))
    say("table: two threads over one", f"{ratio(found, 'rows'):.2f}", ">=1.6", ">=1.75", quiet)


def book(options):
    """Estimates from the demo book, and from one with two million invented prices more."""
    one = lambda **more: lambda: table_run(options, "single", 1, 2_000, **more)
    found, quiet = pairs(options.pairs, one(), one(PRICES="2000000"))
    say("a book of 2,000,000 prices over the demo book, time", f"{ratio(found, 'rows'):.3f}", "<=1.15", "<=1.05", quiet)


def sheet(rows):
    """The entrances of the table benchmark."""
    runs, left, width = [("", ""), ("2", ""), ("2", "left"), ("2", "back_left")], ["", "wall", "form_on_wall"], [48, 60, 60, 72]
    yield "job,rise_in,runs,turn,left,width_in\n"
    for row in range(rows):
        run, turn = runs[row % 4]
        yield f"entrance {row},{8 + (row * 7 % 41) / 2:g},{run},{turn},{left[row % 3]},{width[row // 3 % 4]}\n"


FIGURES = ("status,verdict,first_violation,worst_margin,slope,surface_area,concrete_net,concrete_order,"
           "stone_order,insulation_boards,bars,form_length,saw_length,paid_hours,standby_hours,visits,"
           "crew_days,material,labour,equipment,fees,subs,direct,tax_paid,contingency,overhead,profit,"
           "tax_charged,total,price_per_area,per_crew_day,unpriced,oldest_price,valid_until,revision,"
           "fingerprint,note")


def post_table(server, path, figures):
    before = cpu(server.pid)
    query = f"?figures={figures}" if figures else ""
    subprocess.run(["curl", "-sf", "--data-binary", f"@{path}", "-H", "content-type: text/csv", "-H", "expect:",
                    "-o", "/dev/null", f"{server.base}/v1/estimates/batch{query}"], check=True)
    return cpu(server.pid) - before


def table_over_http(options):
    rows = options.rows
    server = Server([options.service], "/livez", cores="0,1")
    try:
        with tempfile.NamedTemporaryFile("w", suffix=".csv") as file:
            file.writelines(sheet(rows))
            file.flush()
            post_table(server, file.name, FIGURES)
            over = statistics.median(post_table(server, file.name, FIGURES) / rows * 1e6 for _ in range(3))
            own = statistics.median(table_run(options, "product", 1, rows)["cpu"] for _ in range(3))
        say("table over HTTP: CPU a row over in process", f"{over / own:.2f}", "<=1.3", "<=1.15", True,
            f"{over:.0f} us over {own:.0f} us")
    finally:
        server.stop()


def start_and_size(options):
    times = {"service": [], "ceiling": []}
    for _ in range(options.pairs * 2):
        for name, command in (("service", [options.service]), ("ceiling", [options.ceiling, "127.0.0.1:PORT"])):
            server = Server(command, "/livez" if name == "service" else "/v1/estimates", cores="0,1")
            times[name].append(server.first)
            idle = memory(server.pid, "VmRSS") if name == "service" else 0
            server.stop()
            if name == "service":
                resting = idle
    mine, bare = statistics.median(times["service"]), statistics.median(times["ceiling"])
    say("start to first answer over a bare server", f"{mine / bare:.1f}", "<=5", "<=2", True,
        f"{mine * 1e3:.0f} ms over {bare * 1e3:.0f} ms")
    say("idle memory, MiB", f"{resting:.0f}", "<=32", "<=16")
    with tempfile.TemporaryDirectory() as folder:
        lean = pathlib.Path(folder) / "lean"
        subprocess.run(["strip", "-o", lean, options.service], check=True)
        say("stripped binary, MB", f"{lean.stat().st_size / 1e6:.1f}", "<=20", "<=12")


def asgi(options, service):
    """The same request and answer by a Python service with a far smaller estimate."""
    prepared = pathlib.Path(service.folder) / "prepared.json"
    call = urllib.request.Request(f"{service.base}/v1/estimates", JOB.read_bytes(), {"Content-Type": "application/json"})
    prepared.write_bytes(urllib.request.urlopen(call).read())
    peer = Server([options.peers, "-m", "uvicorn", "--app-dir", "benches/peers", "--port", "PORT", "--log-level", "error",
                   "asgi:app"], "/v1/estimates", PREPARED=str(prepared))
    try:
        load(peer, 8, 1)
        found, quiet = pairs(options.pairs, lambda: load(peer, 8, 2), lambda: load(service, 8, 2))
        say("a Python service's CPU over ours (it estimates far less)", f"{ratio(found, 'cpu'):.2f}", ">=8", ">=12", quiet,
            f"{middle(found, 0, 'cpu'):.0f} us over {middle(found, 1, 'cpu'):.0f} us")
    finally:
        peer.stop()


def timed(command):
    begun = time.perf_counter()
    out = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return time.perf_counter() - begun, out


def frames(options, rows=200_000):
    """Data frames and a workbook over a table of the same entrances, each by far smaller formulas."""
    ours = statistics.median(table_run(options, "product", 2, options.rows)["rows"] for _ in range(3))
    with tempfile.TemporaryDirectory() as folder:
        path, out = f"{folder}/in.csv", f"{folder}/out.csv"
        with open(path, "w") as file:
            file.writelines(sheet(rows))
        for library in ("polars", "pandas"):
            took, said = timed([options.peers, "benches/peers/frames.py", library, path, out])
            must = (">=1", ">=1.5") if library == "polars" else ("-", "-")
            say(f"our rows a second over those of {library} (far less a row)", f"{ours * took / rows:.3f}", *must, True,
                f"{ours:.0f} over {rows / took:.0f}; its memory {float(said):.0f} MiB")
        if shutil.which("soffice"):
            subprocess.run([options.peers, "benches/peers/sheet.py", "10000", f"{folder}/book.fods"], check=True)
            took, _ = timed(["soffice", f"-env:UserInstallation=file://{folder}/office", "--headless", "--convert-to",
                             "xlsx", "--outdir", folder, f"{folder}/book.fods"])
            say("our rows a second over a Calc workbook's (far less a row)", f"{ours * took / 10_000:.1f}", ">=500", ">=1000",
                True, f"{ours:.0f} over {10_000 / took:.0f}")


def main():
    ask = argparse.ArgumentParser()
    for name in ("service", "ceiling", "table"):
        ask.add_argument(f"--{name}", required=True)
    ask.add_argument("--pairs", type=int, default=5)
    ask.add_argument("--rows", type=int, default=20_000)
    ask.add_argument("--postgres", help="address of a database that may be written into")
    ask.add_argument("--peers", help="a Python that has uvicorn, pydantic, orjson, pandas and polars")
    ask.add_argument("--only", default="single,crowd,table,book,http,start")
    options = ask.parse_args()
    only = options.only.split(",")
    if "single" in only or "crowd" in only:
        service = Server([options.service], "/livez")
        ceiling = Server([options.ceiling, "127.0.0.1:PORT"], "/v1/estimates")
        try:
            if "single" in only:
                single(options, service, ceiling)
            if "crowd" in only:
                crowd(options, service)
            if options.postgres:
                shared(options, service)
            if options.peers:
                asgi(options, service)
        finally:
            service.stop()
            ceiling.stop()
    if options.peers:
        frames(options)
    for name, measure in (("table", table), ("book", book), ("http", table_over_http), ("start", start_and_size)):
        if name in only:
            measure(options)


if __name__ == "__main__":
    main()
