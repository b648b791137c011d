"""one step of the tables a file, oldest first; each names the one before it"""
