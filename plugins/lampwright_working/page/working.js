// The layout worked: every move goes through here, and what it changed is shown and said.

const LINES = 8;

const start = () => {
  const data = document.getElementById("data-worked");
  const here = document.getElementById("worked-signals");
  if (!data || !here) return;
  const table = JSON.parse(data.textContent);
  const root = document.querySelector(".diagram") ?? document.createElement("div");
  const painter = makePainter(table, root);
  let situation = atStart();
  let shown = [];
  const before = [];

  const lightsOf = (look, out) =>
    table.looks[look][3].map((light) => table.lights[light]).filter(([lamp]) => !out?.has(lamp));

  // What is shown of a signal, as far as it can change: its look, its lamps that are out, its story.
  const picture = (standing, number) => {
    const out = situation.failed.get(number);
    const [said] = table.looks[standing[number].look];
    const story = tellStory(table, situation, standing, number);
    return { said, story, out, lights: lightsOf(standing[number].look, out) };
  };

  const showSignals = () => {
    const standing = carry(table, situation);
    const now = table.signals.map((_, number) => picture(standing, number));
    const changed = [];
    for (const [number, one] of now.entries()) {
      const old = shown[number];
      if (old && old.story === one.story && old.lights.length === one.lights.length && old.out === one.out) continue;
      const [name] = table.signals[number];
      const why = one.story.slice(tellShown(table, situation, standing, number).length).replace(/^, /, "");
      painter.signal(name, one.said, one.lights);
      desk.signal(number, one.said, one.lights, why, one.out);
      if (old && (old.said !== one.said || old.lights.length !== one.lights.length)) changed.push(one.story);
    }
    shown = now;
    return changed;
  };

  const showMoves = (old, whole) => {
    const differs = (key, thing) => whole || old[key].has(thing) !== situation[key].has(thing);
    for (const [number, [, name]] of table.routes.entries()) {
      if (!differs("routes", number) && !differs("passed", number)) continue;
      painter.route(name, situation.routes.has(number));
      desk.route(number, situation.routes.has(number), situation.passed.has(number));
    }
    for (let place = 0; place < table.named; place += 1) {
      if (!differs("occupied", place)) continue;
      painter.place(table.places[place][0], situation.occupied.has(place));
      desk.place(place, situation.occupied.has(place));
    }
    for (const edge of table.edges.keys()) desk.edge(edge, situation.beyond.get(edge) ?? 0);
  };

  const keepLink = () => {
    const link = situationAsLink(table, situation);
    desk.link(link);
    const bare = window.location.href.split("#")[0];
    window.history.replaceState(null, "", bare + link);
  };

  // Show a situation, and say what came of it; `whole` if nothing of what is shown may be taken for granted.
  const show = (next, what, whole = false) => {
    const old = situation;
    situation = next;
    showMoves(old, whole);
    const changed = showSignals();
    const more = changed.length > LINES ? [`and ${changed.length - LINES} more signals`] : [];
    const told = changed.length ? changed.slice(0, LINES) : ["no signal changes"];
    desk.say([what, ...(whole && !changed.length ? [] : told), ...more].filter(Boolean));
    keepLink();
  };

  const act = (move, thing, what) => {
    const { after, refused } = move(table, situation, thing);
    if (refused) {
      desk.say([refused]);
      return;
    }
    before.push(situation);
    show(after, what);
  };

  const moves = {
    route: (number) => {
      if (situation.routes.has(number) && !situation.passed.has(number)) moves.back(number);
      else act(setRoute, number, `${table.routes[number][0]} is set`);
    },
    isSet: (number) => situation.routes.has(number),
    back: (number) => act(cancelRoute, number, `${table.routes[number][0]} is taken back`),
    place: (place) => {
      const occupied = situation.occupied.has(place);
      const [, said] = table.places[place];
      if (occupied) act(clearPlace, place, `${said} is clear`);
      else act(occupyPlace, place, `${said} is occupied`);
    },
    lamp: (number, lamp) => {
      const out = situation.failed.get(number)?.has(lamp);
      const what = `${lamp} of ${table.signals[number][0]} is ${out ? "mended" : "out"}`;
      act(out ? mendLamp : failLamp, [number, lamp], what);
    },
    beyond: (edge, choice) => act(assumeBeyond, [edge, choice], table.edges[edge][1][choice][2]),
    look: (number) => {
      shown[number] = null;
      showSignals();
    },
  };

  const desk = makeDesk(table, moves);
  desk.on("undo", () => {
    if (before.length) show(before.pop(), "one move is undone");
    else desk.say(["there is no move to undo"]);
  });
  desk.on("restart", () => {
    before.push(situation);
    show(atStart(), "nothing is set, no train is there, all lamps are whole");
  });
  makePanel(table, root, moves, desk.say);
  const restored = () => {
    const linked = situationOfLink(table, window.location.hash);
    if (linked) show(linked, "shown as the link tells it", true);
    return Boolean(linked);
  };
  window.addEventListener("hashchange", restored);
  if (!restored()) show(situation, "nothing is set", true);
  here.dataset.ready = "";
};

start();
