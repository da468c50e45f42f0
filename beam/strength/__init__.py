"""Margins of a strut: what it must withstand, and how far it is from failing."""
