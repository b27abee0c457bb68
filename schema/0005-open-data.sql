-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 5: open data. The views are what other programs read: their names and columns are kept,
-- and documented in ui/help/C/open-data.html. A later script that changes a table behind them
-- drops them first and makes them again at its end. Ids are text there, since 63 bits are more
-- than many programs hold as a number; words are tokens; a read of 0 is none.

-- Local: each pass play of our own games as a program last judged it. The engine judges, not SQL.
CREATE TABLE judged_snap (
    snap INTEGER PRIMARY KEY,
    quarterback INTEGER,
    concept INTEGER, -- worked; NULL: not tagged, as coverage
    coverage INTEGER,
    verdict TEXT NOT NULL,
    stage TEXT NOT NULL,
    stage_read INTEGER NOT NULL,
    right_read INTEGER NOT NULL,
    ball_read INTEGER NOT NULL,
    result TEXT,
    gain INTEGER,
    success INTEGER NOT NULL,
    points REAL,
    pressured INTEGER NOT NULL,
    release_ms INTEGER,
    counts INTEGER NOT NULL
) STRICT;

-- Local: how far each laptop's history was then.
CREATE TABLE judged_seen (
    laptop INTEGER PRIMARY KEY,
    seq INTEGER NOT NULL
) STRICT;

-- Local: one row, when and how.
CREATE TABLE judged_note (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    at INTEGER NOT NULL, -- Unix time, microseconds
    program TEXT NOT NULL,
    success TEXT NOT NULL -- percent of the distance on 1st to 4th down: 40/60/100/100
) STRICT;

CREATE VIEW games AS
SELECT CAST(g.id AS TEXT) AS game, g.kind, g.rules, g.played_on, g.title,
    us.name AS us, them.name AS them, coalesce(us.ours, 1) AS ours
FROM game g
LEFT JOIN team us ON us.id = g.us
LEFT JOIN team them ON them.id = g.them
WHERE g.removed = 0;

CREATE VIEW snaps AS
SELECT CAST(s.id AS TEXT) AS snap, CAST(s.game AS TEXT) AS game, g.played_on, g.kind AS game_kind,
    them.name AS opponent, s.number, s.phase, s.quarter, s.clock_s, s.down, s.distance,
    s.yards_to_goal, s.hash, s.offense IS NULL OR s.offense IS g.us AS our_offense,
    s.score_offense, s.score_defense, s.timeouts_offense, s.timeouts_defense, s.hurry,
    q.jersey AS quarterback, q.name AS quarterback_name, p.token AS personnel,
    f.token AS formation, m.token AS motion, s.strong, s.width, s.play, s.result, s.ending, s.gain,
    i.jersey AS intended, i.name AS intended_name,
    (SELECT group_concat(t.name, ', ') FROM snap_tag o JOIN term t ON t.id = o.term
        WHERE o.snap = s.id AND o.removed = 0) AS own_tags,
    s.note
FROM snap s
JOIN game g ON g.id = s.game AND g.removed = 0
LEFT JOIN team them ON them.id = g.them
LEFT JOIN player q ON q.id = s.quarterback
LEFT JOIN player i ON i.id = s.intended
LEFT JOIN term p ON p.id = s.personnel
LEFT JOIN term f ON f.id = s.formation
LEFT JOIN term m ON m.id = s.motion
WHERE s.removed = 0;

CREATE VIEW charts AS
SELECT CAST(c.id AS TEXT) AS chart, CAST(c.snap AS TEXT) AS snap, a.name AS author,
    c.id IS (SELECT y.id FROM (SELECT x.id AS id, x.author IS g.lead AS leads, h.stamp AS stamp
        FROM chart x LEFT JOIN chart_change h ON h.chart = x.id
        WHERE x.snap = s.id AND x.removed = 0) y
        ORDER BY y.leads DESC, y.stamp DESC, y.id LIMIT 1) AS counts,
    c.call_kind, k1.token AS call_first, k2.token AS call_second, c.call_first_side, c.side_worked,
    c.shell, c.rotation_shown, c.technique_shown_left, c.technique_shown_right,
    c.cushion_left / 10.0 AS cushion_left, c.cushion_left_pm / 10.0 AS cushion_left_pm,
    c.cushion_right / 10.0 AS cushion_right, c.cushion_right_pm / 10.0 AS cushion_right_pm,
    c.leverage_left, c.leverage_right, v.token AS coverage, v.family AS coverage_family,
    c.rotation_played, c.technique_played_left, c.technique_played_right, c.safety_left,
    c.safety_right, c.rushers, c.unblocked, c.unblocked_side, c.adjusted, d.token AS adjustment,
    c.ball, c.ball_read, c.release_ms, c.release_pm_ms, c.pressure, c.pressure_ms, c.movement,
    c.contact, c.throw, c.catch, c.fault, c.fault_read, c.note
FROM chart c
JOIN snap s ON s.id = c.snap AND s.removed = 0
JOIN game g ON g.id = s.game AND g.removed = 0
LEFT JOIN person a ON a.id = c.author
LEFT JOIN concept k1 ON k1.id = c.call_first
LEFT JOIN concept k2 ON k2.id = c.call_second
LEFT JOIN term v ON v.id = c.coverage
LEFT JOIN term d ON d.id = c.adjustment
WHERE c.removed = 0;

CREATE VIEW looks AS
SELECT CAST(l.chart AS TEXT) AS chart, CAST(c.snap AS TEXT) AS snap, l.slot + 1 AS read, l.state
FROM look l
JOIN chart c ON c.id = l.chart AND c.removed = 0
JOIN snap s ON s.id = c.snap AND s.removed = 0
JOIN game g ON g.id = s.game AND g.removed = 0
WHERE l.removed = 0 AND l.state IS NOT NULL;

CREATE VIEW verdicts AS
SELECT CAST(j.snap AS TEXT) AS snap, CAST(s.game AS TEXT) AS game, g.played_on, s.number,
    q.jersey AS quarterback, k.token AS concept, v.token AS coverage, j.verdict, j.stage,
    j.stage_read, j.right_read, j.ball_read, j.result, j.gain, j.success, j.points, j.pressured,
    j.release_ms, j.counts
FROM judged_snap j
JOIN snap s ON s.id = j.snap AND s.removed = 0
JOIN game g ON g.id = s.game AND g.removed = 0
LEFT JOIN player q ON q.id = j.quarterback
LEFT JOIN concept k ON k.id = j.concept
LEFT JOIN term v ON v.id = j.coverage;

-- After an interception the gain tells where the return ended, and a ball that fell gained nothing.
CREATE VIEW pairings AS
SELECT concept, coverage, count(*) AS dropbacks, sum(success) AS successes,
    round(1.0 * sum(success) / count(*), 6) AS success_rate, total(points) AS points,
    count(points) AS pointed, sum(yards) AS yards, sum(attempt) AS attempts,
    sum(result IS 'complete') AS completions, sum(yards >= 16) AS explosive,
    sum(result IS 'sack') AS sacks, sum(result IS 'intercepted') AS interceptions,
    sum(pressured) AS pressured, sum(verdict IN ('on-read', 'sound')) AS right,
    sum(verdict NOT IN ('ungraded', 'spoiled')) AS judged
FROM (SELECT *, CASE WHEN result IN ('intercepted', 'incomplete', 'thrown-away') THEN 0
        ELSE coalesce(gain, 0) END AS yards,
    result IS NOT NULL AND result IN ('complete', 'intercepted', 'incomplete', 'thrown-away')
        AS attempt
    FROM verdicts)
WHERE counts = 1 AND concept IS NOT NULL AND coverage IS NOT NULL
GROUP BY concept, coverage;

CREATE VIEW ladder AS
SELECT concept, coverage, stage_read AS read, stage, count(*) AS dropbacks,
    count(points) AS pointed, total(points) AS points
FROM verdicts
WHERE counts = 1 AND concept IS NOT NULL AND coverage IS NOT NULL
GROUP BY concept, coverage, stage_read, stage;

CREATE VIEW freshness AS
SELECT strftime('%Y-%m-%dT%H:%M:%SZ', n.at / 1000000, 'unixepoch') AS judged_at, n.program,
    n.success AS success_percent, (SELECT count(*) FROM judged_snap) AS dropbacks,
    (SELECT count(*) FROM action a WHERE a.changes > 0 AND a.first_seq + a.changes - 1 >
        coalesce((SELECT seq FROM judged_seen e WHERE e.laptop = a.laptop), 0)) AS actions_since
FROM (SELECT 1 AS one) o
LEFT JOIN judged_note n ON n.one = o.one;
