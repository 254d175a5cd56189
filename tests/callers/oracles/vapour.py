"""Saturation pressures of water vapour in pascals, of temperatures in degrees Celsius, by psychrolib."""

import json
import sys

import psychrolib

psychrolib.SetUnitSystem(psychrolib.SI)
json.dump([psychrolib.GetSatVapPres(at) for at in json.load(sys.stdin)], sys.stdout)
