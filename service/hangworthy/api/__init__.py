"""The API: thin controllers over the engine, problems after RFC 9457, and the OpenAPI document that this project owns."""
