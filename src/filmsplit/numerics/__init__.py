"""mathematics that has never heard of a roller"""
