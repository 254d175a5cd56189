"""Balances of journals as three ledger programs reckon them.

Reads a JSON object {"ledger": text, "beancount": text} from standard input, and answers with the balance of
each account for each program: {"hledger": {account: {currency: amount}}, "ledger": ..., "beancount": ...}. A program
that refuses its journal is told as {"refused": what it said}.
"""

import csv
import io
import json
import subprocess
import sys
import tempfile
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

from beancount import loader
from beancount.core.data import Transaction


def run(*command):
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8")
    return done.returncode, done.stdout, done.stderr


def plain(balances):
    told = {}
    for account, by_currency in balances.items():
        left = {code: str(amount) for code, amount in by_currency.items() if amount}
        if left:
            told[account] = left
    return told


def hledger(path):
    code, _, said = run("hledger", "-f", path, "check")
    if code:
        return {"refused": said}
    code, out, said = run("hledger", "-f", path, "print", "-O", "csv")
    if code:
        return {"refused": said}
    balances = defaultdict(lambda: defaultdict(Decimal))
    for row in csv.DictReader(io.StringIO(out)):
        balances[row["account"]][row["commodity"]] += Decimal(row["amount"])
    return plain(balances)


def ledger(path):
    form = "%(account)\t%(commodity)\t%(quantity(amount))\n"
    code, out, said = run("ledger", "-f", path, "--strict", "reg", "--format", form)
    if code:
        return {"refused": said}
    balances = defaultdict(lambda: defaultdict(Decimal))
    for line in out.splitlines():
        account, commodity, amount = line.split("\t")
        balances[account][commodity.strip('"')] += Decimal(amount)
    return plain(balances)


def beancount(path):
    entries, errors, _ = loader.load_file(path)
    if errors:
        return {"refused": "; ".join(str(error.message) for error in errors)}
    balances = defaultdict(lambda: defaultdict(Decimal))
    for entry in entries:
        if isinstance(entry, Transaction):
            for posting in entry.postings:
                balances[posting.account][posting.units.currency] += posting.units.number
    return plain(balances)


def main():
    sent = json.load(sys.stdin)
    with tempfile.TemporaryDirectory() as folder:
        text = Path(folder, "journal.ledger")
        text.write_text(sent["ledger"], encoding="utf-8")
        bean = Path(folder, "journal.beancount")
        bean.write_text(sent["beancount"], encoding="utf-8")
        told = {"hledger": hledger(str(text)), "ledger": ledger(str(text)), "beancount": beancount(str(bean))}
    json.dump(told, sys.stdout)


if __name__ == "__main__":
    main()
