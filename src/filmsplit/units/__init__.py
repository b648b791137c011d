"""other units, for people; nothing below needs it"""
