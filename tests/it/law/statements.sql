-- Part 8 of the law of stock, word for word: the second, independent statement of the law. No row means good.
-- I14 reads the certificates, which belong to a later step of the schema, so it waits for them; I19 is the chain.
-- I1 each lot sums to zero over all places, and balance = entries
SELECT 'I1 lot sum', lot FROM balance GROUP BY lot HAVING SUM(qty) <> 0;
SELECT 'I2 balance qty/value', lot, place FROM (
  SELECT lot, to_place AS place, qty, CASE WHEN to_place / 1000000 = 2 THEN 0 ELSE value END AS value FROM entry
  UNION ALL SELECT lot, from_place, -qty, CASE WHEN from_place / 1000000 = 2 THEN 0 ELSE -value END FROM entry
  UNION ALL SELECT lot, place, -qty, -value FROM balance) AS u GROUP BY lot, place HAVING SUM(qty) <> 0 OR SUM(value) <> 0;
SELECT 'I3 below zero', lot, place FROM balance WHERE place < 30000000 AND (qty < 0 OR value < 0 OR (qty = 0 AND value <> 0));
SELECT 'I4 where it was not', lot, place FROM balance b WHERE qty < 0 AND NOT EXISTS (SELECT 1 FROM entry e WHERE e.lot = b.lot AND e.from_place = b.place AND e.law / 10000 IN (1, 2, 8, 9, 16, 21, 23, 25, 26));
SELECT 'I5 whole', b.lot, b.place FROM lot l JOIN balance b ON b.lot = l.id WHERE l.size IS NOT NULL AND b.qty NOT IN (0, l.size, -l.size);
SELECT 'I5 two places', b.lot FROM lot l JOIN balance b ON b.lot = l.id WHERE l.size IS NOT NULL AND b.qty > 0 GROUP BY b.lot HAVING COUNT(*) > 1;
SELECT 'I6 pickable', lot FROM (
  SELECT b.lot, b.qty AS q FROM balance b JOIN place p ON p.id = b.place JOIN lot_position lp ON lp.lot = b.lot
    WHERE b.place / 1000000 IN (2, 3) AND p.held = 0 AND lp.held = 0
  UNION ALL SELECT lot, -pickable FROM lot_position) AS u GROUP BY lot HAVING SUM(q) <> 0;
SELECT 'I7 reserved', lot FROM (SELECT lot, qty AS q FROM claim WHERE lot IS NOT NULL UNION ALL SELECT lot, -reserved FROM lot_position) AS u GROUP BY lot HAVING SUM(q) <> 0;
SELECT 'I7 over-reserved', lot FROM lot_position WHERE reserved < 0 OR reserved > pickable;
SELECT 'I7 pair below zero', line FROM claim GROUP BY line, lot, order_line HAVING SUM(qty) < 0;
SELECT 'I8 held lot', lot FROM (SELECT lot, CASE WHEN lifts IS NULL THEN 1 ELSE -1 END AS q FROM hold WHERE lot IS NOT NULL UNION ALL SELECT lot, -held FROM lot_position) AS u GROUP BY lot HAVING SUM(q) <> 0;
SELECT 'I8 held place', p FROM (SELECT place AS p, CASE WHEN lifts IS NULL THEN 1 ELSE -1 END AS q FROM hold WHERE place IS NOT NULL UNION ALL SELECT id, -held FROM place) AS u GROUP BY p HAVING SUM(q) <> 0;
SELECT 'I9 line', line FROM (
  SELECT line, CASE WHEN lot IS NOT NULL THEN qty ELSE 0 END AS c, CASE WHEN lot IS NULL THEN qty ELSE 0 END AS g, 0 AS k, 0 AS f FROM claim
  UNION ALL SELECT to_line, 0, 0, CASE WHEN to_place / 1000000 = 6 THEN qty ELSE 0 END, CASE WHEN to_place / 1000000 = 20 THEN qty ELSE 0 END FROM entry WHERE to_line IS NOT NULL AND to_place / 1000000 IN (6, 20)
  UNION ALL SELECT from_line, 0, 0, CASE WHEN from_place / 1000000 = 6 THEN -qty ELSE 0 END, CASE WHEN from_place / 1000000 = 20 THEN -qty ELSE 0 END FROM entry WHERE from_line IS NOT NULL AND from_place / 1000000 IN (6, 20)
  UNION ALL SELECT id, -reserved, -pegged, -kitted, -fitted FROM job_line) AS u GROUP BY line HAVING SUM(c) <> 0 OR SUM(g) <> 0 OR SUM(k) <> 0 OR SUM(f) <> 0;
SELECT 'I9 line over', id FROM job_line WHERE reserved + pegged > 0 AND reserved + pegged + kitted + fitted > most;
SELECT 'I10 supply', line FROM (
  SELECT from_line AS line, CASE WHEN law / 10000 = 1 THEN qty ELSE 0 END AS a, CASE WHEN law / 10000 = 3 THEN qty ELSE 0 END AS b, 0 AS g FROM entry WHERE law / 10000 IN (1, 3) AND from_line IS NOT NULL
  UNION ALL SELECT e.to_line, CASE WHEN o.law / 10000 = 1 THEN -e.qty ELSE 0 END, CASE WHEN o.law / 10000 = 3 THEN -e.qty ELSE 0 END, 0
    FROM entry e JOIN document d ON d.id = e.document JOIN entry o ON o.document = d.contra AND o.id = (SELECT x.first_entry + x.entries - 1 FROM document x WHERE x.id = d.contra) - (e.id - d.first_entry) WHERE e.law / 10000 = 90 AND e.to_line IS NOT NULL AND o.law / 10000 IN (1, 3)
  UNION ALL SELECT order_line, 0, 0, qty FROM claim WHERE order_line IS NOT NULL
  UNION ALL SELECT id, -arrived, -accepted, -pegged FROM order_line) AS u GROUP BY line HAVING SUM(a) <> 0 OR SUM(b) <> 0 OR SUM(g) <> 0;
SELECT 'I11 layer', layer FROM (
  SELECT layer, CASE WHEN to_place / 1000000 = 2 THEN qty ELSE -qty END AS q, CASE WHEN to_place / 1000000 = 2 THEN value ELSE -value END AS v FROM entry WHERE layer IS NOT NULL
  UNION ALL SELECT id, -qty, -value FROM layer) AS u GROUP BY layer HAVING SUM(q) <> 0 OR SUM(v) <> 0;
SELECT 'I11 shelf wants layer', id FROM entry WHERE (layer IS NULL) <> ((from_place / 1000000 = 2) = (to_place / 1000000 = 2));
SELECT 'I12 shelf qty', part FROM (SELECT l.part, b.qty AS q FROM balance b JOIN lot l ON l.id = b.lot WHERE b.place / 1000000 = 2 UNION ALL SELECT part, -qty FROM layer) AS u GROUP BY part HAVING SUM(q) <> 0;
SELECT 'I12 own layer', lot FROM (SELECT b.lot, b.qty AS q FROM balance b JOIN lot l ON l.id = b.lot WHERE b.place / 1000000 = 2 AND l.specific = 1 UNION ALL SELECT y.lot, -y.qty FROM layer y JOIN lot l ON l.id = y.lot WHERE y.shared = 0 AND l.specific = 1) AS u GROUP BY lot HAVING SUM(q) <> 0;
SELECT 'I13 value sum', 0 FROM (SELECT (SELECT COALESCE(SUM(value), 0) FROM balance) + (SELECT COALESCE(SUM(value), 0) FROM layer) AS v) AS u WHERE v <> 0;
SELECT 'I13 making', document FROM entry WHERE to_place / 1000000 = 33 OR from_place / 1000000 = 33 GROUP BY document HAVING SUM(CASE WHEN to_place / 1000000 = 33 THEN value ELSE -value END) <> 0;
SELECT 'I14 drawn', c.id FROM certificate c WHERE c.drawn <> (SELECT COALESCE(SUM(qty), 0) FROM certificate_lot x WHERE x.certificate = c.id);
SELECT 'I14 drawn over', c.id FROM certificate c WHERE (SELECT COALESCE(SUM(qty), 0) FROM certificate_lot x WHERE x.certificate = c.id) NOT BETWEEN 0 AND c.covers;
SELECT 'I15 owner', e.id FROM entry e JOIN lot l ON l.id = e.lot WHERE l.owner IS NOT NULL AND e.value <> 0 AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id = l.id AND h.field = 'owner');
SELECT 'I15 owned and valued', b.lot, b.place FROM balance b JOIN lot l ON l.id = b.lot WHERE l.owner IS NOT NULL AND b.value <> 0 AND b.place < 30000000;
SELECT 'I16 dense', 0 FROM (SELECT COUNT(*) AS n, COALESCE(MAX(id), 0) AS m, COALESCE(SUM(entries),0) AS s, (SELECT COUNT(*) FROM entry) AS e, (SELECT COALESCE(MAX(id), 0) FROM entry) AS f FROM document) AS u WHERE n <> m OR e <> f OR s <> e;
SELECT 'I17 claim dead on the day', c.line, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN job_line n ON n.id = c.line JOIN job j ON j.id = n.job WHERE l.expiry < j.use_day GROUP BY c.line, c.lot HAVING SUM(c.qty) > 0;
SELECT 'I18 claim by a stranger', c.line, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN job_line n ON n.id = c.line JOIN job j ON j.id = n.job WHERE l.owner IS NOT NULL AND (j.customer IS NULL OR j.customer <> l.owner) GROUP BY c.line, c.lot HAVING SUM(c.qty) > 0;
SELECT 'I18 used by a stranger', e.id, e.lot FROM entry e JOIN lot l ON l.id = e.lot JOIN job_line n ON n.id = e.to_line JOIN job j ON j.id = n.job WHERE e.law / 10000 IN (10, 12, 13, 14, 26) AND l.owner IS NOT NULL AND (j.customer IS NULL OR j.customer <> l.owner) AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id = l.id AND h.field = 'owner');
SELECT 'I21 condition', c.line, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN job_line n ON n.id = c.line WHERE n.allows NOT LIKE '%,' || l.condition || ',%' GROUP BY c.line, c.lot HAVING SUM(c.qty) > 0;
SELECT 'I21 wrong part', c.line, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN job_line n ON n.id = c.line WHERE n.part <> l.part GROUP BY c.line, c.lot HAVING SUM(c.qty) > 0;
SELECT 'I22 claim in whole units', c.line, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN part p ON p.id = l.part WHERE l.opened IS NULL AND p.hand_out IS NOT NULL GROUP BY c.line, c.lot, p.hand_out HAVING SUM(c.qty) % p.hand_out <> 0;
SELECT 'I22 peg in whole units', c.line, c.order_line FROM claim c JOIN order_line o ON o.id = c.order_line JOIN part p ON p.id = o.part WHERE p.hand_out IS NOT NULL GROUP BY c.line, c.order_line, p.hand_out HAVING SUM(c.qty) % p.hand_out <> 0;
SELECT 'I22 pick in whole units', e.document, e.lot FROM entry e JOIN lot l ON l.id = e.lot JOIN part p ON p.id = l.part WHERE e.law / 10000 = 10 AND l.opened IS NULL AND p.hand_out IS NOT NULL GROUP BY e.document, e.lot, e.from_place, e.to_line, p.hand_out HAVING SUM(e.qty) % p.hand_out <> 0;
SELECT 'I22 most', n.id FROM job_line n JOIN part p ON p.id = n.part WHERE n.most <> n.need + CASE WHEN n.need > 0 AND p.hand_out IS NOT NULL THEN p.hand_out - 1 ELSE 0 END;
WITH raise AS (
  SELECT n.job, c.document FROM claim c JOIN job_line n ON n.id = c.line WHERE c.why <> 'pick'
  UNION SELECT n.job, h.document FROM change h JOIN job_line n ON n.id = h.what_id WHERE h.what = 'job_line'
  UNION SELECT h.what_id, h.document FROM change h WHERE h.what = 'job'
  UNION SELECT n.job, n.document FROM job_line n JOIN job j ON j.id = n.job WHERE n.document <> j.document)
SELECT 'I23 list', j.id FROM job j WHERE j.list <> 1 + (SELECT COUNT(*) FROM raise r WHERE r.job = j.id)
UNION ALL SELECT 'I23 picked from an old list', d.id FROM document d WHERE d.list IS NOT NULL AND d.list <> 1 + (SELECT COUNT(*) FROM raise r WHERE r.job = d.job AND r.document < d.id);
WITH gone AS (
  SELECT h.what_id AS line, h.document AS since, (SELECT MIN(g.document) FROM change g WHERE g.what = h.what AND g.what_id = h.what_id AND g.field = h.field AND g.document > h.document) AS until
  FROM change h WHERE h.what = 'job_line' AND h.field = 'dropped' AND h.new = '1'),
moved AS (
  SELECT e.to_line AS line, e.document, e.qty AS q FROM entry e WHERE e.to_line IN (SELECT line FROM gone) AND e.to_place / 1000000 IN (6, 20)
  UNION ALL SELECT e.from_line, e.document, -e.qty FROM entry e WHERE e.from_line IN (SELECT line FROM gone) AND e.from_place / 1000000 IN (6, 20))
SELECT 'I24 issued beside a dropped choice', e.document, n.id FROM entry e JOIN job_line t ON t.id = e.to_line JOIN job_line n ON n.job = t.job
  JOIN gone g ON g.line = n.id AND g.since < e.document AND (g.until IS NULL OR g.until > e.document) JOIN moved m ON m.line = n.id AND m.document < e.document
  WHERE e.law / 10000 = 13 GROUP BY e.id, e.document, n.id, g.since HAVING SUM(m.q) > 0;
SELECT 'I25 parents', lot, parent FROM (
  SELECT o.lot AS lot, i.lot AS parent FROM entry o JOIN entry i ON i.document = o.document AND i.to_place / 1000000 = 33 WHERE o.from_place / 1000000 = 33 AND o.law / 10000 IN (8, 9)
  EXCEPT SELECT lot, parent FROM lot_parent) AS u;
SELECT 'I25 no making', p.lot, p.parent FROM lot_parent p JOIN lot l ON l.id = p.lot WHERE NOT EXISTS (SELECT 1 FROM entry o JOIN entry i ON i.document = o.document AND i.lot = p.parent AND i.to_place / 1000000 = 33 WHERE o.document = l.document AND o.lot = p.lot AND o.from_place / 1000000 = 33);
SELECT 'I25 child', l.id FROM lot l WHERE l.child <> CASE WHEN EXISTS (SELECT 1 FROM lot_parent p WHERE p.lot = l.id) THEN 1 ELSE 0 END;
SELECT 'I26 child outlives', c.id, p.id FROM lot_parent x JOIN lot c ON c.id = x.lot JOIN lot p ON p.id = x.parent WHERE p.expiry IS NOT NULL AND (c.expiry IS NULL OR c.expiry > p.expiry) AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id IN (c.id, p.id) AND h.field = 'expiry');
SELECT 'I26 child escapes a hold', c.id, h.id FROM lot_parent x JOIN lot c ON c.id = x.lot JOIN hold h ON h.lot = x.parent AND h.lifts IS NULL AND h.document < c.document LEFT JOIN hold y ON y.lifts = h.id WHERE (y.id IS NULL OR y.document > c.document) AND NOT EXISTS (SELECT 1 FROM hold z WHERE z.lot = c.id AND z.document = c.document AND z.lifts IS NULL);
SELECT 'I26 child of another owner', c.id, p.id FROM lot_parent x JOIN lot c ON c.id = x.lot JOIN lot p ON p.id = x.parent JOIN document d ON d.id = c.document WHERE p.owner IS NOT NULL AND (c.owner IS NULL OR c.owner <> p.owner) AND d.owner_word IS NULL AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id IN (c.id, p.id) AND h.field = 'owner');
SELECT 'I27 moved when dead', e.id, e.lot FROM entry e JOIN law w ON w.id = e.law AND w.fresh = 1 JOIN lot l ON l.id = e.lot JOIN document d ON d.id = e.document WHERE (l.expiry < d.day OR l.expiry < SUBSTR(d.at, 1, 10)) AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id = l.id AND h.field = 'expiry');
SELECT 'I27 reserved when dead', c.id, c.lot FROM claim c JOIN lot l ON l.id = c.lot JOIN document d ON d.id = c.document WHERE c.qty > 0 AND c.why IN ('reserve', 'arrive', 'follow') AND (l.expiry < d.day OR l.expiry < SUBSTR(d.at, 1, 10)) AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id = l.id AND h.field = 'expiry');
SELECT 'I28 owner not asked', e.id FROM entry e JOIN lot l ON l.id = e.lot JOIN document d ON d.id = e.document WHERE e.law / 10000 IN (19, 20) AND l.owner IS NOT NULL AND d.owner_word IS NULL AND NOT EXISTS (SELECT 1 FROM change h WHERE h.what = 'lot' AND h.what_id = l.id AND h.field = 'owner');
SELECT 'I28 no due day', e.id FROM entry e JOIN document d ON d.id = e.document WHERE e.law / 10000 = 27 AND d.due IS NULL;
SELECT 'I29 not bench stock', e.id FROM entry e JOIN lot l ON l.id = e.lot JOIN part p ON p.id = l.part WHERE e.law / 10000 = 14 AND p.bench_stock = 0;
SELECT 'I30 moved while held', e.id, h.id FROM entry e JOIN law w ON w.id = e.law AND w.while_held = 0 AND e.law / 10000 <> 90 JOIN hold h ON h.lifts IS NULL AND h.document < e.document AND (h.lot = e.lot OR h.place IN (e.from_place, e.to_place)) WHERE NOT EXISTS (SELECT 1 FROM hold x WHERE x.lifts = h.id AND x.document < e.document);
SELECT 'I12 layer of another method', y.id FROM layer y JOIN setting t ON t.name = 'method' LEFT JOIN lot l ON l.id = y.lot WHERE y.qty > 0 AND ((y.shared = 1 AND (t.value = 'actual' OR (t.value = 'average' AND y.lot IS NOT NULL) OR (t.value = 'fifo' AND y.lot IS NULL))) OR (y.shared = 0 AND l.specific = 0 AND t.value <> 'actual'));
SELECT 'I12 two averages', part FROM layer y JOIN setting t ON t.name = 'method' AND t.value = 'average' WHERE y.qty > 0 AND y.shared = 1 GROUP BY part HAVING COUNT(*) > 1;
