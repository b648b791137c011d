"""the same actions, from a browser on this computer"""
