// Why a signal shows what it shows, in the sentences of the table: the nearest reason first, three at most.

const DEEP = 3;

const namesAhead = (table, way) => way[2].map((at) => (at < 0 ? table.edges[-1 - at][0] : table.signals[at][0]));

const tellShown = (table, situation, standing, at) => {
  if (at < 0) return chosenAt(table, situation, -1 - at)[2];
  const [said, stands] = table.looks[standing[at].look];
  return say(table, stands ? "stands" : "shows", table.signals[at][0], said);
};

// Why a signal does not look ahead at all.
const tellClosed = (table, situation, number) => {
  const [name, , , onlyTells] = table.signals[number];
  if (onlyTells) return say(table, "not-past", name);
  const own = [...situation.routes].sort((a, b) => a - b).find((route) => table.routes[route][2] === number);
  if (own === undefined) return say(table, "no-route", name);
  const [, route, , runs] = table.routes[own];
  if (situation.passed.has(own)) return say(table, "passed", name, route);
  const occupied = placesOccupied(table, situation);
  const taken = placesTaken(table, own, occupied);
  if (!taken.length) return say(table, "no-rule", route);
  const on = runs.some((place) => occupied.has(place));
  return say(table, on ? "train" : "overlap", placesListed(table, taken));
};

const tellClause = (table, situation, standing, number) => {
  const { look, way, known, near, waits, restless } = standing[number];
  const [, , , , , lack, lost] = table.looks[look];
  if (restless) return say(table, "restless");
  let told;
  if (!way) told = tellClosed(table, situation, number);
  else if (!known) told = say(table, "unknown", listed(namesAhead(table, way)));
  else if (lack) told = say(table, "lack", table.signals[number][0], lack);
  else told = listed(way[2].map((at) => tellShown(table, situation, standing, at)));
  if (way && known && waits) told = say(table, near ? "near" : "far", told, way[6]);
  return lost ? say(table, "out", told, lost) : told;
};

const lampsOf = (table, look) => [...new Set(table.looks[look][3].map((light) => table.lights[light][0]))];

// What is read with lamps out; empty if none that is lit is.
const tellReading = (table, look, out) => {
  const lost = out ? lampsOf(table, look).filter((lamp) => out.has(lamp)) : [];
  return [lost, table.looks[look][8][lost.join("\n")] ?? ""];
};

const tellStory = (table, situation, standing, number) => {
  let told = tellShown(table, situation, standing, number);
  const seen = new Set([number]);
  for (let at = number, depth = 0; depth < DEEP; depth += 1) {
    told = say(table, depth ? "as" : "because", told, tellClause(table, situation, standing, at));
    const { way, known } = standing[at];
    at = way && known ? way[2][0] : -1;
    if (at < 0 || seen.has(at)) break;
    seen.add(at);
  }
  const [lost, reading] = tellReading(table, standing[number].look, situation.failed.get(number));
  return reading ? say(table, "reads", told, listed(lost), reading) : told;
};
