"""Records as older versions of the workbook wrote them, and whether this machine can mount a small disk for one."""

import os
import shutil
import subprocess
import sys
import tempfile

VERSION_1 = f"""
PRAGMA application_id = {0x46434852};
CREATE TABLE learners (id TEXT PRIMARY KEY, name TEXT NOT NULL, named_at TEXT NOT NULL);
CREATE TABLE events (number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, learner TEXT NOT NULL,
  verb TEXT NOT NULL, about TEXT NOT NULL, page TEXT NOT NULL, typed TEXT, is_right INTEGER, misconception TEXT,
  at TEXT NOT NULL);
CREATE INDEX events_of_a_learner ON events (learner, verb, about);
CREATE TABLE machine (key TEXT PRIMARY KEY, value TEXT NOT NULL);
INSERT INTO learners VALUES ('11111111-1111-4111-8111-111111111111', 'JT', '2026-03-12T11:00:00.000+00:00');
INSERT INTO machine VALUES ('learner', '11111111-1111-4111-8111-111111111111');
INSERT INTO events (id, learner, verb, about, page, typed, is_right, misconception, at) VALUES
  ('22222222-2222-4222-8222-222222222222', '11111111-1111-4111-8111-111111111111', 'answered', 'wood-a', '02_air',
   '0.8', 0, 'MX02', '2026-03-12T11:00:01.000+00:00'),
  ('33333333-3333-4333-8333-333333333333', '11111111-1111-4111-8111-111111111111', 'ticked', 'item-1', '02_air',
   NULL, NULL, NULL, '2026-03-12T11:00:02.000+00:00');
PRAGMA user_version = 1;
"""
VERSION_2 = f"""
PRAGMA application_id = {0x46434852};
CREATE TABLE learners (id TEXT PRIMARY KEY, name TEXT NOT NULL, named_at TEXT NOT NULL);
CREATE TABLE events (number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, learner TEXT NOT NULL,
  verb TEXT NOT NULL, about TEXT NOT NULL, page TEXT NOT NULL, typed TEXT, is_right INTEGER, misconception TEXT,
  at TEXT NOT NULL, asked TEXT);
CREATE INDEX events_of_a_learner ON events (learner, verb, about);
CREATE TABLE machine (key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE left_as (learner TEXT NOT NULL, what TEXT NOT NULL, value TEXT NOT NULL, at TEXT NOT NULL,
  PRIMARY KEY (learner, what));
INSERT INTO learners VALUES ('11111111-1111-4111-8111-111111111111', 'JT', '2026-03-12T11:00:00.000+00:00');
INSERT INTO machine VALUES ('learner', '11111111-1111-4111-8111-111111111111');
INSERT INTO left_as VALUES
  ('11111111-1111-4111-8111-111111111111', 'place', '"02_air"', '2026-03-12T11:00:00.000+00:00');
INSERT INTO events (id, learner, verb, about, page, typed, is_right, misconception, at, asked) VALUES
  ('22222222-2222-4222-8222-222222222222', '11111111-1111-4111-8111-111111111111', 'answered', 'wood-a', '02_air',
   '0.8', 0, 'MX02', '2026-03-12T11:00:01.000+00:00', '{{"wet": 9}}');
PRAGMA user_version = 2;
"""


def may_mount():
    if not sys.platform.startswith("linux") or os.geteuid() or not shutil.which("mount"):
        return False
    with tempfile.TemporaryDirectory() as place:
        mounted = subprocess.run(["mount", "-t", "tmpfs", "none", place], capture_output=True, check=False)
        if not mounted.returncode:
            subprocess.run(["umount", place], check=True)
        return not mounted.returncode
