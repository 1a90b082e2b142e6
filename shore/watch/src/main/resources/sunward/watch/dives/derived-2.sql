-- Positions of data that repair messages make good; everything is judged again to fill them in.
ALTER TABLE dive ADD COLUMN repaired INTEGER NOT NULL DEFAULT 0;
DELETE FROM dive;
DELETE FROM verdict;
DELETE FROM progress;
