"""how the tables came to be"""
