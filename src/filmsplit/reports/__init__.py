"""an answer as paper to take to the press: the set-up sheet, the key strip"""
