"""Of each address: whether Python's registry calls it one of the public network, and not multicast."""

import ipaddress
import json
import sys

addresses = [ipaddress.ip_address(text) for text in json.load(sys.stdin)]
json.dump([one.is_global and not one.is_multicast for one in addresses], sys.stdout)
