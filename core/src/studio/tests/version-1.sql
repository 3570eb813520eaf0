-- The studio as version 1 of its schema wrote it. Never changed: what was written once must open for ever.
BEGIN TRANSACTION;
CREATE TABLE photo (
    hash TEXT PRIMARY KEY,
    name TEXT NOT NULL,
    bytes INTEGER NOT NULL,
    kept INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO "photo" VALUES('6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','low-water.jpg',19,1790000000000);
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
INSERT INTO "session" VALUES(1,'01a0c450-6c00-7b8b-9d77-2c47692e34ff',1,'Low water','the quay','','',1790000000000,NULL);
CREATE TABLE setting (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
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
INSERT INTO "snapshot" VALUES(1,'01a0c450-6c00-7ba8-a5f4-cfba48ba6621',1,1,'6a9b921be6e9f4b9b1f2bd0f54dc5ae648043b64cdfab5fc92bed9d776cc9152','Hull','too light',1790000000000,'{"format":1,"core":"0.1.0","quarters":1,"size":[3000,4000],"view":"bands","squint":"half","bands":"byHand","edges":[80.1,60.000004,33.3],"shares":[0.30000000000000004,0.3333333333333333,2.2250738585072014e-308,0.25],"frame":[[0.1,0.1],[0.9,0.12],[0.88,0.9],[0.14285714285714285,0.95]],"pins":[{"letter":"A","name":"hull","spot":[1200.0,900.0,12.5],"lightness":18.285926998976407,"plusMinus":2.718281828459045,"repeatable":0.3,"band":5,"colour":[3.678217747159607,null],"against":"against paper 94.5, light taken as even"}],"light":{"patches":[{"kind":"white","name":"","spot":[10.0,20.0,30.0],"lightness":94.53}],"beyondThePaper":false,"lifted":false,"wet":false}}',NULL);
CREATE INDEX snapshot_of_session ON snapshot (session, place);
INSERT INTO "sqlite_sequence" VALUES('session',1);
INSERT INTO "sqlite_sequence" VALUES('snapshot',1);
COMMIT;
PRAGMA application_id = 1416588901;
PRAGMA user_version = 1;
