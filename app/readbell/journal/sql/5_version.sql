INSERT INTO readbell.schema_version (version) VALUES (1);
