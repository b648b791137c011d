"""what is wrong and what to check next"""
