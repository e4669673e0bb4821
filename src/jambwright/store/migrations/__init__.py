"""Named changes of the schema, each run in one transaction with the record that it ran."""
