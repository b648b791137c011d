"""one thing a person can ask for, whole: read, compute, record"""
