"""Bringing in patients and appointments from a file: reading, understanding, checking, keeping."""
