"""what happens where two rollers touch: stripe, engagement, load; what heat and swelling do to them"""
