// The track itself as a panel: a section is occupied and cleared; a route is set from its entrance to its exit.

const makePanel = (table, root, moves, tell) => {
  let entrance = -1;

  const mark = (number) => {
    entrance = number;
    for (const element of root.querySelectorAll("[data-signal]")) {
      element.classList.toggle("entrance", number >= 0 && element.dataset.signal === table.signals[number][0]);
    }
  };

  const routesFrom = (number) =>
    [...table.routes.keys()].filter((route) => number >= 0 && table.routes[route][2] === number);

  // A signal or an end is pressed: the exit of a route whose entrance was pressed before, or an entrance.
  const press = (name) => {
    const exits = routesFrom(entrance).filter((route) => table.routes[route][10] === name);
    if (exits.length) {
      mark(-1);
      moves.route(exits.find(moves.isSet) ?? exits[0]);
      return;
    }
    const number = table.signals.findIndex(([known]) => known === name);
    const own = routesFrom(number);
    const pressedTwice = number === entrance;
    mark(-1);
    if (own.length === 1) moves.route(own[0]);
    else if (!own.length) tell([`no route begins at ${name}`]);
    else if (pressedTwice) tell([`${name} is no longer the entrance`]);
    else {
      const ahead = listed([...new Set(own.map((route) => table.routes[route][10]))], "or");
      mark(number);
      tell([`${name} is the entrance: press the exit, ${ahead}`]);
    }
  };

  const pressPlace = (name, within) => {
    const known = table.places.findIndex(([place]) => place === name);
    const place = known < 0 ? table.places.findIndex(([other]) => other === within) : known;
    if (place >= 0 && place < table.named) moves.place(place);
  };

  root.addEventListener("click", (event) => {
    const found = event.target.closest("[data-route], [data-signal], [data-end], [data-section], [data-within]");
    if (!found) return;
    const { route, signal, end, section, within } = found.dataset;
    if (signal ?? end) press(signal ?? end);
    else if (route) moves.route(table.routes.findIndex(([, name]) => name === route));
    else pressPlace(section, within);
  });
};
