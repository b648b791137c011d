"""a job's settings: keys, sweep, ink and the first sheets"""
