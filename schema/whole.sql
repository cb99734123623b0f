CREATE TABLE setting (                                    -- few rows; 'head' is the row a writer locks first on PostgreSQL
  name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE law (                                        -- the law of stock as rows; filled by the migration, never by hand
  id INTEGER PRIMARY KEY,                                 -- movement * 10000 + from_kind * 100 + to_kind
  movement TEXT NOT NULL, from_kind TEXT NOT NULL, to_kind TEXT NOT NULL,
  while_held INTEGER NOT NULL CHECK (while_held IN (0,1)),-- may a held lot, or a lot in a held place, go this way?
  fresh INTEGER NOT NULL CHECK (fresh IN (0,1)),          -- must it be usable on the day?
  who TEXT NOT NULL) STRICT;
CREATE TABLE person (id INTEGER PRIMARY KEY, initials TEXT NOT NULL UNIQUE, name TEXT NOT NULL, roles TEXT NOT NULL,
  authorised_from TEXT, authorised_until TEXT, document INTEGER NOT NULL) STRICT;
CREATE TABLE place (
  id INTEGER PRIMARY KEY CHECK (id >= 1000000),
  code TEXT NOT NULL UNIQUE, name TEXT NOT NULL,
  parent INTEGER REFERENCES place(id), walk INTEGER,      -- the tree and the walking order
  one_lot INTEGER NOT NULL DEFAULT 0 CHECK (one_lot IN (0,1)),
  limits TEXT,                                            -- temperature band, litres of flammables
  owner INTEGER REFERENCES place(id),                     -- engine: its customer (whose lots a job may use: job.customer)
  held INTEGER NOT NULL DEFAULT 0 CHECK (held >= 0),      -- [d] live holds on it
  shut INTEGER NOT NULL DEFAULT 0 CHECK (shut IN (0,1)),
  document INTEGER NOT NULL) STRICT;
CREATE TABLE party (                                      -- supplier, customer, outworker: what such a place needs besides
  place INTEGER PRIMARY KEY REFERENCES place(id),
  address TEXT, currency TEXT, approved_from TEXT, approved_until TEXT, scope TEXT, lead_days INTEGER, document INTEGER NOT NULL) STRICT;
CREATE TABLE engine (                                     -- what an engine place needs besides
  place INTEGER PRIMARY KEY REFERENCES place(id),
  model TEXT NOT NULL, serial TEXT NOT NULL, document INTEGER NOT NULL, UNIQUE (model, serial)) STRICT;
CREATE TABLE part (
  id INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE, name TEXT NOT NULL, class TEXT NOT NULL,
  unit TEXT NOT NULL, step INTEGER NOT NULL DEFAULT 1000000 CHECK (step > 0),   -- smallest quantity that may move
  life TEXT, opened_life_days INTEGER, bench_stock INTEGER NOT NULL DEFAULT 0 CHECK (bench_stock IN (0,1)),
  critical INTEGER NOT NULL DEFAULT 0 CHECK (critical IN (0,1)), pack_policy TEXT NOT NULL DEFAULT 'measure' CHECK (pack_policy IN ('measure','whole')),
  hand_out INTEGER CHECK (hand_out > 0),                  -- tube, spool, set: unopened stock is reserved and picked in whole ones
  grams_per_unit INTEGER, maker TEXT, issue TEXT, status TEXT NOT NULL DEFAULT 'live', document INTEGER NOT NULL) STRICT;
CREATE TABLE part_size (                                  -- distinguishing dimensions: thickness, bore, ratio, length
  part INTEGER NOT NULL REFERENCES part(id), name TEXT NOT NULL, value INTEGER, text TEXT, document INTEGER NOT NULL,
  PRIMARY KEY (part, name)) STRICT, WITHOUT ROWID;
CREATE INDEX part_size_value ON part_size(name, value);
CREATE TABLE pack (                                       -- 1 box = 100 each, by part and supplier
  part INTEGER NOT NULL REFERENCES part(id), supplier INTEGER NOT NULL, unit TEXT NOT NULL, holds INTEGER NOT NULL CHECK (holds > 0),
  document INTEGER NOT NULL, PRIMARY KEY (part, supplier, unit)) STRICT, WITHOUT ROWID;
CREATE TABLE document (                                   -- append-only; one per command that changes anything
  id INTEGER PRIMARY KEY,                                 -- dense, 1, 2, 3 …
  kind TEXT NOT NULL, day TEXT NOT NULL, at TEXT NOT NULL,-- business day; instant of entry (UTC)
  by TEXT NOT NULL, checked_by TEXT, reason TEXT,
  job INTEGER, supplier_order INTEGER,                    -- what it is about
  list INTEGER,                                           -- a pick: the number its paper bore (NULL: no paper, at the hatch)
  due TEXT,                                               -- send out: when it should be back
  owner_word TEXT,                                        -- the owner's yes to scrapping, that he was told of a loss, that he gave it up
  op TEXT NOT NULL UNIQUE, request BLOB NOT NULL,         -- operation id and digest of the request
  contra INTEGER UNIQUE REFERENCES document(id),          -- the document this one undoes: once only
  first_entry INTEGER NOT NULL, entries INTEGER NOT NULL CHECK (entries >= 0),
  hash BLOB NOT NULL CHECK (length(hash) = 32)) STRICT;
CREATE INDEX document_job ON document(job) WHERE job IS NOT NULL;
CREATE TABLE lot (
  id INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE,    -- ours, with check character
  part INTEGER NOT NULL REFERENCES part(id),
  child INTEGER NOT NULL DEFAULT 0 CHECK (child IN (0,1)),-- 1: opened, sorted, matched, made; its parents stand in lot_parent
  pending INTEGER NOT NULL DEFAULT 0 CHECK (pending IN (0,1)),   -- fitted early, papers to follow
  owner INTEGER REFERENCES place(id),                     -- a customer; NULL is the house
  size INTEGER CHECK (size > 0),                          -- a serial or matched set: moves only whole, this many at once
  specific INTEGER NOT NULL CHECK (specific IN (0,1)),    -- 1: values itself whatever the store's method
  off_engine INTEGER REFERENCES place(id),                -- a take-off part: the engine it came off
  batch TEXT, serial TEXT, maker TEXT, condition TEXT NOT NULL DEFAULT 'new',
  made TEXT, opened TEXT, expiry TEXT, expiry_how TEXT,
  order_line INTEGER,                                     -- the order line it came in on
  document INTEGER NOT NULL REFERENCES document(id),
  CHECK (specific = 1 OR (child = 0 AND owner IS NULL AND size IS NULL))) STRICT;
CREATE INDEX lot_part ON lot(part, expiry);
CREATE INDEX lot_batch ON lot(batch) WHERE batch IS NOT NULL;
CREATE UNIQUE INDEX lot_serial ON lot(part, maker, serial) WHERE serial IS NOT NULL;
CREATE TABLE lot_parent (                                 -- append-only: every lot that went into it
  lot INTEGER NOT NULL REFERENCES lot(id), parent INTEGER NOT NULL REFERENCES lot(id),
  PRIMARY KEY (lot, parent), CHECK (lot > parent)) STRICT, WITHOUT ROWID;
CREATE INDEX lot_parent_parent ON lot_parent(parent);
CREATE TABLE entry (                                      -- append-only: one line of a bin card
  id INTEGER PRIMARY KEY,                                 -- dense
  document INTEGER NOT NULL REFERENCES document(id),
  law INTEGER NOT NULL REFERENCES law(id),
  lot INTEGER NOT NULL REFERENCES lot(id),
  from_place INTEGER NOT NULL REFERENCES place(id), to_place INTEGER NOT NULL REFERENCES place(id),
  from_line INTEGER, to_line INTEGER,                     -- the job line that gives, that receives; on book in and first accept from_line is the order line
  qty INTEGER NOT NULL CHECK (qty >= 0), value INTEGER NOT NULL CHECK (value >= 0),
  layer INTEGER,                                          -- the cost layer drawn from or fed; at most one side is a shelf
  CHECK (qty > 0 OR value > 0),
  CHECK (from_place <> to_place OR qty = 0),
  CHECK (law % 10000 = from_place / 1000000 * 100 + to_place / 1000000)) STRICT;
CREATE INDEX entry_lot ON entry(lot);
CREATE TABLE balance (                                    -- [d] Σ entries; rows stay at zero, they index the card of a place
  lot INTEGER NOT NULL REFERENCES lot(id), place INTEGER NOT NULL REFERENCES place(id),
  qty INTEGER NOT NULL, value INTEGER NOT NULL,
  whole INTEGER NOT NULL CHECK (whole IN (0,1)),          -- 1: the lot has a size (a serial, a matched set)
  PRIMARY KEY (lot, place),
  CHECK (place >= 30000000 OR (qty >= 0 AND value >= 0 AND (qty > 0 OR value = 0))),   -- only where lots are born may they be owed
  CHECK (place / 1000000 <> 2 OR value = 0)) STRICT, WITHOUT ROWID;
CREATE INDEX balance_place ON balance(place, lot);
CREATE UNIQUE INDEX balance_whole ON balance(lot) WHERE whole = 1 AND qty > 0;
CREATE TABLE lot_position (                               -- [d] the row that refuses a double reservation
  lot INTEGER PRIMARY KEY REFERENCES lot(id),
  pickable INTEGER NOT NULL, reserved INTEGER NOT NULL, held INTEGER NOT NULL CHECK (held >= 0),
  CHECK (reserved >= 0 AND reserved <= pickable)) STRICT;
CREATE TABLE layer (                                      -- [d] value of what stands on the shelves
  id INTEGER PRIMARY KEY, part INTEGER NOT NULL REFERENCES part(id),
  lot INTEGER REFERENCES lot(id),                         -- whose it is (shared = 0) or who made it (fifo); NULL: average
  shared INTEGER NOT NULL CHECK (shared IN (0,1)),
  qty INTEGER NOT NULL CHECK (qty >= 0), value INTEGER NOT NULL CHECK (value >= 0),
  CHECK (qty > 0 OR value = 0)) STRICT;
CREATE INDEX layer_live ON layer(part, lot) WHERE qty > 0;
CREATE UNIQUE INDEX layer_own ON layer(lot) WHERE shared = 0;
CREATE UNIQUE INDEX layer_average ON layer(part) WHERE shared = 1 AND lot IS NULL;
CREATE TABLE hold (                                       -- append-only; a lifting row names the hold it lifts
  id INTEGER PRIMARY KEY, document INTEGER NOT NULL REFERENCES document(id),
  lot INTEGER REFERENCES lot(id), place INTEGER REFERENCES place(id), cause TEXT NOT NULL,
  lifts INTEGER UNIQUE REFERENCES hold(id),
  CHECK ((lot IS NULL) <> (place IS NULL))) STRICT;
CREATE TABLE change (                                     -- append-only: every field of a record that was ever altered
  id INTEGER PRIMARY KEY, document INTEGER NOT NULL REFERENCES document(id),
  what TEXT NOT NULL, what_id INTEGER NOT NULL, field TEXT NOT NULL, old TEXT, new TEXT) STRICT;
CREATE INDEX change_what ON change(what, what_id);
CREATE TABLE bill (                                       -- of a conversion or a sub-assembly: both are parts
  id INTEGER PRIMARY KEY, part INTEGER NOT NULL REFERENCES part(id), revision TEXT NOT NULL, from_day TEXT, until_day TEXT,
  fits TEXT, data_source TEXT NOT NULL, document INTEGER NOT NULL, UNIQUE (part, revision)) STRICT;
CREATE TABLE bill_line (
  id INTEGER PRIMARY KEY, bill INTEGER NOT NULL REFERENCES bill(id), n INTEGER NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('part','take-off','labour','note')),
  part INTEGER REFERENCES part(id), qty TEXT, per TEXT, choice_group TEXT, choice TEXT, waste INTEGER, text TEXT,
  document INTEGER NOT NULL, UNIQUE (bill, n)) STRICT;
CREATE INDEX bill_line_part ON bill_line(part);
CREATE TABLE job (
  id INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE, bill INTEGER REFERENCES bill(id), choices TEXT NOT NULL,
  tag TEXT, kit INTEGER NOT NULL UNIQUE REFERENCES place(id), crate INTEGER UNIQUE REFERENCES place(id),
  engine INTEGER NOT NULL REFERENCES place(id), customer INTEGER REFERENCES place(id),
  list INTEGER NOT NULL DEFAULT 1 CHECK (list >= 1),      -- [d] number of the pick list that holds now
  use_day TEXT NOT NULL, priority INTEGER NOT NULL DEFAULT 5,
  state TEXT NOT NULL CHECK (state IN ('open','cancelled','closed')), quote INTEGER, document INTEGER NOT NULL) STRICT;
CREATE INDEX job_open ON job(use_day) WHERE state <> 'closed';
CREATE TABLE job_line (
  id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES job(id), n INTEGER NOT NULL, part INTEGER NOT NULL REFERENCES part(id),
  position TEXT, how TEXT, allows TEXT NOT NULL DEFAULT ',new,',   -- conditions it takes, each between commas
  dropped INTEGER NOT NULL DEFAULT 0 CHECK (dropped IN (0,1)),   -- 1: its choice was taken away (when: see change)
  need INTEGER NOT NULL CHECK (need >= 0), most INTEGER NOT NULL,  -- most = need, or need + hand_out - 1 where the part has one
  reserved INTEGER NOT NULL DEFAULT 0 CHECK (reserved >= 0), pegged INTEGER NOT NULL DEFAULT 0 CHECK (pegged >= 0),   -- [d] four
  kitted INTEGER NOT NULL DEFAULT 0 CHECK (kitted >= 0), fitted INTEGER NOT NULL DEFAULT 0 CHECK (fitted >= 0),
  document INTEGER NOT NULL, UNIQUE (job, n),
  CHECK (most >= need), CHECK (dropped = 0 OR need = 0),
  CHECK (reserved + pegged = 0 OR reserved + pegged + kitted + fitted <= most)) STRICT;
CREATE TABLE supplier_order (id INTEGER PRIMARY KEY, number TEXT NOT NULL UNIQUE, supplier INTEGER NOT NULL REFERENCES place(id), day TEXT NOT NULL,
  currency TEXT NOT NULL, state TEXT NOT NULL CHECK (state IN ('open','closed')), document INTEGER NOT NULL) STRICT;
CREATE TABLE order_line (
  id INTEGER PRIMARY KEY, supplier_order INTEGER NOT NULL REFERENCES supplier_order(id), n INTEGER NOT NULL, part INTEGER NOT NULL REFERENCES part(id),
  ordered INTEGER NOT NULL CHECK (ordered > 0), value INTEGER NOT NULL CHECK (value >= 0), promised TEXT,
  closed INTEGER NOT NULL DEFAULT 0 CHECK (closed >= 0),          -- closed short
  arrived INTEGER NOT NULL DEFAULT 0 CHECK (arrived >= 0),        -- [d] booked in from the supplier
  accepted INTEGER NOT NULL DEFAULT 0 CHECK (accepted >= 0),      -- [d] accepted out of receiving or quarantine, first time
  pegged INTEGER NOT NULL DEFAULT 0 CHECK (pegged >= 0),          -- [d]
  document INTEGER NOT NULL, UNIQUE (supplier_order, n),
  CHECK (pegged = 0 OR pegged <= ordered - closed - accepted)) STRICT;
CREATE INDEX order_line_part ON order_line(part);
CREATE TABLE claim (                                      -- append-only: promises made (+) and ended (-)
  id INTEGER PRIMARY KEY, document INTEGER NOT NULL REFERENCES document(id),
  line INTEGER NOT NULL REFERENCES job_line(id),
  lot INTEGER REFERENCES lot(id), order_line INTEGER REFERENCES order_line(id),
  qty INTEGER NOT NULL CHECK (qty <> 0),
  why TEXT NOT NULL CHECK (why IN ('reserve','free','pick','shed','arrive','follow','undo')),
  CHECK ((lot IS NULL) <> (order_line IS NULL))) STRICT;
CREATE INDEX claim_line ON claim(line);
CREATE INDEX claim_lot ON claim(lot) WHERE lot IS NOT NULL;
CREATE INDEX claim_order ON claim(order_line) WHERE order_line IS NOT NULL;
CREATE TABLE price (id INTEGER PRIMARY KEY, part INTEGER NOT NULL REFERENCES part(id), supplier INTEGER, basis TEXT NOT NULL, from_day TEXT NOT NULL,
  from_qty INTEGER NOT NULL DEFAULT 0, unit TEXT NOT NULL, amount INTEGER NOT NULL, currency TEXT NOT NULL, rules TEXT, document INTEGER NOT NULL) STRICT;
CREATE INDEX price_part ON price(part, supplier, from_day);
CREATE TABLE rate (kind TEXT NOT NULL, name TEXT NOT NULL, from_day TEXT NOT NULL, amount INTEGER NOT NULL, document INTEGER NOT NULL,
  PRIMARY KEY (kind, name, from_day)) STRICT, WITHOUT ROWID;
CREATE TRIGGER document_stays BEFORE UPDATE ON document BEGIN SELECT RAISE(ABORT, 'documents are never changed'); END;
CREATE TRIGGER document_kept  BEFORE DELETE ON document BEGIN SELECT RAISE(ABORT, 'documents are never removed'); END;
CREATE TRIGGER entry_stays    BEFORE UPDATE ON entry    BEGIN SELECT RAISE(ABORT, 'bin cards are never changed'); END;
CREATE TRIGGER entry_kept     BEFORE DELETE ON entry    BEGIN SELECT RAISE(ABORT, 'bin cards are never removed'); END;
CREATE TRIGGER claim_stays    BEFORE UPDATE ON claim    BEGIN SELECT RAISE(ABORT, 'claims are never changed'); END;
CREATE TRIGGER claim_kept     BEFORE DELETE ON claim    BEGIN SELECT RAISE(ABORT, 'claims are never removed'); END;
CREATE TRIGGER hold_stays     BEFORE UPDATE ON hold     BEGIN SELECT RAISE(ABORT, 'holds are never changed'); END;
CREATE TRIGGER hold_kept      BEFORE DELETE ON hold     BEGIN SELECT RAISE(ABORT, 'holds are never removed'); END;
CREATE TRIGGER change_stays   BEFORE UPDATE ON change   BEGIN SELECT RAISE(ABORT, 'changes are never changed'); END;
CREATE TRIGGER change_kept    BEFORE DELETE ON change   BEGIN SELECT RAISE(ABORT, 'changes are never removed'); END;
CREATE TRIGGER lot_parent_stays BEFORE UPDATE ON lot_parent BEGIN SELECT RAISE(ABORT, 'parents are never changed'); END;
CREATE TRIGGER lot_parent_kept  BEFORE DELETE ON lot_parent BEGIN SELECT RAISE(ABORT, 'parents are never removed'); END;
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
