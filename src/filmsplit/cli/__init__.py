"""the same actions, from a terminal"""
