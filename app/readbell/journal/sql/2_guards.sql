-- What stands is never changed, by nobody, the owner of the tables included. Each function says
-- where it looks for others: whoever calls it may have put functions of their own in the way.
CREATE FUNCTION readbell.refuse() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    RAISE EXCEPTION 'what is recorded in readbell.% is never changed or taken away', TG_TABLE_NAME
        USING ERRCODE = 'RB003';
END $$;

CREATE TRIGGER event_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON readbell.event
FOR EACH STATEMENT EXECUTE FUNCTION readbell.refuse();
CREATE TRIGGER bay_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON readbell.bay
FOR EACH STATEMENT EXECUTE FUNCTION readbell.refuse();
CREATE TRIGGER private_is_kept BEFORE DELETE OR TRUNCATE ON readbell.private
FOR EACH STATEMENT EXECUTE FUNCTION readbell.refuse();

-- A value is only ever emptied, and only within the insert of the event that tells of it.
CREATE FUNCTION readbell.only_emptied() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    IF pg_trigger_depth() < 2 OR NEW.value IS NOT NULL
        OR (NEW.bay, NEW.key, NEW.seq) IS DISTINCT FROM (OLD.bay, OLD.key, OLD.seq) THEN
        RAISE EXCEPTION 'an identifier is only ever erased, with the event that tells of it'
            USING ERRCODE = 'RB003';
    END IF;
    RETURN NEW;
END $$;
CREATE TRIGGER private_stays BEFORE UPDATE ON readbell.private
FOR EACH ROW EXECUTE FUNCTION readbell.only_emptied();

-- Runs as the owner of the tables, for the role of the stations may change nothing itself.
-- Without its salt the digest in the chain is no help to whoever would try all short IDs.
CREATE FUNCTION readbell.erase() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    UPDATE readbell.private SET value = NULL, salt = NULL
    WHERE bay = NEW.bay AND value IS NOT NULL AND key IN (
        SELECT convert_to(erased, 'UTF8')
        FROM json_array_elements_text(NEW.body::json -> 'event' -> 'keys') AS erased
    );
    RETURN NULL;
END $$;
CREATE TRIGGER event_erases AFTER INSERT ON readbell.event
FOR EACH ROW WHEN (strpos(NEW.body, '"kind":"record-erased"') > 0)
EXECUTE FUNCTION readbell.erase();

-- Of an operator's PINs only the newest hash is kept.
CREATE FUNCTION readbell.forget_old_pins() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
    DELETE FROM readbell.pin WHERE bay = NEW.bay AND key = NEW.key AND number < NEW.number;
    RETURN NULL;
END $$;
CREATE TRIGGER pin_takes_the_place AFTER INSERT ON readbell.pin
FOR EACH ROW EXECUTE FUNCTION readbell.forget_old_pins();
