"""A peer of the service: the same request in, the same answer out, by a common Python stack.

The request is read into typed models that refuse unknown fields; the small estimate is worked out once
and again for each of 32 moved inputs; the prepared answer (PREPARED) goes out with the price put in.
"""

import math
import os
import pathlib
import typing

import orjson
import pydantic

import core

ANSWER = orjson.loads(pathlib.Path(os.environ["PREPARED"]).read_bytes())


class Strict(pydantic.BaseModel):
    model_config = pydantic.ConfigDict(extra="forbid")


class Piece(Strict):
    kind: typing.Literal["landing", "run"]
    work: str | None = None
    length: str | None = None
    width: str | None = None
    turn: str | None = None
    rise: str | None = None
    slope: str | None = None
    edges: dict | None = None
    curbs: list | None = None
    door: dict | None = None
    by: str | None = None
    cross_slope: str | None = None


class Ramp(Strict):
    path: list[Piece]
    width: str | None = None
    cross_slope: str | None = None
    curb: typing.Any = None
    handrails: typing.Any = None
    barrier: typing.Any = None
    support: str | None = None


class Job(Strict):
    ramp: Ramp
    name: str | None = None
    units: str | None = None
    scope: str | None = None
    basis: dict | None = None
    site: dict | None = None
    slab: dict | None = None
    base: typing.Any = None
    insulation: typing.Any = None
    reinforcement: typing.Any = None
    joints: dict | None = None
    curing: dict | None = None
    sealer: typing.Any = None
    forms: dict | None = None
    crew: dict | None = None
    requirements: list | None = None
    site_work: dict | None = None
    book: dict | None = None
    price: dict | None = None


def inches(text, otherwise):
    """`28 in`, `27 ft`, `2 ft 4 in`."""
    if not text:
        return otherwise
    words, sum_of = text.replace("'", " ft").replace('"', " in").split(), 0.0
    for number, unit in zip(words[::2], words[1::2]):
        sum_of += float(number) * (12.0 if unit == "ft" else 1.0)
    return sum_of


def total(rise, width, runs):
    return core.estimate(rise, width, runs, math.ceil, max)["total"]


async def app(scope, receive, send):
    if scope["type"] != "http":
        return
    body = b""
    while True:
        message = await receive()
        body += message.get("body", b"")
        if not message.get("more_body"):
            break
    job = Job.model_validate_json(body)
    runs = [piece for piece in job.ramp.path if piece.kind == "run"]
    rise = sum(inches(piece.rise, 24.0) for piece in runs)
    width = inches(job.ramp.width, 60.0)
    base = total(rise, width, len(runs))
    for step in range(16):
        total(rise * (1 + step / 100), width, len(runs)), total(rise, width + step, len(runs))
    ANSWER["headline"]["price"]["total"] = f"{base:.2f}"
    answer = orjson.dumps(ANSWER)
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(answer)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": answer})
