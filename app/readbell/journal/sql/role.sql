-- The role of the stations: it may look and add, and no more. Run again, it does no harm.
DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = ':role') THEN
        CREATE ROLE :role LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS;
    END IF;
    EXECUTE format('GRANT CONNECT ON DATABASE %I TO :role', current_database());
END $$;
REVOKE ALL ON ALL TABLES IN SCHEMA readbell FROM :role;
GRANT USAGE ON SCHEMA readbell TO :role;
GRANT SELECT ON ALL TABLES IN SCHEMA readbell TO :role;
GRANT INSERT ON readbell.bay, readbell.event, readbell.private, readbell.pin TO :role;
GRANT EXECUTE ON ALL FUNCTIONS IN SCHEMA readbell TO :role;
-- What is bound to a statement is never logged, even where statements are: it may name a patient.
-- It takes a superuser; who is none is told so, and asks one.
DO $$
BEGIN
    ALTER ROLE :role SET log_parameter_max_length = 0;
EXCEPTION WHEN insufficient_privilege THEN
    RAISE WARNING 'ask a superuser for: ALTER ROLE :role SET log_parameter_max_length = 0';
END $$;
