"""The server as the page, a script and somebody with bad intent meet it. Everybody in its book is invented.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree.
"""
import concurrent.futures
import http.client
import itertools
import json
import os
import pathlib
import re
import signal
import socket
import sqlite3
import stat
import subprocess
import threading
import unittest

import jsonschema

from serving import API, EXAMPLES, PROGRAM, Answer, Server, everything, folder, free_port, plan

BOB = (EXAMPLES / "graduated-bob.json").read_text()
SOURCE = pathlib.Path(os.environ["LW_SOURCE"])
MEASURES = {"units": "cm", "head": {"kind": "woman", "circumference": 55.5}, "hair": {"length": 35}}
WILMA = {"name": "Wilma Osier", "tags": ["short", "colour"], "measures": MEASURES}


def run(*words):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)


class Served(unittest.TestCase):
    """A server of each class's own, on a book of its own."""
    words = ()

    @classmethod
    def setUpClass(cls):
        cls.place = folder()
        cls.addClassCleanup(cls.place.cleanup)
        cls.path = pathlib.Path(cls.place.name)
        cls.server = Server(cls.path / "book.sqlite", *cls.words)
        cls.enterClassContext(cls.server)

    def expect(self, status, method, path, *rest, **more):
        answer = self.server.api(method, path, *rest, **more)
        self.assertEqual(answer.status, status, answer)
        self.assertEqual(answer.headers["Cache-Control"], "no-store")
        if status >= 400:
            self.assert_problem(answer)
        return answer

    def assert_problem(self, answer):
        self.assertEqual(answer.headers["Content-Type"], "application/problem+json")
        told = answer.json
        self.assertEqual(told["status"], answer.status)
        self.assertTrue(told["title"] and told["detail"] and told["remedy"] and told["place"], told)
        self.assertRegex(told["type"], r"^/api/v1/openapi\.json#/components/responses/[a-z-]+$")

    def assert_refused(self, status, answer):
        self.assertEqual(answer.status, status, answer)
        self.assert_problem(answer)


class Document(unittest.TestCase):
    def setUp(self):
        self.text = run("serve", "--openapi").stdout
        self.document = json.loads(self.text)

    def test_the_kept_one_is_the_one(self):
        self.assertEqual((SOURCE / "schema/openapi.json").read_text(), self.text, "make renew writes it again")

    def test_it_is_openapi(self):
        """What of the specification our document uses, checked by hand: no validator for 3.1 is in Debian 12."""
        self.assertRegex(self.document["openapi"], r"^3\.1\.\d+$")
        self.assertLessEqual({"title", "version"}, set(self.document["info"]))
        names = set()
        for path, methods in self.document["paths"].items():
            self.assertTrue(path.startswith("/"))
            for method, operation in methods.items():
                self.assertIn(method, {"get", "post", "put", "delete"})
                self.assertNotIn(operation["operationId"], names)
                names.add(operation["operationId"])
                self.check_operation(path, operation)
        self.assertGreater(len(names), 20)

    def check_operation(self, path, operation):
        declared = set()
        for parameter in map(self.resolve, operation["parameters"]):
            self.assertLessEqual({"name", "in", "schema"}, set(parameter))
            self.assertIn(parameter["in"], {"query", "path", "header"})
            jsonschema.Draft202012Validator.check_schema(parameter["schema"])
            if parameter["in"] == "path":
                self.assertTrue(parameter["required"])
                declared.add(parameter["name"])
        self.assertEqual(declared, set(re.findall(r"{(\w+)}", path)))
        self.assertTrue(any(status.startswith("2") for status in operation["responses"]))
        for status, response in operation["responses"].items():
            self.assertRegex(status, r"^[1-5]\d\d$")
            self.assertTrue(self.resolve(response)["description"])

    def resolve(self, thing):
        while "$ref" in thing:
            found = self.document
            for part in thing["$ref"].removeprefix("#/").split("/"):
                found = found[part]
            thing = found
        return thing

    def test_every_reference_leads_somewhere(self):
        references = re.findall(r'"\$ref": "(.*?)"', self.text)
        self.assertGreater(len(references), 100)
        for reference in references:
            self.resolve({"$ref": reference})

    def test_shapes_are_json_schemas(self):
        for name, schema in self.document["components"]["schemas"].items():
            jsonschema.Draft202012Validator.check_schema(schema)
            self.assertLessEqual(set(schema["required"]), set(schema["properties"]), name)


class Threats(unittest.TestCase):
    def test_every_test_that_is_named_is_there(self):
        named = set(re.findall(r"`((?:test_)?[a-z0-9]+(?:_[a-z0-9]+){2,})`", (SOURCE / "docs/threats.md").read_text()))
        code = "".join((SOURCE / "tests" / name).read_text() for name in ("test_serve.py", "test_request.c", "test_serve_room.c"))
        self.assertGreater(len(named), 20)
        self.assertEqual([name for name in named if not re.search(rf"\b{name}\(", code)], [])


class Routes(Served):
    """Every route of the document, asked of the real server, its answers held to the document."""

    def setUp(self):
        self.document = self.server.api("GET", "/openapi.json").json
        self.met = set()

    def operation(self, name):
        for path, methods in self.document["paths"].items():
            for method, operation in methods.items():
                if operation["operationId"] == name:
                    return path, method, operation
        raise KeyError(name)

    def call(self, name, *numbers, query="", body=None, status=None, **headers):
        path, method, operation = self.operation(name)
        for number in numbers:
            path = re.sub(r"{\w+}", str(number), path, count=1)
        wanted = status or int(next(iter(operation["responses"])))
        headers = {key.replace("_", "-"): value for key, value in headers.items()}
        answer = self.server.ask(method.upper(), path + query, body, headers)
        self.assertEqual(answer.status, wanted, answer)
        self.check_answer(operation, answer)
        self.met.add(name)
        return answer

    def check_answer(self, operation, answer):
        response = operation["responses"][str(answer.status)]
        if "$ref" in response:
            response = self.document["components"]["responses"][response["$ref"].rsplit("/", 1)[1]]
        media, content = next(iter(response["content"].items()))
        self.assertEqual(answer.headers["Content-Type"], media)
        for header in response.get("headers", {}):
            self.assertTrue(answer.headers[header], header)
        if "schema" in content:
            schema = {"components": self.document["components"], **content["schema"]}
            jsonschema.Draft202012Validator(schema).validate(answer.json)

    def test_all(self):
        about = self.call("about").json
        self.assertEqual(about["version"], self.document["info"]["version"])
        self.assertEqual(about["book"], str(self.server.book))
        self.call("openapi")
        self.people()
        self.plans()
        self.paper()
        self.whole()
        self.forgetting()
        every = {o["operationId"] for methods in self.document["paths"].values() for o in methods.values()}
        self.assertEqual(self.met, every)

    def people(self):
        added = self.call("addPerson", body=WILMA)
        self.assertEqual(added.headers["Location"], f"{API}/people/1")
        self.assertEqual(added.etag, '"1"')
        self.assertEqual(added.json["tags"], ["colour", "short"])
        self.assertEqual(added.json["measures"], MEASURES)
        self.assertEqual(self.call("person", 1).json, added.json)
        changed = self.call("changePerson", 1, body={**WILMA, "tags": [], "measures": None}, If_Match='"1"')
        self.assertEqual((changed.json["revision"], changed.etag, changed.json["measures"]), (2, '"2"', None))
        self.call("changePerson", 1, body=WILMA, If_Match="*")
        self.call("changePerson", 1, body=WILMA, If_Match='"2"', status=412)
        self.call("changePerson", 1, body=WILMA, status=428)
        self.call("changePerson", 1, body={"name": "Wilma"}, If_Match="*", status=422)
        self.call("person", 99, status=404)
        note = self.call("notePerson", 1, body={"text": "Likes it behind the ear.\nAlways."})
        self.assertEqual(self.call("personNotes", 1).json["notes"], [note.json])
        self.call("notePerson", 99, body={"text": "x"}, status=404)

    def plans(self):
        added = self.call("addPlan", body={"person": 1, "tags": ["autumn"], "text": BOB})
        self.assertEqual(added.json["text"] + "\n", BOB)
        self.assertEqual((added.json["person"], added.json["revision"], added.headers["Location"]), (1, 1, f"{API}/plans/1"))
        self.call("addPlan", body={"text": plan("Nobody's")})
        changed = self.call("changePlan", 1, body={"tags": [], "text": plan("Two", 12)}, If_Match='"1"')
        self.assertEqual((changed.json["revision"], changed.json["title"]), (2, "Two"))
        current = self.call("changePlan", 1, body={"tags": [], "text": plan("Three")}, If_Match='"1"', status=412).json["current"]
        self.assertEqual(current, changed.json)
        revisions = self.call("planRevisions", 1).json["revisions"]
        self.assertEqual([r["revision"] for r in revisions], [2, 1])
        self.assertEqual(self.call("planRevision", 1, 1).json["text"], added.json["text"])
        self.assertEqual(self.call("plan", 1).json, changed.json)
        note = self.call("notePlan", 1, body={"text": "Too heavy at the nape."})
        self.assertEqual(self.call("planNotes", 1).json["notes"], [note.json])
        self.call("addPlan", body={"person": 99, "text": BOB}, status=404)
        fault = self.call("addPlan", body={"text": BOB.replace('"straight"', '"bent"')}, status=422).json
        self.assertGreater(fault["line"], 1)
        found = self.call("find", query="?words=too%20heavy&kind=note").json
        self.assertEqual((found["all"], found["entries"][0]["who"]), (1, "Wilma Osier"))
        self.assertEqual(self.call("find", query="?person=1&most=1&skip=1&tag=").json["all"], 4)
        self.assertEqual([e["id"] for e in self.call("find", query="?tag=short").json["entries"]], [1])

    def paper(self):
        text = self.call("measuresInto", body={"plan": BOB, "measures": MEASURES, "name": "Wilma Osier"}).json["text"]
        self.assertEqual(json.loads(text)["person"], "Wilma Osier")
        self.assertEqual(self.call("measuresOf", body={"plan": text}).json["measures"]["head"], MEASURES["head"])
        self.call("measuresInto", body={"plan": BOB, "measures": {"units": "in"}, "name": "W"}, status=422)
        self.assertTrue(self.call("sheet", query="?paper=letter&kind=key&date=2026-03-01", body=BOB).body.startswith(b"%PDF"))
        self.call("sheet", body="{}", status=422)

    def whole(self):
        exported = self.call("exportBook")
        self.assertIn("attachment", exported.headers["Content-Disposition"])
        self.call("importBook", body=exported.body, status=409)
        copy = self.path / "copy.sqlite"
        copy.write_bytes(self.call("backUpBook").body)
        self.assertEqual(run("book", "export", "--book", copy).stdout.encode(), exported.body)
        self.assertEqual([p.name for p in self.path.iterdir() if ".copy-" in p.name], [])
        with Server(self.path / "other.sqlite") as other:
            counts = other.api("POST", "/book/import", exported.body)
            self.assertEqual((counts.status, counts.json), (200, {"people": 1, "plans": 2, "revisions": 3, "notes": 2}))
            self.check_answer(self.operation("importBook")[2], counts)
            self.assertEqual(other.api("GET", "/book/export").body, exported.body)
        self.met.add("importBook")

    def forgetting(self):
        held = self.call("personHolds", 1).json
        self.assertEqual((held["people"], held["plans"], held["revisions"], held["notes"]), (1, 1, 2, 2))
        self.call("forgetPlan", 2, If_Match='"7"', status=412)
        self.call("forgetPlan", 2, status=428)
        self.assertEqual(self.call("forgetPlan", 2, If_Match='"1"').json["plans"], 1)
        self.assertEqual(self.call("forgetNote", 1).json["notes"], 1)
        self.call("forgetNote", 1, status=404)
        current = self.call("forgetPerson", 1, If_Match='"1"', status=412).json["current"]
        self.assertEqual(current, self.call("person", 1).json)
        gone = self.call("forgetPerson", 1, If_Match=f'"{current["revision"]}"').json
        self.assertEqual((gone["people"], gone["revisions"]), (1, 2))
        self.call("person", 1, status=404)


class Protocol(Served):
    """HTTP as RFC 9110 and 9112 have it."""

    @classmethod
    def setUpClass(cls):
        super().setUpClass()
        cls.server.api("POST", "/people", WILMA)

    def test_head_is_get_without_its_body(self):
        for path in ("/", f"{API}/people/1", f"{API}/nothing"):
            got, head = self.server.ask("GET", path), self.server.ask("HEAD", path)
            self.assertEqual((head.status, head.body), (got.status, b""))
            for name in ("Content-Length", "Content-Type", "ETag"):
                self.assertEqual(head.headers[name], got.headers[name])

    def test_options_and_405_say_what_can_be_done(self):
        for path, allow in ((f"{API}/people/1", "OPTIONS, GET, HEAD, PUT, DELETE"), ("/", "OPTIONS, GET, HEAD")):
            options, refused = self.server.ask("OPTIONS", path), self.server.ask("PATCH", path)
            self.assertEqual((options.status, options.headers["Allow"]), (204, allow))
            self.assertEqual((refused.status, refused.headers["Allow"]), (405, allow))
        preflight = self.server.ask("OPTIONS", f"{API}/people/1", headers={"Origin": "http://salon.example",
                                                                          "Access-Control-Request-Method": "PUT"})
        self.assertFalse([name for name in preflight.headers if name.lower().startswith("access-control")])

    def test_what_is_known_is_not_sent_again(self):
        for path in ("/", f"{API}/people/1"):
            first = self.server.ask("GET", path)
            again = self.server.ask("GET", path, headers={"If-None-Match": f'"x", W/{first.etag}'})
            self.assertEqual((again.status, again.body, again.etag), (304, b"", first.etag))
            self.assertEqual(self.server.ask("GET", path, headers={"If-None-Match": '"x"'}).status, 200)

    def test_every_answer_is_guarded(self):
        policy = ("default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; "
                  "worker-src 'self'; connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'none'; "
                  "frame-ancestors 'none'")
        for path in ("/", "/nothing", f"{API}/about", f"{API}/nothing", f"/open?secret={self.server.secret}"):
            headers = self.server.ask("GET", path).headers
            self.assertEqual(headers["Content-Security-Policy"], policy)
            self.assertEqual(headers["X-Content-Type-Options"], "nosniff")
            self.assertEqual(headers["Referrer-Policy"], "no-referrer")
            for kind in ("Opener", "Resource"):
                self.assertEqual(headers[f"Cross-Origin-{kind}-Policy"], "same-origin")

    def test_files_are_kept_by_the_browser_as_long_as_they_hold(self):
        index = self.server.ask("GET", "/", headers={"Cookie": None})
        self.assertEqual((index.status, index.headers["Cache-Control"]), (200, "no-cache"))
        self.assertEqual(index.headers["Content-Type"], "text/html; charset=utf-8")
        for name in re.findall(r'(?:src|href)="\.?(/assets/[^"]+)"', index.body.decode()):
            asset = self.server.ask("GET", name)
            self.assertEqual(asset.status, 200)
            self.assertIn("immutable", asset.headers["Cache-Control"])

    def test_a_connection_serves_several_requests(self):
        with self.server.talk() as on:
            for status, path in ((200, "/find"), (404, "/people/9"), (200, "/people/1"), (404, "/nothing")):
                self.assertEqual(self.server.api("GET", path, on=on).status, status)
            self.assertEqual(self.server.api("POST", "/people", "{", on=on).status, 422)
            self.assertEqual(self.server.api("GET", "/people/1", on=on).status, 200)

    def test_a_body_in_chunks(self):
        pieces = iter([b'{"name": "Th\xc3', b'\xa9o Marsh"', b"}"])
        with self.server.talk() as on:
            on.request("POST", f"{API}/people", pieces, {"Host": self.server.host, "Cookie": self.server.cookie,
                                                         "Content-Type": "application/json"}, encode_chunked=True)
            answer = Answer(on.getresponse())
        self.assertEqual((answer.status, answer.json["name"]), (201, "Théo Marsh"))


class Editing(Served):
    def test_the_second_of_two_editors_is_told_and_sees_both(self):
        kept = self.expect(201, "POST", "/plans", {"text": plan("One")})
        mine = self.expect(200, "PUT", "/plans/1", {"tags": [], "text": plan("Mine")}, {"If-Match": kept.etag})
        refused = self.expect(412, "PUT", "/plans/1", {"tags": [], "text": plan("Yours")}, {"If-Match": kept.etag}).json
        self.assertEqual(refused["current"], mine.json)
        self.assertIn("revision 1 was looked at, 2 is there", refused["detail"])
        self.assertEqual(self.expect(200, "GET", "/plans/1").json, mine.json)
        again = self.expect(200, "PUT", "/plans/1", {"tags": [], "text": plan("Yours")}, {"If-Match": f'"{refused["current"]["revision"]}"'})
        self.assertEqual(again.json["revision"], 3)

    def test_weak_tags_do_not_count_for_changes(self):
        self.expect(201, "POST", "/people", {"name": "Nell Sedge"})
        self.expect(412, "PUT", "/people/1", {"name": "Nell", "tags": [], "measures": None}, {"If-Match": 'W/"1"'})
        self.expect(400, "PUT", "/people/1", {"name": "Nell", "tags": [], "measures": None}, {"If-Match": "1"})

    def test_faults_of_measures_are_told_where_they_stand_in_the_body(self):
        body = '{"name": "Nell Sedge",\n "measures": {"units": "cm",\n  "head": {"circumference": 5}}}'
        fault = self.expect(422, "POST", "/people", body).json
        self.assertEqual(fault["line"], 3)
        self.assertEqual(body.splitlines()[2][fault["column"] - 1:], "5}}}")

    def test_a_book_changed_by_a_command_is_seen(self):
        self.assertEqual(run("book", "add", "Robin Quill", "--book", self.server.book).returncode, 0)
        self.assertEqual(self.expect(200, "GET", "/find?words=quill").json["all"], 1)


class Intruders(Served):
    def test_without_the_secret_nothing_of_the_book(self):
        name = f"lengthwise-{self.server.port}"
        for secret in (None, f"{name}=", f"{name}={'0' * 64}", self.server.cookie[:-1], f"x={self.server.secret}", f"lengthwise-1={self.server.secret}"):
            for method, path in (("GET", "/find"), ("POST", "/people"), ("GET", "/nothing"), ("GET", "/openapi.json")):
                answer = self.server.api(method, path, headers={"Cookie": secret})
                self.assert_refused(401, answer)
                self.assertEqual(answer.headers["WWW-Authenticate"], "Bearer")
                self.assertNotIn(self.server.label, str(answer.headers) + answer.body.decode())
        bearer = {"Cookie": None, "Authorization": f"Bearer {self.server.secret}"}
        self.assertEqual(self.server.api("GET", "/find", headers=bearer).status, 200)

    def test_the_link_becomes_a_cookie_of_our_own_name_alone(self):
        path = f"/open?secret={self.server.secret}"
        opened = self.server.ask("GET", path, headers={"Cookie": None})
        self.assertEqual((opened.status, opened.headers["Location"]), (303, "/"))
        self.assertEqual(opened.headers["Set-Cookie"], f"{self.server.cookie}; Path=/; HttpOnly; SameSite=Strict")
        for name in ("127.0.0.1", "localhost"):
            led = self.server.ask("GET", path, headers={"Host": f"{name}:{self.server.port}", "Cookie": None})
            self.assertEqual((led.status, led.headers["Location"], led.headers["Set-Cookie"]), (303, self.server.link, None))
        wrong = self.server.ask("GET", f"/open?secret={'0' * 64}", headers={"Host": f"localhost:{self.server.port}"})
        self.assert_refused(401, wrong)
        self.assertNotIn(self.server.label, str(wrong.headers) + wrong.body.decode())

    def test_an_old_link_is_explained_to_whoever_opens_it(self):
        told = self.server.ask("GET", "/open?secret=old", headers={"Cookie": None, "Accept": "text/html,*/*", "Sec-Fetch-Mode": "navigate"})
        self.assertEqual((told.status, told.headers["Content-Type"]), (401, "text/html; charset=utf-8"))
        self.assertIn("this link is of another run", told.body.decode())
        self.assertNotIn(self.server.label, told.body.decode())

    def test_two_servers_of_one_book_are_not_in_each_other_s_way(self):
        with Server(self.server.book) as other:
            self.assertEqual(other.label, self.server.label)
            both = {"Cookie": f"{self.server.cookie}; {other.cookie}"}
            self.assertEqual([s.api("GET", "/about", headers=both).status for s in (self.server, other)], [200, 200])

    def test_by_other_names_and_from_other_sites_nothing(self):
        port = self.server.port
        for host in ("salon.example", f"salon.example:{port}", f"127.0.0.1:{port + 1}", "127.0.0.1", f"{self.server.label}.localhost",
                     f"x.localhost:{port}", f"127.0.0.1:{port}@salon.example"):
            for path in ("/", f"{API}/find"):
                self.assert_refused(421, self.server.ask("GET", path, headers={"Host": host}))
        own = f"http://{self.server.host}"
        for headers in ({"Origin": "http://salon.example"}, {"Origin": "null"}, {"Origin": f"http://localhost:{port}"},
                        {"Origin": own.replace("http", "https")}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"}):
            self.assert_refused(403, self.server.api("POST", "/people", WILMA, headers))
            self.assert_refused(403, self.server.api("GET", "/find", headers=headers))
        self.assertEqual(self.server.api("GET", "/find", headers={"Origin": own, "Sec-Fetch-Site": "same-origin"}).status, 200)
        self.assertEqual(self.server.api("GET", "/find?kind=person").json["all"], 0)

    def test_no_path_leads_to_other_files(self):
        for path in ("/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/..%2f..%2fetc/passwd", "/assets/../../../etc/passwd", "//etc/passwd",
                     "/./etc/passwd", "/index.html/../index.html", "/%00", "/assets%5c..%5cpasswd"):
            self.assert_refused(400, self.server.ask("GET", path))
        for path in ("/etc/passwd", "/assets", "/assets/", "/book.sqlite", "/proc/self/environ", "/index.html/"):
            self.assert_refused(404, self.server.ask("GET", path))

    def test_lengths_that_two_could_read_differently(self):
        smuggled = b"GET /api/v1/find HTTP/1.1\r\n\r\n"
        common = ("POST /api/v1/people HTTP/1.1", f"Host: {self.server.host}", f"Cookie: {self.server.cookie}",
                  "Content-Type: application/json")
        for lengths in (("Content-Length: 0", f"Content-Length: {len(smuggled)}"), ("Content-Length: 0", "Content-Length: 0"),
                        ("Content-Length: 4", "Transfer-Encoding: chunked"), ("Transfer-Encoding: chunked", "Content-Length: 4"),
                        ("Transfer-Encoding: chunked", "Transfer-Encoding: chunked"), ("Transfer-Encoding: gzip, chunked",),
                        ("Transfer-Encoding: identity",), ("Content-Length: 0x0",), ("Content-Length: -1",), ("Content-Length: 1 2",),
                        ("Content-Length: 99999999999999999999999",)):
            answer = self.server.raw(*common, *lengths, body=smuggled)
            self.assertRegex(answer, rb"^HTTP/1.1 (400|413) ", lengths)
            self.assertNotRegex(answer, rb"HTTP/1.1 [^4]|HTTP/1.1 401", lengths)  # what was smuggled is not answered

    def test_lines_that_are_no_request(self):
        for lines in (("",), ("GET",), ("GET /",), ("GET / HTTP/9.9",), ("GET / HTTP/1.1",), ("GET / HTTP/1.0",),
                      ("GET / HTTP/1.1", f"Host: {self.server.host}", f"Host: {self.server.host}"),
                      ("GET http://salon.example/ HTTP/1.1", f"Host: {self.server.host}"), ("\x00\x01\x02",)):
            answer = self.server.raw(*lines, "Connection: close")
            self.assertRegex(answer, rb"^(HTTP/1.[01] [45]|$)", lines)
        self.assertEqual(self.server.api("GET", "/find").status, 200)

    def test_what_the_library_refuses_by_itself_holds_nothing_of_what_came(self):
        """Before a request is whole there is nobody else to refuse it: docs/serve.md, "What is not a problem"."""
        host = f"Host: {self.server.host}"
        for status, lines in ((400, ("GET /<b>zyx</b> HTTP/1.1", "Zyx: zyx")), (400, ("GET / HTTP/1.1", host, "<b>zyx</b>")),
                              (431, ("GET / HTTP/1.1", host, "X: <b>zyx</b>" + "x" * 70000)),
                              (414, ("GET /<b>zyx</b>" + "x" * 70000 + " HTTP/1.1", host)),
                              (505, ("GET /<b>zyx</b> HTTP/9.9", host))):
            answer = self.server.raw(*lines)
            self.assertRegex(answer, rb"^(HTTP/1.1 %d |$)" % status, lines)  # or cut off while it was still sending
            self.assertNotIn(b"zyx", answer.lower())
            self.assertNotIn(self.server.cookie.encode(), answer)
        self.assertEqual(self.server.api("GET", "/find").status, 200)

    def test_too_much_is_refused_and_the_server_goes_on(self):
        note = {"text": "x" * 200000}
        self.assert_refused(413, self.server.api("POST", "/people/1/notes", note))
        self.assert_refused(413, self.server.api("POST", "/people", " " * (4 << 20) + "{}"))
        self.assert_refused(422, self.server.api("POST", "/people/1/notes", {"text": "x" * 20000}))
        with self.server.talk() as on:
            on.request("POST", f"{API}/people", itertools.repeat(b" " * 65536, 40), {"Host": self.server.host,
                       "Cookie": self.server.cookie, "Content-Type": "application/json"}, encode_chunked=True)
            self.assert_refused(413, Answer(on.getresponse()))
        for lines in ((f"X: {'x' * 70000}",), [f"X{i}: x" for i in range(5000)], [f"X{i}: x" for i in range(80)]):
            answer = self.server.raw("GET / HTTP/1.1", f"Host: {self.server.host}", "Connection: close", *lines)
            self.assertRegex(answer, rb"^(HTTP/1.1 4|$)")
        self.assertRegex(self.server.raw(f"GET /{'x' * 70000} HTTP/1.1", f"Host: {self.server.host}"), rb"^(HTTP/1.1 4|$)")
        self.assertEqual(self.server.api("GET", "/find").status, 200)

    def test_nobody_else_reads_what_lies_beside_the_book(self):
        for path in self.path.iterdir():
            self.assertEqual(stat.S_IMODE(path.stat().st_mode), 0o600, path)
        self.assertIn("book.sqlite-name", [path.name for path in self.path.iterdir()])


class Patience(Served):
    """With a second for the head of a request, three for its body and six for the answer."""
    words = ("--patience", 1)

    def drip(self, first, piece, most=30):
        """Sends a piece each tenth of a second until the other side ends it; what came back, and whether it ended."""
        with self.server.connect() as line:
            line.sendall(first)
            line.settimeout(0.1)
            found = b""
            for _ in range(10 * most):
                try:
                    line.sendall(piece)
                    if not (came := line.recv(65536)):
                        return found, True
                    found += came
                except TimeoutError:
                    continue
                except OSError:
                    return found, True
        return found, False

    def test_a_dripping_head_is_cut_off(self):
        for first, piece in ((b"G", b"E"), (b"GET / HTTP/1.1\r\nHost: x\r\n", b"X: y\r\n"), (b"", b"\r\n")):
            found, ended = self.drip(first, piece)
            self.assertTrue(ended, first)
            self.assertNotIn(b" 200 ", found)

    def test_a_dripping_body_is_cut_off(self):
        head = (f"POST {API}/people HTTP/1.1\r\nHost: {self.server.host}\r\nCookie: {self.server.cookie}\r\n"
                "Content-Type: application/json\r\nContent-Length: 5000\r\n\r\n")
        found, ended = self.drip(head.encode(), b" ")
        self.assertTrue(ended)
        self.assertNotIn(b" 201 ", found)
        self.assertEqual(self.server.api("GET", "/find?kind=person").json["all"], 0)

    def test_who_says_nothing_is_let_go(self):
        with self.server.connect() as line:
            self.assertEqual(everything(line), b"")

    def test_who_does_not_read_is_let_go(self):
        text = plan("Long").replace("Long", "Long" + " " * 200)
        for _ in range(3):
            self.server.api("POST", "/plans", {"text": text[:-1] + " " * 3000000 + "}"})
        with self.server.connect() as line:
            ask = f"GET {API}/book/export HTTP/1.1\r\nHost: {self.server.host}\r\nCookie: {self.server.cookie}\r\n\r\n"
            line.sendall(ask.encode())
            threading.Event().wait(9)
            self.assertLess(len(everything(line)), 9000000)

    def test_the_slow_are_not_in_the_way_of_others(self):
        with self.server.connect() as slow:
            slow.sendall(b"GET / HT")
            self.assertEqual(self.server.api("GET", "/find").status, 200)


class Crowd(Served):
    def test_who_comes_beyond_the_limit_is_told(self):
        crowd = [self.server.connect() for _ in range(64)]
        try:
            crowd[0].sendall(f"GET / HTTP/1.1\r\nHost: {self.server.host}\r\n\r\n".encode())
            self.assertIn(b" 200 ", crowd[0].recv(65536))  # so that all before have been taken in
            for _ in range(20):
                answer = self.server.raw(f"GET {API}/find HTTP/1.1", f"Host: {self.server.host}")
                self.assertRegex(answer, rb"^HTTP/1.1 503 [\w \r\n:-]+Retry-After: ", answer)
        finally:
            for line in crowd:
                line.close()
        for _ in range(600):  # until it has noticed
            try:
                if self.server.api("GET", "/find").status == 200:
                    return
            except OSError:
                pass
            threading.Event().wait(0.1)
        self.fail("the server does not come back")


class Paper(Served):
    def size(self, sheet):
        path = self.path / "sheet.pdf"
        path.write_bytes(sheet.body)
        found = re.search(r"^Page size: +([\d.]+) x ([\d.]+)", subprocess.run(["pdfinfo", path], capture_output=True, text=True).stdout, re.M)
        return tuple(round(float(x)) for x in found.groups())

    def test_both_papers_and_every_kind(self):
        texts = {}
        for paper, size, kind in (("a4", (595, 842), "sheet"), ("letter", (612, 792), "worksheet"), ("a4", (595, 842), "key")):
            sheet = self.expect(200, "POST", f"/sheet?paper={paper}&kind={kind}&date=2026-03-01", BOB)
            self.assertEqual(sheet.headers["Content-Type"], "application/pdf")
            self.assertEqual(self.size(sheet), size)
            texts[kind] = subprocess.run(["pdftotext", self.path / "sheet.pdf", "-"], capture_output=True, text=True).stdout
        self.assertIn("Graduated bob", texts["sheet"])
        self.assertEqual(len(set(texts.values())), 3)

    def test_it_is_the_sheet_of_the_command(self):
        sheet = self.expect(200, "POST", "/sheet?date=2026-03-01", BOB)
        self.assertEqual(run("sheet", EXAMPLES / "graduated-bob.json", "--date", "2026-03-01", "-o", self.path / "own.pdf").returncode, 0)
        self.assertEqual((self.path / "own.pdf").read_bytes(), sheet.body)

    def test_while_it_is_printed_others_are_served(self):
        with concurrent.futures.ThreadPoolExecutor(1) as other:
            sheet = other.submit(self.server.api, "POST", "/sheet", BOB)
            served = 0
            while not sheet.done():
                self.assertEqual(self.server.api("GET", "/find").status, 200)
                served += not sheet.done()
        self.assertEqual(sheet.result().status, 200)
        self.assertGreater(served, 0)

    def test_what_cannot_be_printed_says_why(self):
        fault = self.expect(422, "POST", "/sheet", BOB.replace('"mirror": "right back"', '"mirror": "rihgt back"')).json
        self.assertTrue(fault["line"] > 1 and fault["place"] and fault["remedy"], fault)


class Running(unittest.TestCase):
    def setUp(self):
        place = folder()
        self.addCleanup(place.cleanup)
        self.path = pathlib.Path(place.name)
        self.book = self.path / "book.sqlite"

    def test_it_stops_cleanly_and_finishes_what_it_is_at(self):
        for how in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            with Server(self.book) as server, server.talk() as idle, concurrent.futures.ThreadPoolExecutor(1) as other:
                server.api("GET", "/find", on=idle)
                asked = server.api("POST", "/people", WILMA).status
                sheet = other.submit(server.api, "POST", "/sheet", BOB)
                while not sheet.running():
                    pass
                threading.Event().wait(0.3)
                self.assertEqual((asked, server.stop(how)), (201, 0))
                self.assertEqual(sheet.result().status, 200)
                self.assertEqual(server.process.stderr.read(), "")
            self.assertEqual([p.name for p in self.path.iterdir() if p.name.endswith(("-wal", "-shm"))], [])
        self.assertEqual(run("book", "check", "--book", self.book).returncode, 0)

    def test_a_taken_port_is_told_and_the_next_one_taken(self):
        for family, address in ((socket.AF_INET, "127.0.0.1"), (socket.AF_INET6, "::1")):
            with socket.socket(family) as other:
                try:
                    other.bind((address, 0))
                except OSError:
                    self.assertEqual(family, socket.AF_INET6)  # a machine without it
                    continue
                other.listen()
                port = other.getsockname()[1]
                with Server(self.book, port=port) as server:
                    self.assertGreater(server.port, port)
                    self.assertIn(f"Port {port} is taken; this is port {server.port}.", server.said)
                    self.assertEqual(server.api("GET", "/about").status, 200)

    def test_only_this_machine_can_come(self):
        with Server(self.book) as server:
            found = []
            for name in ("tcp", "tcp6"):
                for line in pathlib.Path(f"/proc/{server.process.pid}/net/{name}").read_text().splitlines()[1:]:
                    address, port = line.split()[1].split(":")
                    if int(port, 16) == server.port and line.split()[3] == "0A":
                        found.append(address)
        self.assertLessEqual(set(found), {"0100007F", "00000000000000000000000001000000"})
        self.assertIn("0100007F", found)

    def test_each_run_has_its_own_secret_and_the_same_name(self):
        runs = []
        for _ in range(2):
            with Server(self.book) as server:
                runs.append((server.secret, server.label))
        self.assertNotEqual(runs[0][0], runs[1][0])
        self.assertEqual(runs[0][1], runs[1][1])
        name = self.path / "book.sqlite-name"
        for spoilt in ("", "x" * 12, "0" * 5):
            name.write_text(spoilt)
            with Server(self.book) as server:
                self.assertRegex(server.label, "^[0-9a-f]{12}$")
                self.assertEqual(name.read_text(), server.label)

    def test_a_book_that_cannot_be_used_is_refused_and_says_what_to_do(self):
        with Server(self.book) as server:
            server.api("POST", "/people", WILMA)
        whole = self.book.read_bytes()
        for spoilt, said in ((whole[:5000], "lengthwise book rescue"), (b"", "backup"), (b"no book at all, but long enough", "")):
            self.book.write_bytes(spoilt)
            refused = run("serve", "--no-open", "--book", self.book, "--port", free_port())
            self.assertNotEqual(refused.returncode, 0)
            self.assertRegex(refused.stderr, r"^\S.*: .+\n  \S")
            self.assertIn(said, refused.stderr)
            self.assertEqual(self.book.read_bytes(), spoilt)
        self.book.write_bytes(whole)
        with sqlite3.connect(self.book) as db:
            db.execute("PRAGMA user_version = 99")
        db.close()
        self.assertIn("newer", run("serve", "--no-open", "--book", self.book, "--port", free_port()).stderr)

    def test_the_browser_is_led_there_by_a_file_of_our_own(self):
        opener, told = self.path / "xdg-open", self.path / "told"
        opener.write_text(f'#!/bin/sh\nprintf %s "$*" >{told}.new\nstat -c "%a" "$1" >{told}.rights\ncp "$1" {told}.page\nmv {told}.new {told}\n')
        opener.chmod(0o755)
        environment = {**os.environ, "PATH": f"{self.path}:{os.environ['PATH']}", "DISPLAY": ":99", "XDG_RUNTIME_DIR": str(self.path)}
        server = Server(self.book, environment=environment)
        server.words.remove("--no-open")
        with server:
            for _ in range(600):
                if told.exists():
                    break
                threading.Event().wait(0.1)
            self.assertNotIn(server.secret, told.read_text())
            self.assertNotIn(server.label, told.read_text())
            self.assertIn(f"url={server.link}", pathlib.Path(f"{told}.page").read_text())
            self.assertEqual(pathlib.Path(f"{told}.rights").read_text(), "600\n")
            self.assertTrue(pathlib.Path(told.read_text()).exists())
        self.assertFalse(pathlib.Path(told.read_text()).exists())

    def test_what_was_acknowledged_is_there_after_a_kill(self):
        for turn in range(8):
            with Server(self.book) as server:
                server.api("POST", "/plans", {"text": plan(f"Turn {turn}")})
                number = server.api("GET", "/find?kind=plan").json["all"]
                kept = self.write_until_killed(server, number, after=0.05 + 0.03 * turn)
            with Server(self.book) as server:
                history = {r["revision"]: r["title"] for r in server.api("GET", f"/plans/{number}/revisions").json["revisions"]}
                for revision, title in kept.items():
                    self.assertEqual(history[revision], title)
                self.assertLessEqual(len(history), len(kept) + 2)  # the first, and one that was on its way
            self.assertEqual(run("book", "check", "--book", self.book).returncode, 0)

    def write_until_killed(self, server, number, after):
        kept = {}
        killer = threading.Timer(after, server.process.kill)
        killer.start()
        with server.talk() as on:
            for revision in itertools.count(1):
                title = f"Revision {revision + 1}"
                try:
                    answer = server.api("PUT", f"/plans/{number}", {"tags": [], "text": plan(title)}, {"If-Match": f'"{revision}"'}, on=on)
                except (OSError, http.client.HTTPException):
                    break
                self.assertEqual(answer.status, 200, answer)
                kept[answer.json["revision"]] = title
        killer.join()
        server.process.wait(60)
        return kept


class Load(Served):
    """The small brother of bench/load.py: nothing is lost, whoever is fastest."""
    EDITORS, READERS, CHANGES = 3, 8, 12

    def edit(self, who, started):
        changes = lost = 0
        with self.server.talk() as on:
            started.wait()
            while changes < self.CHANGES:
                is_now = self.server.api("GET", "/plans/1", on=on)
                text = plan(f"{who}-{changes}", 5 + changes)
                answer = self.server.api("PUT", "/plans/1", {"tags": [], "text": text}, {"If-Match": is_now.etag}, on=on)
                self.assertIn(answer.status, (200, 412), answer)
                changes += answer.status == 200
                lost += answer.status == 412
        return lost

    def read(self, started, done):
        count = 0
        with self.server.talk() as on:
            started.wait()
            while not done.is_set():
                self.assertEqual(self.server.api("GET", ("/find", "/plans/1", "/plans/1/revisions")[count % 3], on=on).status, 200)
                count += 1
        return count

    def test_nothing_is_lost(self):
        self.expect(201, "POST", "/plans", {"text": plan("first")})
        started, done = threading.Event(), threading.Event()
        with concurrent.futures.ThreadPoolExecutor(self.EDITORS + self.READERS) as crowd:
            editors = [crowd.submit(self.edit, f"e{i}", started) for i in range(self.EDITORS)]
            readers = [crowd.submit(self.read, started, done) for _ in range(self.READERS)]
            started.set()
            try:
                for editor in editors:
                    editor.result()
            finally:
                done.set()
            for reader in readers:
                self.assertGreater(reader.result(), 0)
        titles = [r["title"] for r in self.expect(200, "GET", "/plans/1/revisions").json["revisions"]]
        self.assertEqual(sorted(titles), sorted(["first", *(f"e{i}-{k}" for i in range(self.EDITORS) for k in range(self.CHANGES))]))
        self.assertEqual(run("book", "check", "--book", self.server.book).returncode, 0)


if __name__ == "__main__":
    unittest.main()
