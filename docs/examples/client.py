#!/usr/bin/env python3
"""Goes on with a job over HTTP, to its end. Python's standard library is all it needs.

    ferrule serve --packs specs --jobs jobs
    python3 docs/examples/client.py http://127.0.0.1:8321 JOB

The job may have been begun in the terminal, or by any other client. Without JOB a new one of the valve clearance pack is
begun. The answers stand in for a person: your screen shows what is offered, and asks. All values are demonstration data.
"""

import json
import os
import sys
import time
import urllib.error
import urllib.request
import uuid

PERSON = "technician A"
TRIES = 5


class Problem(Exception):
    """What the server says is wrong (RFC 9457): its code says which kind, its remedy what to do."""

    def __init__(self, said):
        super().__init__(f"{said['code']}: {said['detail']} {said['remedy']}")
        self.said = said
        self.code = said["code"]


class Ferrule:
    """The interface of a server."""

    def __init__(self, base, token=None):
        self.base = base.rstrip("/")
        self.headers = {"Accept": "application/json"}
        if token:
            self.headers["Authorization"] = f"Bearer {token}"

    def call(self, path, body=None):
        """Sends a request, and once more where no answer came: the id of a command makes that safe."""
        data = None if body is None else json.dumps(body).encode("utf-8")
        headers = dict(self.headers)
        if data is not None:
            headers["Content-Type"] = "application/json"
        for left in reversed(range(TRIES)):
            try:
                request = urllib.request.Request(self.base + path, data, headers)
                with urllib.request.urlopen(request, timeout=30) as answer:
                    return json.load(answer)
            except urllib.error.HTTPError as error:
                said = json.load(error)
                # 503: nothing was recorded, and the same may be sent again.
                if error.code != 503 or left == 0:
                    raise Problem(said) from None
            except OSError:
                if left == 0:
                    raise
            time.sleep(1)

    def begin(self, **asked):
        return self.call("/jobs", {"id": str(uuid.uuid4()), **asked})["job"]

    def offers(self, job):
        return self.call(f"/jobs/{job}/offers")

    def give(self, job, seq, by, command):
        """Gives a command, made by somebody who has seen the job up to fact `seq`. Its facts are on the disk then."""
        body = {"id": str(uuid.uuid4()), "expectedSeq": seq, "by": by, "command": command}
        return self.call(f"/jobs/{job}/commands", body)


def answer_to(offer):
    """What the person says to an offer."""
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
    if kind in ("acknowledge", "done", "witness"):
        return {"command": kind, "step": offer["step"]}
    return None


def work(server, job):
    """Does what is offered until the job is closed, or until a person has to decide."""
    while True:
        now = server.offers(job)
        offered = now["offers"]
        if offered["standing"] == "closed":
            return True
        if "hold" in offered:
            print(f"On hold: {offered['hold']['text']}")
            return False
        commands = (answer_to(one) for one in offered["offers"])
        command = next((one for one in commands if one is not None), None)
        if command is None:
            for one in offered["blocked"]:
                print(f"Blocked: {one['message']} {one['remedy']}")
            return False
        if "step" in offered:
            print(f"{offered['step']['title']}: {command['command']} {command.get('value', '')}".rstrip())
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
                print(f"  {fact['of']}: {verdict.get('value', '')} {verdict['verdict']}")


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    server = Ferrule(sys.argv[1], os.environ.get("FERRULE_TOKEN"))
    if len(sys.argv) == 3:
        job = sys.argv[2]
    else:
        job = server.begin(
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
    about = server.call(f"/jobs/{job}")
    # Whoever shows a job shows these three with it.
    print(f"{about['procedure']['title']}, {about['variant']['title']} ({about['release']['words']})")
    print(about.get("notice", ""))
    print(about["deferral"])
    is_done = work(server, job)
    about = server.call(f"/jobs/{job}")
    print(f"{job}: {about['state']}, {about['seq']} facts, last {about['lastDigest']}")
    return 0 if is_done else 1


if __name__ == "__main__":
    try:
        sys.exit(main())
    except Problem as problem:
        sys.exit(str(problem))
    except OSError as error:
        sys.exit(f"No answer: {error}. Start it again with the same JOB.")
