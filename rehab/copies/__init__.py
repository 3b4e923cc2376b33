"""All that is held about one patient: which rows, in words and as data, and the file that it is given in."""
