"""The versions of the schema, one file each. A released one is never changed; a change of the tables is a further file."""
