"""the pages of the workbench, one module a page: what it shows as a typed record, and the routes to it"""
