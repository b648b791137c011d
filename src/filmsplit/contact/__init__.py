"""what happens where two rollers touch: stripe, engagement, load, and what heat, swelling or wear do to them"""
