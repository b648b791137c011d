"""are the rollers fit: verdicts, forecasts, what is due, what it costs, what to order"""
