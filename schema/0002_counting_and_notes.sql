-- Step 0002: what was counted, also where nothing differed, and what was noted.
CREATE TABLE count_line (                                 -- append-only; the share of lines that were right is read from it
  id INTEGER PRIMARY KEY, place INTEGER NOT NULL REFERENCES place(id), lot INTEGER NOT NULL REFERENCES lot(id),
  marked_at INTEGER NOT NULL,                             -- the last document in the books when the list was printed
  book INTEGER NOT NULL, counted INTEGER NOT NULL CHECK (counted >= 0), cause TEXT,
  document INTEGER NOT NULL REFERENCES document(id)) STRICT;
CREATE INDEX count_line_place ON count_line(place);

CREATE TABLE note (                                       -- append-only: hand-over to the next shift, what the delivery note said
  id INTEGER PRIMARY KEY, what TEXT NOT NULL, what_id INTEGER NOT NULL,   -- the table and the record it is about; 'store' and 0: nothing in particular
  topic TEXT NOT NULL, text TEXT NOT NULL, answers INTEGER REFERENCES note(id),   -- the note that this one closes
  document INTEGER NOT NULL REFERENCES document(id)) STRICT;
CREATE INDEX note_what ON note(what, what_id);
CREATE UNIQUE INDEX note_answers ON note(answers) WHERE answers IS NOT NULL;

CREATE TRIGGER count_line_stays BEFORE UPDATE ON count_line BEGIN SELECT RAISE(ABORT, 'counts are never changed'); END;
CREATE TRIGGER count_line_kept  BEFORE DELETE ON count_line BEGIN SELECT RAISE(ABORT, 'counts are never removed'); END;
CREATE TRIGGER note_stays BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'notes are never changed'); END;
CREATE TRIGGER note_kept  BEFORE DELETE ON note BEGIN SELECT RAISE(ABORT, 'notes are never removed'); END;
