// A situation as the end of a link, by names, so that a plan that has grown still finds most of it.

const MARK = "#worked=";

const situationAsLink = (table, situation) => {
  const said = {};
  const keep = (key, list) => {
    if (list.length) said[key] = list;
  };
  keep("routes", [...situation.routes].map((number) => [number, table.routes[number][1]]));
  keep("passed", [...situation.passed].map((number) => [number, table.routes[number][1]]));
  keep("occupied", [...situation.occupied].map((place) => table.places[place][0]));
  keep("reverse", [...situation.reverse]);
  keep("out", [...situation.failed].flatMap(([number, lamps]) => [...lamps].map((lamp) => [table.signals[number][0], lamp])));
  keep("beyond", [...situation.beyond].map(([edge, choice]) => [table.edges[edge][0], table.edges[edge][1][choice][0]]));
  return Object.keys(said).length ? MARK + encodeURIComponent(JSON.stringify(said)) : "";
};

const saidInLink = (link) => {
  if (!link.startsWith(MARK)) return null;
  try {
    const said = JSON.parse(decodeURIComponent(link.slice(MARK.length)));
    return said && typeof said === "object" ? said : null;
  } catch {
    return null;
  }
};

// The situation that a link tells, as far as the plan still has it; null if it tells none.
const situationOfLink = (table, link) => {
  const said = saidInLink(link);
  if (!said) return null;
  const list = (key) => (Array.isArray(said[key]) ? said[key] : []);
  const pairs = (key) => list(key).filter((pair) => Array.isArray(pair) && pair.length === 2);
  const found = atStart();
  const routeOf = ([number, name]) => {
    if (table.routes[number]?.[1] === name) return number;
    return table.routes.findIndex((route) => route[1] === name);
  };
  for (const number of pairs("routes").map(routeOf)) {
    const free = number >= 0 && ![...found.routes].some((other) => reasonBetween(table, number, other));
    if (free) found.routes.add(number);
  }
  for (const number of pairs("passed").map(routeOf)) if (found.routes.has(number)) found.passed.add(number);
  for (const name of list("occupied")) {
    const place = table.places.findIndex(([known], index) => index < table.named && known === name);
    if (place >= 0) found.occupied.add(place);
  }
  for (const points of list("reverse")) if (typeof points === "string") found.reverse.add(points);
  for (const [name, lamp] of pairs("out")) {
    const number = table.signals.findIndex(([known]) => known === name);
    if (number >= 0) found.failed.set(number, new Set(found.failed.get(number)).add(String(lamp)));
  }
  for (const [name, aspect] of pairs("beyond")) {
    const edge = table.edges.findIndex(([known]) => known === name);
    const choice = edge < 0 ? -1 : table.edges[edge][1].findIndex(([known]) => known === aspect);
    if (choice >= 0) found.beyond.set(edge, choice);
  }
  return found;
};
