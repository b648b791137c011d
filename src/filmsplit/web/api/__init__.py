"""the actions as JSON, described by the server itself"""
