-- The tables of shared bays. Whoever runs this owns them; stations use a role that may only add.
CREATE SCHEMA readbell;
REVOKE ALL ON SCHEMA readbell FROM PUBLIC;

CREATE TABLE readbell.schema_version (version integer PRIMARY KEY);

CREATE TABLE readbell.bay (
    id integer GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    name text NOT NULL UNIQUE,
    founded timestamptz NOT NULL DEFAULT clock_timestamp()
);

-- seq has no gaps: nothing of it comes from a sequence, which a broken-off append would use up.
CREATE TABLE readbell.event (
    bay integer NOT NULL REFERENCES readbell.bay,
    seq bigint NOT NULL,
    id text NOT NULL,
    body text NOT NULL,
    hash bytea NOT NULL,
    station text NOT NULL,
    line_offset bigint,           -- the writer's time line less this server's clock, milliseconds
    committed timestamptz NOT NULL DEFAULT clock_timestamp(),
    CONSTRAINT event_in_order PRIMARY KEY (bay, seq),
    CONSTRAINT event_once UNIQUE (bay, id)
);
CREATE INDEX event_with_offset ON readbell.event (bay, seq) WHERE line_offset IS NOT NULL;

-- Keys, salts and values are bytes, for a zero sign may stand in each and in no text. Beside the
-- primary key there is no constraint on the values: the report of a broken one would show the row.
CREATE TABLE readbell.private (
    bay integer NOT NULL,
    key bytea NOT NULL,
    seq bigint NOT NULL,          -- of the event that brought it
    salt bytea,
    value bytea,
    CONSTRAINT private_once PRIMARY KEY (bay, key)
);
CREATE INDEX private_by_event ON readbell.private (bay, seq);

CREATE TABLE readbell.pin (
    bay integer NOT NULL REFERENCES readbell.bay,
    number bigint GENERATED ALWAYS AS IDENTITY,
    key text NOT NULL,
    hash text,                    -- none: this operator has no PIN any more
    since timestamptz NOT NULL DEFAULT clock_timestamp(),
    PRIMARY KEY (bay, key, number)
);
