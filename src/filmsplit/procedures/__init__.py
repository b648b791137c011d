"""what is done at a press, step by step, each step in one press state, and the gate before it"""
