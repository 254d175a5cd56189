#!/usr/bin/env python3
"""The invented switchback entrance, from its price to the ledger: every paper of it, and every total side by side.

    python3 examples/price_to_ledger.py papers

asks a running service (SERVICE_URL, SERVICE_KEY) for a proposal, a quotation, a change order, a deposit, three
progress invoices with retainage, its release, a credit note and a journal, each made from the answer before it;
writes them into the folder, and prints one table of their totals. A sales tax of 6.25 % (invented) is charged on the
price. It fails where two that must agree do not.
"""

import json
import os
import sys
import urllib.error
import urllib.request
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

HERE = Path(__file__).parent
SERVICE = os.environ.get("SERVICE_URL", "http://127.0.0.1:8080")
KEY = os.environ.get("SERVICE_KEY")

PARTIES = json.loads((HERE / "proposal-parties.json").read_text(encoding="utf-8"))
SELLER = PARTIES["seller"] | {"country": "US", "tax_id": "US000000000", "registration": "R-0000"}
BUYER = PARTIES["buyer"] | {"country": "US"}
ACCOUNTS = {
    "receivable": "Assets:Receivable", "retainage": "Assets:Retainage", "cash": "Assets:Bank",
    "income": "Income:Ramps", "income_by": {"CO-2": "Income:Changes"}, "deposits": "Liabilities:Deposits",
    "back_charges": "Expenses:BackCharges", "tax": "Liabilities:SalesTax", "budget": "Equity:Budget",
    "cost": {
        "material": "Expenses:Material", "labour": "Expenses:Labour", "equipment": "Expenses:Equipment",
        "fee": "Expenses:Fees", "sub": "Expenses:Subs",
    },
}
RATE = "6.25 %"
CHARGED = {"price": {"sales_tax": {"rate": RATE, "base": "price"}}}
TAX = {"category": "S", "rate": RATE}
PAPERS = [("xml", "xml"), ("pdf", "pdf"), ("csv", "csv")]


def ask(path, body, **query):
    """One call; the text of its answer, or the problem and the end."""
    query = "&".join(f"{name}={value}" for name, value in query.items())
    request = urllib.request.Request(f"{SERVICE}{path}?{query}", json.dumps(body).encode())
    request.add_header("Content-Type", "application/json")
    if KEY:
        request.add_header("Authorization", f"Bearer {KEY}")
    try:
        with urllib.request.urlopen(request) as answer:
            return answer.read()
    except urllib.error.HTTPError as refused:
        sys.exit(f"{path}: {refused.code} {refused.read().decode()}")


class Job:
    """A job as it is billed: the answers so far."""

    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.table = []
        self.bills = []
        self.estimate = self.price("switchback.json", **CHARGED)

    def price(self, name, **more):
        job = json.loads((HERE / name).read_text(encoding="utf-8")) | more
        return json.loads(ask("/v1/estimates", job, job="true"))

    def keep(self, name, content):
        (self.folder / name).write_bytes(content)

    def tell(self, what, before_tax, tax, total, note=""):
        self.table.append((what, before_tax, tax, total, note))

    def bill(self, number, date, **more):
        """The next bill, in every form."""
        body = {
            "number": number, "issue_date": date, "seller": SELLER, "buyer": BUYER, "estimate": self.estimate,
            "tax": TAX, "schedule": {"by": "class"}, "references": {"order": "PO-7 (invented)"},
            "pay_to": {"account": "000-000 (invented)", "terms": "30 days net"},
            "checklist": [{"what": "Waiver for this payment", "with": "each"}, {"what": "Warranty", "with": "last"}],
            "earlier": [bill["application"] for bill in self.bills],
        } | more
        return self.post("/v1/invoices", number, body)

    def post(self, path, number, body):
        bill = json.loads(ask(path, body))
        for form, ending in PAPERS:
            self.keep(f"{number}.{ending}", ask(path, body, format=form))
        self.bills.append(bill)
        totals = bill["totals"]
        held = bill["application"]
        note = f"held {Decimal(held['retained']) - Decimal(held['released'])}, left {held['balance']}" if held else ""
        sign = -1 if bill["kind"] == "credit_note" else 1
        amounts = [sign * Decimal(totals[name]) for name in ("before_tax", "tax", "with_tax")]
        self.tell(f"{bill['kind'].replace('_', ' ')} {number}", *amounts, note)
        return bill


def parts(before_tax, with_tax):
    """A sum as the table tells it: before tax, tax, in all."""
    return Decimal(before_tax), Decimal(with_tax) - Decimal(before_tax), Decimal(with_tax)


def offer(job):
    """Proposal and quotation, which must come to the price of the estimate."""
    steps = {step["step"]: Decimal(step["amount"]) for step in job.estimate["price"]["build_up"]}
    total = Decimal(job.estimate["price"]["total"])
    price = parts(total - steps["tax_charged"], total)
    job.tell("estimate", *price, job.estimate["name"])
    body = PARTIES | {"estimate": job.estimate}
    for form in ("pdf", "html"):
        job.keep(f"proposal.{form}", ask("/v1/proposals", body, format=form))
    proposal = json.loads(ask("/v1/proposals", body, format="json"))
    proposed = parts(proposal["price"]["before_tax"], proposal["price"]["amount"])
    job.tell("proposal", *proposed, proposal["price"]["figures"])
    body = {
        "number": "Q-1", "issue_date": "2026-05-04", "seller": SELLER, "buyer": BUYER, "estimate": job.estimate,
        "tax": TAX, "schedule": {"by": "class"},
    }
    quotation = json.loads(ask("/v1/quotations", body))
    job.keep("quotation.xml", ask("/v1/quotations", body, format="xml"))
    totals = quotation["totals"]
    quoted = tuple(Decimal(totals[name]) for name in ("before_tax", "tax", "total"))
    job.tell("quotation Q-1", *quoted)
    return price, [proposed, quoted]


def change(job):
    """The site turned out otherwise: a higher threshold, softer ground, and a signed slip."""
    body = json.loads((HERE / "change-order.json").read_text(encoding="utf-8"))
    for side in ("before", "after"):
        body[side]["job"] |= CHARGED
    for form in ("pdf", "csv"):
        job.keep(f"{body['number']}.{form}", ask("/v1/estimates/compare", body, format=form))
    told = json.loads(ask("/v1/estimates/compare", body))
    contract = told["contract"]
    names = ("original", "change", "signed_slips", "new")
    original, net, signed, new = (tuple(map(Decimal, contract[name].values())) for name in names)
    job.tell("change by comparison", *net, "2 in higher, 2 in more stone")
    job.tell("signed slips", *signed, f"unsigned, apart: {contract['unsigned_slips']['with_tax']}")
    job.tell(f"new contract, {body['number']}", *new, f"to be billed before tax: {contract['to_bill']}")
    return {"number": body["number"], "description": body["reason"], "amount": contract["to_bill"]}, original, new


def main():
    job = Job(Path(sys.argv[1] if len(sys.argv) > 1 else "papers"))
    price, offered = offer(job)
    co, original, new = change(job)
    deposit = job.bill("D-1", "2026-05-11", deposit={"percent": "10 %"})
    held = {"retainage": "10 %"}
    progress = [{"item": "all", "percent": "35 %"}]
    first = job.bill("INV-1", "2026-05-29", progress=progress, **held)
    progress = [{"item": "all", "percent": "80 %"}]
    second = job.bill("INV-2", "2026-06-30", progress=progress, changes=[co], **held)
    body = {
        "number": "C-1", "issue_date": "2026-07-03", "bill": second, "reason": "Sawing billed before it was done (invented)",
        "lines": [{"line": "1", "amount": "40.00"}],
    }
    credit = job.post("/v1/credit-notes", "C-1", body)
    progress = [{"item": "all", "percent": "100 %"}]
    third = job.bill("INV-3", "2026-07-31", progress=progress, changes=[co], **held)
    release = job.bill("INV-4", "2026-08-31", changes=[co], release={"all": True})
    bills = [deposit, first, second, credit, third, release]
    entries = [{"budget": {"date": "2026-05-04", "number": "B-1", "estimate": job.estimate}}]
    for bill in bills:
        entries.append({"bill": bill})
    body = {"accounts": ACCOUNTS, "entries": entries}
    journal = json.loads(ask("/v1/journals", body))
    job.keep("journal.csv", ask("/v1/journals", body, format="csv"))
    job.keep("journal.ledger", ask("/v1/journals", body, format="text"))
    job.keep("journal.beancount", ask("/v1/journals", body, format="text", dialect="beancount", open="true"))
    posted = sum_of(journal, "Assets:Receivable")
    tax = -sum_of(journal, ACCOUNTS["tax"])
    job.tell("journal, receivable", posted - tax, tax, posted)
    job.tell("new contract, again", *new)
    print(f"{'':24}{'before tax':>12}{'tax':>10}{'in all':>12}")
    for what, before_tax, tax_told, total, note in job.table:
        print(f"{what:24}{before_tax:>12}{tax_told:>10}{total:>12}  {note}")
    check(price == offered[0] == offered[1] == original, "proposal, quotation and change order begin with the price")
    check(price[0] + Decimal(co["amount"]) == new[0], "price and change come to the new contract sum, before tax")
    check(new[0] + tax_of(new[0]) == new[2], "the new contract sum is taxed once, and whole")
    bills_and_tax = (posted - tax, tax, posted)
    check(bills_and_tax == new, "the bills, with what was given back, come to the new contract sum, and so does their tax")
    check(sum_of(journal, "Assets:Retainage") == 0, "all retainage is released")
    check(sum_of(journal, "Liabilities:Deposits") == 0, "all of the deposit is taken off")
    check(Decimal(release["application"]["balance"]) == 0, "nothing is left to bill")


def tax_of(before_tax):
    """The tax of a sum, rounded half up to the cent."""
    tax = before_tax * Decimal(RATE.removesuffix(" %")) / 100
    return tax.quantize(Decimal("0.01"), ROUND_HALF_UP)


def sum_of(journal, account):
    postings = [posting for entry in journal["entries"] for posting in entry["postings"]]
    own = [posting for posting in postings if posting["account"] == account]
    return sum(Decimal(posting.get("debit", "0")) - Decimal(posting.get("credit", "0")) for posting in own)


def check(holds, what):
    if not holds:
        sys.exit(f"does not hold: {what}")
    print(f"holds: {what}")


if __name__ == "__main__":
    main()
