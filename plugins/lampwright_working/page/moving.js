// Moves: each gives the situation after it, or says in words why it cannot be made.
// A situation has sets of numbers (routes, passed, occupied), a set of points that lie reverse, lamps that are out by
// signal, and by edge the number of what is taken to stand there.

const atStart = () => ({
  routes: new Set(),
  passed: new Set(),
  occupied: new Set(),
  reverse: new Set(),
  failed: new Map(),
  beyond: new Map(),
});

const copied = (situation) => ({
  routes: new Set(situation.routes),
  passed: new Set(situation.passed),
  occupied: new Set(situation.occupied),
  reverse: new Set(situation.reverse),
  failed: new Map([...situation.failed].map(([number, lamps]) => [number, new Set(lamps)])),
  beyond: new Map(situation.beyond),
});

const refusal = (what, reasons) => ({ refused: `${what}: ${reasons.join("; ")}` });

const say = (table, what, ...words) => table.words[what].replace(/\{(\d)\}/g, (_, number) => words[number]);

const listed = (words, joint = "and") =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${joint} ${words[words.length - 1]}`;

const placesListed = (table, places) => listed(places.map((place) => table.places[place][1]));

// Why two routes exclude each other; empty if they do not.
const reasonBetween = (table, one, other) => {
  const found = table.against[Math.min(one, other)].find(([number]) => number === Math.max(one, other));
  return found ? table.reasons[found[1]] : "";
};

const reasonsAgainst = (table, situation, number) => {
  if (situation.routes.has(number) && !situation.passed.has(number)) return [say(table, "set-already")];
  const [, , , runs, , , , lies] = table.routes[number];
  const found = [];
  for (const other of [...situation.routes].sort((a, b) => a - b)) {
    const why = other === number ? "" : reasonBetween(table, number, other);
    if (why) found.push(say(table, "against", table.routes[other][0], why));
  }
  const occupied = placesOccupied(table, situation);
  const taken = placesTaken(table, number, occupied);
  const on = runs.some((place) => occupied.has(place));
  if (taken.length) found.push(say(table, on ? "taken" : "taken-overlap", placesListed(table, taken)));
  for (const [points, reverse] of lies) {
    const held = table.points[points];
    if (situation.reverse.has(points) !== Boolean(reverse) && held !== undefined && situation.occupied.has(held)) {
      found.push(say(table, "held", points, reverse ? "reverse" : "normal", table.places[held][0]));
    }
  }
  return found;
};

const setRoute = (table, situation, number) => {
  const reasons = reasonsAgainst(table, situation, number);
  if (reasons.length) return refusal(say(table, "no-set", table.routes[number][0]), reasons);
  const after = copied(situation);
  after.routes.add(number);
  after.passed.delete(number);
  for (const [points, reverse] of table.routes[number][7]) {
    if (reverse) after.reverse.add(points);
    else after.reverse.delete(points);
  }
  return { after };
};

const cancelRoute = (table, situation, number) => {
  const [name, , , , , , , , locked, howLong] = table.routes[number];
  const near = locked.filter((place) => situation.occupied.has(place));
  let why = situation.routes.has(number) ? "" : say(table, "not-set");
  if (!why && near.length && !situation.passed.has(number)) {
    why = say(table, howLong ? "locked-for" : "locked", placesListed(table, near), howLong);
  }
  if (why) return refusal(say(table, "no-cancel", name), [why]);
  const after = copied(situation);
  after.routes.delete(number);
  after.passed.delete(number);
  return { after };
};

const occupyPlace = (table, situation, place) => {
  const after = copied(situation);
  after.occupied.add(place);
  const before = placesOccupied(table, situation);
  const fresh = [...placesOccupied(table, after)].filter((one) => !before.has(one));
  for (const number of situation.routes) {
    const [, , , runs, , again] = table.routes[number];
    if (!again && runs.some((one) => fresh.includes(one))) after.passed.add(number);
  }
  return { after };
};

const clearPlace = (table, situation, place) => {
  const after = copied(situation);
  after.occupied.delete(place);
  return { after };
};

const failLamp = (table, situation, [number, lamp]) => {
  const after = copied(situation);
  after.failed.set(number, new Set(after.failed.get(number)).add(lamp));
  return { after };
};

const mendLamp = (table, situation, [number, lamp]) => {
  const after = copied(situation);
  after.failed.get(number)?.delete(lamp);
  return { after };
};

const assumeBeyond = (table, situation, [edge, choice]) => {
  const after = copied(situation);
  after.beyond.set(edge, choice);
  return { after };
};
