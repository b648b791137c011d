"""the train as numbered cells: march it, settle it, account for every gram"""
