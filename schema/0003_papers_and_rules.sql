-- Step 0003: papers that came with goods and what was drawn on them; rules of a class of part; lives of materials; what
-- may stand in for what; cautions.
CREATE TABLE certificate (
  id INTEGER PRIMARY KEY, number TEXT NOT NULL, kind TEXT NOT NULL, issuer TEXT NOT NULL, day TEXT NOT NULL,
  part INTEGER REFERENCES part(id), covers INTEGER NOT NULL CHECK (covers >= 0), drawn INTEGER NOT NULL DEFAULT 0,   -- [d]
  file TEXT, digest TEXT, document INTEGER NOT NULL REFERENCES document(id),                                         -- the scan, and its SHA-256
  UNIQUE (issuer, kind, number), CHECK (drawn >= 0 AND drawn <= covers)) STRICT;

CREATE TABLE certificate_lot (                            -- append-only; negative only in an undo
  id INTEGER PRIMARY KEY, certificate INTEGER NOT NULL REFERENCES certificate(id), lot INTEGER NOT NULL REFERENCES lot(id),
  qty INTEGER NOT NULL CHECK (qty <> 0), document INTEGER NOT NULL REFERENCES document(id)) STRICT;
CREATE INDEX certificate_lot_lot ON certificate_lot(lot);

CREATE TABLE class_rule (                                 -- what a class of part asks for: papers, checks, life left, tolerance of a count
  id INTEGER PRIMARY KEY, class TEXT NOT NULL, name TEXT NOT NULL, text TEXT NOT NULL,
  document INTEGER NOT NULL REFERENCES document(id), UNIQUE (class, name)) STRICT;

CREATE TABLE life_rule (                                  -- shop data, never built in: published tables disagree
  id INTEGER PRIMARY KEY, family TEXT NOT NULL, months INTEGER CHECK (months > 0),                                   -- nothing: no limit
  source TEXT NOT NULL, issue TEXT NOT NULL, from_day TEXT NOT NULL,
  document INTEGER NOT NULL REFERENCES document(id), UNIQUE (family, from_day)) STRICT;

CREATE TABLE stand_in (                                   -- supersession and bounded substitutes: other may stand in for part
  id INTEGER PRIMARY KEY, part INTEGER NOT NULL REFERENCES part(id), other INTEGER NOT NULL REFERENCES part(id),
  manner TEXT NOT NULL CHECK (manner IN ('two-way','one-way','use-up','substitute')), bounds TEXT, authority TEXT NOT NULL,
  from_day TEXT, until_day TEXT, document INTEGER NOT NULL REFERENCES document(id), CHECK (part <> other)) STRICT;

CREATE TABLE caution (                                    -- shown with the line that triggered it
  id INTEGER PRIMARY KEY, trigger TEXT NOT NULL, text TEXT NOT NULL, source TEXT NOT NULL,
  document INTEGER NOT NULL REFERENCES document(id)) STRICT;

CREATE TRIGGER certificate_lot_stays BEFORE UPDATE ON certificate_lot BEGIN SELECT RAISE(ABORT, 'draws are never changed'); END;
CREATE TRIGGER certificate_lot_kept  BEFORE DELETE ON certificate_lot BEGIN SELECT RAISE(ABORT, 'draws are never removed'); END;
