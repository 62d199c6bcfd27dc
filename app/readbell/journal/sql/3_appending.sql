-- Each event follows from the one before it, whoever inserts it and by whatever statement.
-- The lock lasts to the end of the transaction: of several who append one goes first, and the
-- others see what it stored. 20977 is a number of our own for it.
CREATE FUNCTION readbell.follows() RETURNS trigger
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    last record;
BEGIN
    PERFORM pg_advisory_xact_lock(20977, NEW.bay);
    SELECT seq, hash INTO last FROM readbell.event
    WHERE bay = NEW.bay ORDER BY seq DESC LIMIT 1;
    IF NEW.seq <> coalesce(last.seq, 0) + 1 THEN
        RAISE EXCEPTION 'somebody else has written to this journal since' USING ERRCODE = 'RB001';
    END IF;
    IF NEW.hash <> sha256(
        coalesce(last.hash, decode(repeat('00', 32), 'hex')) || convert_to(NEW.body, 'UTF8')
    ) THEN
        RAISE EXCEPTION 'event % does not follow from the one before it', NEW.seq
            USING ERRCODE = 'RB002';
    END IF;
    NEW.committed := clock_timestamp();
    RETURN NEW;
END $$;
CREATE TRIGGER event_follows BEFORE INSERT ON readbell.event
FOR EACH ROW EXECUTE FUNCTION readbell.follows();

-- One call is one transaction and one way there and back. A station whose link dies in the middle
-- of it holds nothing up: the server ends the call by itself, stored or not.
CREATE FUNCTION readbell.append(
    the_bay integer, end_seq bigint, end_hash bytea, the_station text, the_offset bigint,
    seqs bigint[], ids text[], bodies text[], hashes bytea[],
    brought_by bigint[], keys bytea[], salts bytea[], vals bytea[]
) RETURNS void
LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    last record;
BEGIN
    PERFORM pg_advisory_xact_lock(20977, the_bay);
    SELECT seq, hash INTO last FROM readbell.event
    WHERE bay = the_bay ORDER BY seq DESC LIMIT 1;
    IF coalesce(last.seq, 0) <> end_seq
        OR coalesce(last.hash, decode(repeat('00', 32), 'hex')) <> end_hash THEN
        RAISE EXCEPTION 'somebody else has written to this journal since' USING ERRCODE = 'RB001';
    END IF;
    -- First what is kept apart: an event that erases something may follow in the same call.
    INSERT INTO readbell.private (bay, seq, key, salt, value)
    SELECT the_bay, each.* FROM unnest(brought_by, keys, salts, vals) AS each;
    INSERT INTO readbell.event (bay, seq, id, body, hash, station, line_offset)
    SELECT the_bay, each.*, the_station, the_offset
    FROM unnest(seqs, ids, bodies, hashes) AS each (seq, id, body, hash) ORDER BY each.seq;
END $$;
