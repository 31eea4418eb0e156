// How signals come to stand: from stop, all look ahead in their tables again and again until nothing changes.
// The table is made by lampwright.working.play.table, which says what each list in it holds.

const placesOccupied = (table, situation) => {
  const occupied = new Set(situation.occupied);
  for (const [place, sections] of table.implied) {
    if (sections.every((section) => situation.occupied.has(section))) occupied.add(place);
  }
  return occupied;
};

// The places that a route needs clear and that are not: of its track, else of its first overlap if all are occupied.
const placesTaken = (table, number, occupied) => {
  const [, , , runs, clear, , laps] = table.routes[number];
  if (!clear) return [];
  const on = runs.filter((place) => occupied.has(place));
  const beyond = laps.map((lap) => lap.filter((place) => occupied.has(place)));
  return on.length || !beyond.length || !beyond.every((lap) => lap.length) ? on : beyond[0];
};

const routesOpen = (table, situation) => {
  const occupied = placesOccupied(table, situation);
  const waiting = [...situation.routes].filter((number) => !situation.passed.has(number));
  return new Set(waiting.filter((number) => !placesTaken(table, number, occupied).length));
};

// A look once lamps are out: another one where the rulebook answers the fault so.
const lookAfter = (table, look, out) => {
  const seen = new Set();
  while (out && !seen.has(look)) {
    seen.add(look);
    const [, , , lights, , , , falls] = table.looks[look];
    const lost = lights.map((light) => table.lights[light][0]).find((lamp) => out.has(lamp) && lamp in falls);
    if (lost !== undefined) look = falls[lost];
  }
  return look;
};

// Routes that trains have run into and not yet left.
const routesRunning = (table, situation) => {
  const occupied = placesOccupied(table, situation);
  return [...situation.passed].filter((number) => table.routes[number][3].some((place) => occupied.has(place)));
};

const chosenAt = (table, situation, edge) => table.edges[edge][1][situation.beyond.get(edge) ?? 0];

const stillFace = (table, look) => `${table.looks[look][2]}.0.0`;

const standAtRest = (table, number, way, out) => {
  const look = lookAfter(table, table.signals[number][1], out);
  return { look, face: stillFace(table, look), way, known: false, near: false, waits: false };
};

// How one signal stands when all others stand as they do; `now` has what is the same for all of them.
const standLooking = (table, now, number, way, standing) => {
  const out = now.out.get(number);
  if (!way) return standAtRest(table, number, null, out);
  const [, , ahead, facts, rows, releasing] = way;
  const seen = ahead.map((at) => (at < 0 ? chosenAt(table, now.situation, -1 - at)[1] : standing[at].face));
  const row = table.rows[rows][seen.join("+")];
  if (!row) return standAtRest(table, number, way, out);
  const [far, nearer = far, second = 0] = row;
  const near = releasing.length > 0 && releasing.every((place) => now.occupied.has(place));
  const look = lookAfter(table, near ? nearer : far, out);
  const [, , shown, , , lack] = table.looks[look];
  const face = lack ? stillFace(table, look) : `${shown}.${facts}.${second}`;
  return { look, face, way, known: true, near, waits: nearer !== far };
};

// What all signals show after each look ahead, from the first that comes again: one moment, or a circle of them.
const momentsOf = (table, now, looking) => {
  let standing = looking.map((_, number) => standAtRest(table, number, null, now.out.get(number)));
  const moments = new Map();
  for (;;) {
    const key = standing.map((one) => one.face).join(" ");
    if (moments.has(key)) return [...moments.values()].slice(moments.get(key).at);
    moments.set(key, { at: moments.size, standing });
    standing = looking.map((way, number) => standLooking(table, now, number, way, standing));
  }
};

// How every signal comes to stand, in the order of the table; those that never would stay at rest.
const carry = (table, situation) => {
  const now = { situation, out: situation.failed, occupied: placesOccupied(table, situation) };
  const opened = routesOpen(table, situation);
  const byLength = [situation.routes, opened, new Set([...opened, ...routesRunning(table, situation)])];
  const active = ([route, until]) => route < 0 || byLength[until].has(route);
  const looking = table.signals.map(([, , ways]) => ways.find(active) || null);
  const restless = new Set();
  for (;;) {
    const moments = momentsOf(table, now, looking);
    const last = moments[0].standing;
    if (moments.length === 1) {
      return looking.map((way, number) => {
        const stood = standLooking(table, now, number, way, last);
        return { ...stood, restless: restless.has(number) };
      });
    }
    for (const number of looking.keys()) {
      if (moments.some((moment) => moment.standing[number].face !== last[number].face)) {
        restless.add(number);
        looking[number] = null;
      }
    }
  }
};
