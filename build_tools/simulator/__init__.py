"""Invented visits to invented levelers, to try what the calculators advise; no calculator's model is here."""
