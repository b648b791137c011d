"""files in and out, each checked at the door"""
