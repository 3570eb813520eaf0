-- The studio as version 5 of its schema wrote it; the indices of words are made anew of its rows. Never changed: what was
-- written once must open for ever.
BEGIN TRANSACTION;
CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    title TEXT NOT NULL,
    locality TEXT NOT NULL,
    day TEXT NOT NULL,
    notes TEXT NOT NULL,
    begun INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE photo (
    hash TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    kept INTEGER NOT NULL
, left_out INTEGER NOT NULL DEFAULT 0) STRICT, WITHOUT ROWID;
CREATE TABLE snapshot (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    session INTEGER NOT NULL REFERENCES session (id),
    photo TEXT NOT NULL REFERENCES photo (hash),
    title TEXT NOT NULL,
    note TEXT NOT NULL,
    kept INTEGER NOT NULL,
    seen TEXT NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE session_photo (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    place INTEGER NOT NULL UNIQUE,
    session INTEGER NOT NULL REFERENCES session (id),
    photo TEXT NOT NULL REFERENCES photo (hash),
    name TEXT NOT NULL,
    kept INTEGER NOT NULL,
    deleted INTEGER,
    UNIQUE (session, photo)
) STRICT;
CREATE TABLE drawing (
    snapshot INTEGER PRIMARY KEY REFERENCES snapshot (id) ON DELETE CASCADE,
    path TEXT NOT NULL,
    held TEXT,
    coming TEXT,
    former TEXT,
    trouble TEXT
, stale INTEGER NOT NULL DEFAULT 0) STRICT;
CREATE TABLE paint (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    about TEXT NOT NULL,
    begun INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE strip (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    uuid TEXT NOT NULL UNIQUE,
    place INTEGER NOT NULL UNIQUE,
    paint INTEGER NOT NULL REFERENCES paint (id),
    photo TEXT REFERENCES photo (hash),
    painted TEXT NOT NULL,
    kept INTEGER NOT NULL,
    deleted INTEGER
) STRICT;
CREATE TABLE opened_day (
    day INTEGER PRIMARY KEY
) STRICT;
CREATE TABLE deletion (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    at INTEGER NOT NULL,
    opened INTEGER NOT NULL
) STRICT;
CREATE TABLE leaving (
    hash TEXT PRIMARY KEY
) STRICT, WITHOUT ROWID;
INSERT INTO "photo" VALUES('6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','low-water.jpg',19,1790000000000,0);
INSERT INTO "photo" VALUES('c4c843d7aed9ac2d8766e7c764940fd8a1428ee12323806a11f3d30206269d55','strip.jpg',18,1790000000000,0);
INSERT INTO "session" VALUES(1,'01a0c450-6c00-7845-9156-8c3041508664',1,'Low water','the quay','','',1790000000000,NULL);
INSERT INTO "setting" VALUES('check','{"sun":true,"dab":{"paint":"01a0c450-6c00-7a10-8a4e-64f20f2b7c11","step":5,"wet":false}}');
INSERT INTO "setting" VALUES('session','01a0c450-6c00-7845-9156-8c3041508664');
INSERT INTO "setting" VALUES('sun','true');
INSERT INTO "snapshot" VALUES(1,'01a0c450-6c00-76db-9dd0-756950b1755d',1,1,'6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','Hull','too light',1790000000000,'{"format":1,"core":"0.1.0","quarters":1,"size":[3000,4000],"view":"bands","squint":"half","bands":"byHand","edges":[80.1,60.000004,33.3],"shares":[0.30000000000000004,0.3333333333333333,2.2250738585072014e-308,0.25],"frame":[[0.1,0.1],[0.9,0.12],[0.88,0.9],[0.14285714285714285,0.95]],"pins":[{"letter":"A","name":"hull","spot":[1200.0,900.0,12.5],"lightness":18.285926998976407,"plusMinus":2.718281828459045,"repeatable":0.3,"band":5,"colour":[3.678217747159607,null],"against":"against paper 94.5, light taken as even"}],"light":{"patches":[{"kind":"white","name":"","spot":[10.0,20.0,30.0],"lightness":94.53}],"beyondThePaper":false,"lifted":false,"wet":false}}',NULL);
INSERT INTO "snapshot" VALUES(2,'01a0c450-6c00-7544-92f1-b36ab499fdc5',2,1,'6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','Mast','and 水 🌊',1790000000000,'{"format":1,"core":"0.1.0","quarters":1,"size":[3000,4000],"view":"bands","squint":"half","bands":"byHand","edges":[80.1,60.000004,33.3],"shares":[0.30000000000000004,0.3333333333333333,2.2250738585072014e-308,0.25],"frame":[[0.1,0.1],[0.9,0.12],[0.88,0.9],[0.14285714285714285,0.95]],"pins":[{"letter":"A","name":"hull","spot":[1200.0,900.0,12.5],"lightness":18.285926998976407,"plusMinus":2.718281828459045,"repeatable":0.3,"band":5,"colour":[3.678217747159607,null],"against":"against paper 94.5, light taken as even","spread":0.3333333333333333,"warnings":["rough"]}],"light":{"patches":[{"kind":"white","name":"","spot":[10.0,20.0,30.0],"lightness":94.53}],"beyondThePaper":false,"lifted":false,"wet":false}}',1);
INSERT INTO "session_photo" VALUES(1,1,1,'6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','low-water.jpg',1790000000000,NULL);
INSERT INTO "drawing" VALUES(1,'/home/painter/Pictures/Hull.png','b4b9aa30fd0f0335fc43ae6ceb0e11eaa9b2cad8a8d765e5e48d743d1b3cddcd',NULL,NULL,NULL,0);
INSERT INTO "paint" VALUES(1,'01a0c450-6c00-7a10-8a4e-64f20f2b7c11',1,'{"name":"Clay","maker":"","pigments":"PBr7","mixedOf":"","notes":"","transparent":false,"granulating":false,"staining":false}',1790000000000,NULL);
INSERT INTO "strip" VALUES(1,'01a0c450-6c00-7a10-8a4e-64f20f2b7c12',1,1,'c4c843d7aed9ac2d8766e7c764940fd8a1428ee12323806a11f3d30206269d55','{"laid":"washes","wet":false,"day":"","paper":"rough","paperLightness":94.53,"steps":[{"lightness":90.1,"plusMinus":3.1,"tint":[12.5,0.3333333333333333]},{"lightness":60.0,"plusMinus":3.1,"tint":[12.5,0.3333333333333333]},{"lightness":30.7,"plusMinus":3.1,"tint":[12.5,0.3333333333333333]}]}',1790000000000,NULL);
INSERT INTO "opened_day" VALUES(20717);
INSERT INTO "deletion" VALUES(1,1790000000000,0);
DELETE FROM sqlite_sequence WHERE name = 'paint'; INSERT INTO sqlite_sequence VALUES('paint',1);
DELETE FROM sqlite_sequence WHERE name = 'strip'; INSERT INTO sqlite_sequence VALUES('strip',1);
DELETE FROM sqlite_sequence WHERE name = 'session_photo'; INSERT INTO sqlite_sequence VALUES('session_photo',3);
DELETE FROM sqlite_sequence WHERE name = 'session'; INSERT INTO sqlite_sequence VALUES('session',1);
DELETE FROM sqlite_sequence WHERE name = 'snapshot'; INSERT INTO sqlite_sequence VALUES('snapshot',2);
DELETE FROM sqlite_sequence WHERE name = 'deletion'; INSERT INTO sqlite_sequence VALUES('deletion',1);
CREATE INDEX snapshot_of_session ON snapshot (session, place);
CREATE INDEX session_photo_of_photo ON session_photo (photo);
CREATE INDEX snapshot_of_photo ON snapshot (photo);
CREATE INDEX strip_of_paint ON strip (paint, place);
CREATE INDEX strip_of_photo ON strip (photo);
CREATE VIRTUAL TABLE session_words USING fts5 (
    title, locality, day, notes, content = 'session', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
INSERT INTO session_words (session_words, rank) VALUES ('secure-delete', 1);
INSERT INTO session_words (session_words) VALUES ('rebuild');
CREATE VIRTUAL TABLE snapshot_words USING fts5 (
    title, note, content = 'snapshot', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
INSERT INTO snapshot_words (snapshot_words, rank) VALUES ('secure-delete', 1);
INSERT INTO snapshot_words (snapshot_words) VALUES ('rebuild');
CREATE TRIGGER session_words_in AFTER INSERT ON session BEGIN
    INSERT INTO session_words (rowid, title, locality, day, notes)
    VALUES (new.id, new.title, new.locality, new.day, new.notes);
END;
CREATE TRIGGER session_words_out AFTER DELETE ON session BEGIN
    INSERT INTO session_words (session_words, rowid, title, locality, day, notes)
    VALUES ('delete', old.id, old.title, old.locality, old.day, old.notes);
END;
CREATE TRIGGER session_words_anew AFTER UPDATE OF title, locality, day, notes ON session BEGIN
    INSERT INTO session_words (session_words, rowid, title, locality, day, notes)
    VALUES ('delete', old.id, old.title, old.locality, old.day, old.notes);
    INSERT INTO session_words (rowid, title, locality, day, notes)
    VALUES (new.id, new.title, new.locality, new.day, new.notes);
END;
CREATE TRIGGER snapshot_words_in AFTER INSERT ON snapshot BEGIN
    INSERT INTO snapshot_words (rowid, title, note) VALUES (new.id, new.title, new.note);
END;
CREATE TRIGGER snapshot_words_out AFTER DELETE ON snapshot BEGIN
    INSERT INTO snapshot_words (snapshot_words, rowid, title, note)
    VALUES ('delete', old.id, old.title, old.note);
END;
CREATE TRIGGER snapshot_words_anew AFTER UPDATE OF title, note ON snapshot BEGIN
    INSERT INTO snapshot_words (snapshot_words, rowid, title, note)
    VALUES ('delete', old.id, old.title, old.note);
    INSERT INTO snapshot_words (rowid, title, note) VALUES (new.id, new.title, new.note);
END;
CREATE TRIGGER drawing_of_other_words AFTER UPDATE OF title, note, session ON snapshot BEGIN
    UPDATE drawing SET stale = 1 WHERE snapshot = new.id;
END;
CREATE TRIGGER drawing_in_other_session AFTER UPDATE OF title, locality, day ON session BEGIN
    UPDATE drawing SET stale = 1 WHERE snapshot IN (SELECT id FROM snapshot WHERE session = new.id);
END;
COMMIT;
PRAGMA application_id = 1416588901;
PRAGMA user_version = 5;
