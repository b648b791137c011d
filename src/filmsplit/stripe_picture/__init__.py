"""how wide a printed stripe is, from a picture with a scale card in it"""
