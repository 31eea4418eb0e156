// The desk: buttons for every move, what every signal shows and why, and what the last move changed, in words.
// Rows and cells say what they are, for on a narrow screen they are laid out as blocks.

const make = (name, text, attributes = {}) => {
  const element = document.createElement(name);
  if (text) element.textContent = text;
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
};

const pressed = (button, state, words) => {
  if (button.getAttribute("aria-pressed") !== String(state)) button.setAttribute("aria-pressed", state);
  const text = state ? `${button.dataset.said}: ${words}` : button.dataset.said;
  if (button.textContent !== text) button.textContent = text;
};

const makeButton = (said, on) => {
  const button = make("button", said, { type: "button", "aria-pressed": "false" });
  button.dataset.said = said;
  button.addEventListener("click", on);
  return button;
};

// All lamps that a signal can light, by label.
const lampsOfSignal = (table, [, rest, ways]) => {
  const looks = new Set([rest]);
  for (const way of ways) {
    for (const [far, near = far] of Object.values(table.rows[way[4]])) looks.add(far).add(near);
  }
  for (const look of looks) for (const fallen of Object.values(table.looks[look][7])) looks.add(fallen);
  return [...new Set([...looks].flatMap((look) => lampsOf(table, look)))];
};

const makeDesk = (table, moves) => {
  const at = (name) => document.getElementById(`worked-${name}`);
  const routes = table.routes.map(([name, , signal], number) => {
    const button = makeButton(name, () => moves.route(number));
    const back = make("button", `take back ${name}`, { type: "button", hidden: "" });
    back.addEventListener("click", () => moves.back(number));
    return { button, back, signal };
  });
  const places = table.places.slice(0, table.named).map(([name, said], place) => {
    const button = makeButton(said, () => moves.place(place));
    button.dataset.place = name;
    at("places").append(button);
    return button;
  });
  const edges = table.edges.map(([name, choices], edge) => {
    if (choices.length < 2) return null;
    const label = make("label", `${name} `);
    const select = make("select");
    for (const [aspect] of choices) select.append(make("option", aspect || "not known"));
    select.addEventListener("change", () => moves.beyond(edge, select.selectedIndex));
    label.append(select);
    at("edges").append(label);
    return select;
  });
  at("beyond").hidden = !edges.some(Boolean);

  const openLamps = (row, number) => {
    if (row.lamps) return;
    row.lamps = new Map();
    for (const lamp of lampsOfSignal(table, table.signals[number])) {
      const button = makeButton(lamp, () => moves.lamp(number, lamp));
      row.lamps.set(lamp, button);
      row.details.append(button);
    }
  };

  const own = table.signals.map(() => []);
  for (const { button, back, signal } of routes) own[signal]?.push(button, back);
  const rows = table.signals.map(([name], number) => {
    const line = make("tr", "", { id: `worked-at-${number}`, role: "row" });
    const cell = (kind = "") => make("td", "", { role: "cell", class: kind });
    const row = { line, said: cell(), letters: cell("worked-letters"), why: cell("worked-why") };
    const buttons = cell("worked-routes");
    buttons.append(...own[number]);
    row.details = make("details");
    row.details.append(make("summary", "lamps"));
    row.details.addEventListener("toggle", () => {
      openLamps(row, number);
      moves.look(number);
    });
    line.dataset.worked = name;
    const last = cell("worked-out");
    last.append(row.details);
    line.append(make("th", name, { scope: "row", role: "rowheader" }), row.letters, row.said, row.why, buttons, last);
    return row;
  });
  at("signals").append(...rows.map((row) => row.line));
  at("find").addEventListener("input", () => {
    const wanted = at("find").value.trim().toLowerCase();
    for (const { line } of rows) line.hidden = !line.dataset.worked.toLowerCase().includes(wanted);
  });

  const showSignal = (number, said, lights, why, out) => {
    const row = rows[number];
    row.line.dataset.said = said;
    row.line.dataset.lit = lights.map(([lamp, colour, beat]) => [lamp, colour, beat].join(" ").trim()).join(", ");
    row.letters.textContent = lettersOf(lights).join(" ") || ".";
    row.said.textContent = said;
    row.why.textContent = why;
    for (const [lamp, button] of row.lamps ?? []) pressed(button, Boolean(out?.has(lamp)), "out");
  };

  return {
    signal: showSignal,
    route: (number, set, passed) => {
      const { button, back } = routes[number];
      pressed(button, set, passed ? "set, used by a train" : "set");
      if (document.activeElement === back && !passed) button.focus();
      back.hidden = !passed;
    },
    place: (place, occupied) => pressed(places[place], occupied, "occupied"),
    edge: (edge, choice) => {
      if (edges[edge]) edges[edge].selectedIndex = choice;
    },
    say: (lines) => at("said").replaceChildren(...lines.map((line) => make("p", line))),
    link: (link) => at("link").setAttribute("href", link || "#worked"),
    on: (name, act) => at(name).addEventListener("click", act),
  };
};
