"""presses that come with it, invented and sourced"""
