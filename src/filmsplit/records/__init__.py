"""the shop's memory: one database, versioned, one transaction for each thing recorded"""
