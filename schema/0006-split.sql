-- SPDX-License-Identifier: GPL-3.0-or-later
--
-- Schema 6: the split of the outside receivers, told or measured on the film. The rules of shared
-- tables are in 0001, of the views in 0005.

DROP VIEW charts;

ALTER TABLE chart ADD COLUMN split_left INTEGER; -- from the ball, tenths of a yard
ALTER TABLE chart ADD COLUMN split_right INTEGER;
-- Plus or minus of one that was measured; NULL: told by a person.
ALTER TABLE chart ADD COLUMN split_left_pm INTEGER;
ALTER TABLE chart ADD COLUMN split_right_pm INTEGER;

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
    c.split_left / 10.0 AS split_left, c.split_left_pm / 10.0 AS split_left_pm,
    c.split_right / 10.0 AS split_right, c.split_right_pm / 10.0 AS split_right_pm,
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
