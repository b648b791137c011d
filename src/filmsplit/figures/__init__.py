"""draw a result; returns a drawing, reads and writes nothing"""
