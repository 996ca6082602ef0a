#!/usr/bin/env python3
"""Writes ledger-v1.db: a ledger as version 1 of the file format left it, made without leafturn.

The chain is computed here with Python's hashlib, so that opening this file also checks leafturn's links against another program.
Version 1 had no quarantine, no link on snapshots and no hash over headings.
Run: python3 tests/store/old/make_v1.py tests/store/old/ledger-v1.db
"""
import datetime, hashlib, json, os, sqlite3, sys, uuid

path = sys.argv[1]
if os.path.exists(path):
    os.remove(path)
db = sqlite3.connect(path)
db.executescript("""
PRAGMA journal_mode = WAL;
PRAGMA application_id = 0x4c66546e;
PRAGMA user_version = 1;
CREATE TABLE events (
  seq            INTEGER PRIMARY KEY CHECK (seq > 0),
  id             BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
  writer         TEXT    NOT NULL,
  writer_seq     INTEGER NOT NULL,
  happened_at_us INTEGER NOT NULL,
  received_us    INTEGER NOT NULL,
  event_hash     BLOB    NOT NULL CHECK (length(event_hash) = 32),
  link           BLOB    NOT NULL CHECK (length(link) = 32),
  bytes          BLOB    NOT NULL
) STRICT;
CREATE TABLE snapshots (kind TEXT PRIMARY KEY, seq INTEGER NOT NULL, bytes BLOB NOT NULL) STRICT;
CREATE TABLE blobs (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  bytes  BLOB NOT NULL
) STRICT;
""")

start = datetime.datetime(2026, 5, 1, 12, 0, tzinfo=datetime.timezone.utc)
card = b'[card]\nproduct = "Demo Oil One"\n'
sayings = [
    {"kind": "garden_described", "name": "Invented garden", "latitude_deg": 43.0, "longitude_deg": -88.0, "elevation_m": 200.0,
     "zone": "America/Chicago", "units": "us", "marked": "invented"},
    {"kind": "bed_laid", "bed": "1", "x_m": 0.0, "y_m": 0.0, "width_m": 1.2, "length_m": 6.0},
    {"kind": "planting_sown", "planting": "kale-1", "bed": "1", "crop": "BRSOA", "plants": 24, "set_out": "2026-05-01"},
    {"kind": "count_taken", "bed": "1", "pest": "PIERRA", "stage": "egg", "plants": 10, "count": 3},
    {"kind": "card_copied", "product": "Demo Oil One", "text": hashlib.sha256(card).hexdigest()},
    {"kind": "work_done", "work": "crush_eggs", "bed": "1"},
]
link = bytes(32)
for n, saying in enumerate(sayings, 1):
    happened = start + datetime.timedelta(hours=n)
    received = happened + datetime.timedelta(seconds=2)
    event_id = uuid.UUID(bytes=(int(happened.timestamp() * 1000).to_bytes(6, "big") + bytes([0x70, n, 0x80]) + bytes([n] * 7)))
    body = {"v": 1, "id": str(event_id), "writer": "shed", "writer_seq": n, "happened_at": happened.strftime("%Y-%m-%dT%H:%M:%SZ"), "by": "lead"}
    body.update(saying)
    data = json.dumps(body, separators=(",", ":")).encode()
    event_hash = hashlib.sha256(data).digest()
    received_us = int(received.timestamp()) * 1_000_000
    link = hashlib.sha256(link + n.to_bytes(8, "big") + received_us.to_bytes(8, "big") + event_hash).digest()
    db.execute("INSERT INTO events VALUES (?,?,?,?,?,?,?,?,?)",
               (n, event_id.bytes, "shed", n, int(happened.timestamp()) * 1_000_000, received_us, event_hash, link, data))
db.execute("INSERT INTO blobs VALUES (?,?)", (hashlib.sha256(card).digest(), card))
db.execute("INSERT INTO snapshots VALUES ('garden', 3, ?)", (b"{}",))
db.commit()
db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
db.execute("VACUUM")
db.close()
print("head", link.hex())
