"""laws: splitting, feed, transfer, density"""
