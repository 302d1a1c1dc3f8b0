#!/usr/bin/env python3
"""Goes on with a job of the valve clearance pack over HTTP, to its end. Python's standard library is all it needs.

    ferrule serve --packs specs --jobs jobs
    python3 docs/examples/client.py http://127.0.0.1:8321 JOB

The job may have been begun in the terminal, or by any other client. Without JOB a new one is begun. Where the server asks
for a token, put it into the environment as FERRULE_TOKEN. Ctrl-C leaves the job as it is: call it again to go on.

The class Ferrule is what other software needs. The answers below it stand in for a person: your screen shows what is
offered, and asks. All values are demonstration data.
"""

import http.client
import json
import os
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
import uuid

PERSON = "technician A"
# How long to wait before a request is sent again, in seconds: a server that is started anew is back by then.
WAITS = (0.5, 1, 2, 4, 8, 16)


class Problem(Exception):
    """What the server says is wrong (RFC 9457): its code says which kind, its remedy what to do."""

    def __init__(self, said):
        super().__init__(f"{said['code']}: {said['detail']} {said['remedy']}")
        self.code = said["code"]


class NoAnswer(Exception):
    """No answer came, or none of this interface. Whether something was recorded is not known."""


class Ferrule:
    """The interface of a server."""

    def __init__(self, base, token=None):
        try:
            is_address = urllib.parse.urlsplit(base).scheme in ("http", "https")
        except ValueError:
            is_address = False
        if not is_address:
            raise NoAnswer(f"{base} is no address of a server. It prints its own when it starts: http://127.0.0.1:8321.")
        self.base = base.rstrip("/")
        self.headers = {"Accept": "application/json"}
        if token:
            self.headers["Authorization"] = f"Bearer {token}"
        # Without the proxy of the environment, which leads out of the workshop.
        self.opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        self.has_answered = False

    def call(self, path, body=None):
        """Sends a request, and the very same again where no answer came. The id in the body makes that safe: what was
        recorded the first time is not recorded twice, and is answered as it was."""
        data = None if body is None else json.dumps(body).encode("utf-8")
        # Who was never there is not waited for: the address is wrong then, or the server is not started.
        for wait in (*(WAITS if self.has_answered else ()), None):
            try:
                return self.send(path, data)
            except NoAnswer as error:
                if wait is None:
                    raise
                say(f"{error} The same is sent again in {wait} s.")
            except Problem as problem:
                # With these, nothing was recorded, and the same may be sent again.
                if wait is None or problem.code not in ("not-written", "stopping", "too-many-requests"):
                    raise
                say(f"{problem} The same is sent again in {wait} s.")
            time.sleep(wait)

    def send(self, path, data):
        """Sends a request once."""
        headers = dict(self.headers)
        if data is not None:
            headers["Content-Type"] = "application/json"
        status = None
        try:
            request = urllib.request.Request(self.base + path, data, headers)
            try:
                answer = self.opener.open(request, timeout=30)
            except urllib.error.HTTPError as error:
                answer = error
            with answer:
                status = answer.status
                said = json.loads(answer.read())
        except (OSError, http.client.HTTPException) as error:
            hint = "" if self.has_answered else " Does the server run, and is this the address that it printed?"
            raise NoAnswer(f"No answer from {self.base}: {getattr(error, 'reason', error)}.{hint}") from None
        except ValueError:
            said = None
        # Not one of Ferrule's own: a proxy that lost the server, or another program at this address.
        if not isinstance(said, dict) or ("code" if status >= 400 else "format") not in said:
            raise NoAnswer(f"What answers at {self.base} is no server of Ferrule.")
        if status >= 400:
            raise Problem(said)
        self.has_answered = True
        return said

    def begin(self, **asked):
        """Begins a job, and gives its name."""
        return self.call("/jobs", {"id": str(uuid.uuid4()), **asked})["job"]

    def job(self, job):
        """A job, and where it stands."""
        return self.call(f"/jobs/{job}")

    def offers(self, job):
        """What can be done now, and what blocks the rest."""
        return self.call(f"/jobs/{job}/offers")

    def give(self, job, seq, by, command):
        """Gives a command, made by somebody who has seen the job up to fact `seq`. When this returns, its facts are on the
        disk of the server."""
        body = {"id": str(uuid.uuid4()), "expectedSeq": seq, "by": by, "command": command}
        return self.call(f"/jobs/{job}/commands", body)


def say(text):
    """Prints a line at once, also into a pipe."""
    print(text, flush=True)


def answer_to(offer):
    """What the person says to an offer; nothing where a person has to decide."""
    kind = offer["offer"]
    if kind == "record":
        if offer["of"] == "reading":
            value = "0.25 mm" if offer["entry"].startswith("inlet") else "0.45 mm"
        elif offer["of"] == "observation":
            value = offer["answers"][0]["id"]
        else:
            value = offer.get("example", "none")
        return {"command": "record", "entry": offer["entry"], "value": value}
    if kind == "resume":
        return {"command": "resume", "confirmed": [one["id"] for one in offer["confirm"]]}
    if kind == "close":
        return {"command": "close"}
    if kind in ("acknowledge", "done"):
        return {"command": kind, "step": offer["step"]}
    return None


def work(server, job):
    """Does what is offered until the job is closed, or until a person has to decide. Says whether it is closed."""
    while True:
        now = server.offers(job)
        offered = now["offers"]
        if offered["standing"] == "closed":
            return True
        if "hold" in offered:
            say(f"On hold: {offered['hold']['text']}")
            return False
        commands = (answer_to(one) for one in offered["offers"])
        command = next((one for one in commands if one is not None), None)
        if command is None:
            for one in offered["blocked"]:
                say(f"Blocked: {one['message']} {one['remedy']}")
            return False
        if "step" in offered:
            say(f"{offered['step']['title']}: {command['command']} {command.get('value', '')}".rstrip())
            for hazard in offered["step"]["hazards"]:
                say(f"  {hazard['signal'].upper()}: {hazard['text']}")
        try:
            given = server.give(job, now["seq"], PERSON, command)
        except Problem as problem:
            if problem.code != "stale-sequence":
                raise
            # Somebody else has gone on with the job. Look again, and decide anew.
            continue
        for one in given["facts"]:
            fact = one["fact"]
            if fact["kind"] == "judged":
                verdict = fact["verdict"]
                say(f"  {fact['of']}: {verdict.get('value', '')} {verdict['verdict']}")


def begin(server):
    """Begins a job of the valve clearance pack."""
    # Asked first, so that a wrong address or a missing pack is told before anything is begun.
    server.call("/packs/valve-clearance/1.0.0")
    return server.begin(
        by=PERSON,
        pack="valve-clearance",
        revision="1.0.0",
        procedure="set-clearances",
        variant="marram-four",
        persons=[
            {"role": "technician", "person": PERSON},
            {"role": "lead", "person": "lead C"},
        ],
        instruments=[
            {"kind": "feeler-gauge", "identity": "FG-1"},
            {"kind": "torque-wrench", "identity": "TW-2", "due": "2099-12-31"},
        ],
    )


def run(server, job):
    """Shows what has to be shown, and works."""
    about = server.job(job)
    # Whoever shows a job shows these three with it.
    say(f"{about['procedure']['title']}, {about['variant']['title']} ({about['release']['words']})")
    say(about.get("notice", ""))
    say(about["deferral"])
    if about["pack"]["id"] != "valve-clearance":
        say(f"This is a job of {about['pack']['id']}. The answers here are those for the valve clearance pack.")
        return 1
    is_closed = work(server, job)
    about = server.job(job)
    say(f"{job}: {about['state']}, {about['seq']} facts, last {about['lastDigest']}")
    return 0 if is_closed else 1


def main():
    if len(sys.argv) not in (2, 3) or sys.argv[1] in ("-h", "--help"):
        sys.exit(__doc__)
    job = sys.argv[2] if len(sys.argv) == 3 else None
    try:
        server = Ferrule(sys.argv[1], os.environ.get("FERRULE_TOKEN"))
        if job is None:
            job = begin(server)
            say(f"Begun: {job}")
        return run(server, job)
    except Problem as problem:
        print(problem, file=sys.stderr)
        return 1
    except NoAnswer as error:
        print(error, file=sys.stderr)
    except KeyboardInterrupt:
        print("Left.", file=sys.stderr)
    if job is not None:
        print(f"What was confirmed is kept. To go on: {sys.argv[0]} {sys.argv[1]} {job}", file=sys.stderr)
    return 1


if __name__ == "__main__":
    sys.exit(main())
