-- Every station of the bay hears how far the record has come, the moment it is stored.
CREATE FUNCTION readbell.tell() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    PERFORM pg_notify('readbell_' || bay, max(seq)::text) FROM added GROUP BY bay;
    RETURN NULL;
END $$;
CREATE TRIGGER event_is_told AFTER INSERT ON readbell.event
REFERENCING NEW TABLE AS added
FOR EACH STATEMENT EXECUTE FUNCTION readbell.tell();
