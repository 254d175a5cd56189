"""What the fuzzer is given beside the contract: bodies that rest on earlier answers, a code of its own for each
write, and what is no fault although the tool takes it for one. It counts the answers of every operation.

Absent: checks; all of them are the tool's."""

import atexit
import collections
import json
import os
import re
import urllib.request
from pathlib import Path

import schemathesis

ADDRESS = os.environ["FUZZ_ADDRESS"]
EXAMPLES = Path(__file__).resolve().parents[3] / "examples"
# The patterns of the contract for the headers of a write.
CONDITIONS = {"If-Match": r'(W/)?"[!#-~]*"', "If-None-Match": r"\*"}
TEXTS = ("text/csv", "text/tab-separated-values", "application/x-ndjson")
COUNTS = collections.defaultdict(collections.Counter)


@schemathesis.serializer("application/x-ndjson")
def write_lines(context, value):
    if isinstance(value, bytes):
        return value
    return (value if isinstance(value, str) else json.dumps(value)).encode()


@schemathesis.deserializer("application/pdf", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
def read_bytes(context, response):
    return response.content.decode("latin-1")


def call(path, body=None):
    request = urllib.request.Request(ADDRESS + path, body and json.dumps(body).encode())
    request.add_header("X-API-Key", os.environ["FUZZ_KEY"])
    request.add_header("Content-Type", "application/json")
    with urllib.request.urlopen(request) as answer:
        return answer.headers, json.load(answer)


def example(name):
    return json.loads((EXAMPLES / name).read_text())


def priced(name="straight.json"):
    return call("/v1/estimates?job=true", example(name))[1]


def parties():
    sent = example("proposal-parties.json")
    return {"seller": sent["seller"], "buyer": sent["buyer"]}


def invoice():
    numbers = {"number": "INV-1", "issue_date": "2026-06-30"}
    return {**numbers, **parties(), "estimate": priced(), "retainage": "10 %"}


def bill():
    return call("/v1/invoices", invoice())[1]


ACCOUNTS = {"receivable": "Assets:Receivable", "retainage": "Assets:Retainage", "income": "Income:Ramps"}

# A priced answer is too long to stand in the contract: these rest on one that was just given.
RESTING = {
    "makeInvoice": invoice,
    "makeCreditNote": lambda: {
        "number": "CN-1", "issue_date": "2026-07-02", "bill": bill(), "reason": "billed twice (invented)",
    },
    "makeQuotation": lambda: {"number": "Q-1", "issue_date": "2026-05-04", **parties(), "estimate": priced()},
    "makeProposal": lambda: {**example("proposal-parties.json"), "estimate": priced()},
    "makeJournal": lambda: {"accounts": ACCOUNTS, "entries": [{"bill": bill()}]},
    "costJob": lambda: {**example("job-cost.json"), "estimate": priced("switchback.json")},
}


@schemathesis.hook
def before_add_examples(context, examples):
    operation = context.operation
    name = operation.definition.raw.get("operationId")
    if name in RESTING:
        # Of the examples that the tool makes up of single words none is a whole document.
        examples[0].body = RESTING[name]()
    if name in ("putPriceBook", "putItem"):
        # A second write of the same new code is refused, as it should be.
        code = "book" if name == "putPriceBook" else "item"
        for number, case in enumerate(examples):
            case.path_parameters[code] = f"{case.path_parameters[code]}-{number}"
    if name == "importTable":
        # The examples of other calls have written to the book since it was at its first revision.
        for number, case in enumerate(examples):
            book, _ = call("/v1/price-books/demo")
            case.headers["If-Match"] = book["ETag"]
            case.headers["Idempotency-Key"] = f"example-{number}"


def is_told_in_words(case, response):
    """Refusals of what no schema can say: how parts of one request hang together."""
    name = case.operation.definition.raw.get("operationId")
    query, headers = case.query or {}, case.headers or {}
    match name, response.status_code:
        case ("putPriceBook" | "putItem"), 400:
            # One condition at a time. And of a header the tool also tries a plain 0, whatever its pattern says.
            sent = {header: headers[header] for header in CONDITIONS if header in headers}
            return len(sent) == 2 or any(not re.fullmatch(CONDITIONS[one], text) for one, text in sent.items())
        case "importTable", 400:
            return "Idempotency-Key" not in headers
        case "listRates", 400:
            return "revision" in query and "book" not in query
        case "estimateBatch", 406:
            # A body without columns has no table to answer with.
            return query.get("format") == "csv" and case.media_type in ("application/json", "application/x-ndjson")
    return False


@schemathesis.hook
def filter_failure(context, failure, case, response):
    """Keeps a failure, unless it is one of the refusals above, or a body that cannot be wrong."""
    match type(failure).__name__:
        case "RejectedPositiveData":
            return not is_told_in_words(case, response)
        case "AcceptedNegativeData":
            # Whatever is sent in place of text is text once it is sent: `{}` is a heading of one column. And what
            # is wrong with a table and its columns is told once the condition holds (RFC 9110, section 13.2).
            name = case.operation.definition.raw.get("operationId")
            table = name == "importTable" and response.status_code == 412
            return not (table or (case.media_type in TEXTS and "in body" in failure.message))
    return True


@schemathesis.hook
def after_call(context, case, response):
    COUNTS[f"{case.operation.method.upper()} {case.operation.path}"][str(response.status_code)] += 1


@atexit.register
def write_counts():
    Path(os.environ["FUZZ_COUNTS"]).write_text(json.dumps(COUNTS))
