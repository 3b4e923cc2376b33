"""Copies of the whole database that are known to come back: made, tried out, kept, put back."""
