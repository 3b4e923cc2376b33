HEAVY = {}
