"""The actions as JSON, described by itself (OpenAPI). Its types are its own: no page shows them."""
