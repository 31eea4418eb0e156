// The diagram: lamps, routes, sections are found once by their data attributes, and shown by classes alone.

const titled = (element, text) => {
  const title = element.querySelector(":scope > title");
  if (title && title.textContent !== text) title.textContent = text;
};

const groupedBy = (root, key) => {
  const found = new Map();
  for (const element of root.querySelectorAll(`[data-${key}]`)) {
    const name = element.dataset[key];
    found.set(name, [...(found.get(name) ?? []), element]);
  }
  return found;
};

// Lamps that are lit, as letters; a star behind those that flash.
const lettersOf = (lights) => lights.map(([, colour, beat]) => colour.slice(0, 1).toUpperCase() + (beat ? "*" : ""));

// Lamps of one beat flash together, whenever they were lit: all count from the moment the page was opened.
const inStep = (lamp) => {
  for (const animation of lamp.getAnimations({ subtree: true })) animation.startTime = 0;
};

const makePainter = (table, root) => {
  const signals = groupedBy(root, "signal");
  const routes = groupedBy(root, "route");
  const sections = groupedBy(root, "section");
  const within = groupedBy(root, "within");
  const labels = new Map();
  for (const [name, [element]] of signals) {
    const label = element.querySelector(".signal-name");
    if (label) labels.set(name, label);
  }

  const paintLamp = (lamp, light) => {
    const kept = lamp.classList.contains("doubtful") ? ["doubtful"] : [];
    const colours = (lamp.dataset.colours ?? "").split(" ");
    const [, colour, beat] = light ?? [];
    const many = colours.length > 1 && colours.includes(colour) ? [`c${colours.indexOf(colour)}`] : [];
    const state = light ? ["lit", colour, ...many, ...(beat ? ["flash", beat] : [])] : ["dark"];
    lamp.setAttribute("class", ["lamp", ...kept, ...state].join(" "));
    if (beat) inStep(lamp);
    titled(lamp, `${lamp.dataset.lamp}: ${light ? `${colour}${beat ? " flashing" : ""}` : "dark"}`);
  };

  const paintSignal = (name, said, lights) => {
    for (const element of signals.get(name) ?? []) {
      for (const lamp of element.querySelectorAll("[data-lamp]")) {
        paintLamp(lamp, lights.find(([, , , names]) => names.split("\n").includes(lamp.dataset.lamp)));
      }
      titled(element, `${name}: ${said}`);
    }
    const label = labels.get(name);
    if (label) label.textContent = `${name} ${[...new Set(lettersOf(lights))].join("")}`.trim();
  };

  const paintAll = (found, name, state, word) => {
    for (const element of found.get(name) ?? []) {
      element.classList.toggle(word, state);
      const { route, section, within: of } = element.dataset;
      titled(element, `${route ?? `section ${section ?? of}`}${state ? `: ${word}` : ""}`);
    }
  };

  return {
    signal: paintSignal,
    route: (name, set) => paintAll(routes, name, set, "set"),
    place: (name, occupied) => {
      paintAll(sections, name, occupied, "occupied");
      paintAll(within, name, occupied, "occupied");
    },
  };
};
