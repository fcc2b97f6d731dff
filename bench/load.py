"""The server under load, on loopback: 50 pages that read, 5 that change two plans between them, each a bounded number of
times and all together for at most two minutes. Nothing may be lost; how long answers take is printed.

usage: load.py PROGRAM [READERS EDITORS READS CHANGES]
"""
import concurrent.futures
import os
import pathlib
import sys
import threading
import time

os.environ["LW_PROGRAM"] = sys.argv[1]
sys.path.insert(0, str(pathlib.Path(__file__).parent.parent / "tests"))
from serving import Server, folder, plan  # noqa: E402

READERS, EDITORS, READS, CHANGES = map(int, sys.argv[2:] or (50, 5, 60, 40))
PLANS = 2
READ = ("/find", "/find?words=plan&kind=plan", "/plans/1", "/plans/2/revisions", "/people/1", "/people/1/holds")
started = threading.Event()
until = time.monotonic() + 120


def timed(server, on, method, path, *rest):
    begin = time.perf_counter()
    answer = server.api(method, path, *rest, on=on)
    return answer, (method, time.perf_counter() - begin)


def read(server, who):
    times = []
    with server.talk() as on:
        started.wait()
        for i in range(READS):
            answer, took = timed(server, on, "GET", READ[(who + i) % len(READ)])
            assert answer.status == 200 and time.monotonic() < until, answer
            times.append(took)
    return times


def edit(server, who):
    """Like a page: reads, changes, and where somebody was faster looks again. Its titles, and the times."""
    times, titles, again = [], [], 0
    with server.talk() as on:
        started.wait()
        while len(titles) < CHANGES:
            path = f"/plans/{1 + len(titles) % PLANS}"
            title = f"plan {who}-{len(titles)}"
            seen, took = timed(server, on, "GET", path)
            times.append(took)
            answer, took = timed(server, on, "PUT", path, {"tags": [], "text": plan(title)}, {"If-Match": seen.etag})
            times.append(took)
            assert answer.status in (200, 412) and time.monotonic() < until, answer
            if answer.status == 200:
                titles.append(title)
            again += answer.status == 412
    return times, titles, again


def tell(name, times):
    times = sorted(times)
    at = {p: 1000 * times[min(len(times) - 1, int(p / 100 * len(times)))] for p in (50, 95, 99)}
    print(f"{name},{len(times)},{at[50]:.1f},{at[95]:.1f},{at[99]:.1f},{1000 * times[-1]:.1f}")


def main():
    with folder() as place, Server(pathlib.Path(place, "book.sqlite")) as server:
        server.api("POST", "/people", {"name": "Wilma Osier"})  # invented
        for _ in range(PLANS):
            server.api("POST", "/plans", {"person": 1, "text": plan("first")})
        with concurrent.futures.ThreadPoolExecutor(READERS + EDITORS) as crowd:
            readers = [crowd.submit(read, server, i) for i in range(READERS)]
            editors = [crowd.submit(edit, server, i) for i in range(EDITORS)]
            begin = time.perf_counter()
            started.set()
            reads = [t for reader in readers for t in reader.result()]
            edits = [editor.result() for editor in editors]
            took = time.perf_counter() - begin
        kept = [r["title"] for i in range(PLANS) for r in server.api("GET", f"/plans/{1 + i}/revisions").json["revisions"]]
    expected = ["first"] * PLANS + [title for _, titles, _ in edits for title in titles]
    lost = set(expected) - set(kept)
    assert not lost and sorted(kept) == sorted(expected), lost
    print("what,answers,p50_ms,p95_ms,p99_ms,longest_ms")
    tell("reading pages", [t for _, t in reads])
    tell("editing pages: look", [t for times, _, _ in edits for method, t in times if method == "GET"])
    tell("editing pages: change", [t for times, _, _ in edits for method, t in times if method == "PUT"])
    print(f"# {len(kept)} revisions kept, none lost; {sum(again for _, _, again in edits)} times somebody was faster; {took:.1f} s, "
          f"{(len(reads) + sum(len(t) for t, _, _ in edits)) / took:.0f} answers a second, the client's work included")


main()
