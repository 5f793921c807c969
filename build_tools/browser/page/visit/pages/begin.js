/**
 * Begin a visit: which customer, which door, what was asked for. One tap each; what is chosen becomes one line.
 * The address may say it already: `visit.html?door=brk-001&sequence=noisy`.
 */
import { allDoors, writeIn } from "./doors.js";
import { dayOf, isoDay } from "../shown/days.js";
import { asked } from "../asked/asked.js";
import { freshDigests, toldRows, visitsOf } from "../asked/digests.js";
import { element } from "../../shared/element.js";
import { newId } from "../kept/event_ids.js";
import { ownHabits } from "../kept/own_habits.js";
import { keep, kept } from "../../shared/kept.js";
import { button, labeled, leftOpen, lineLink, paragraph } from "../shown/parts_of_page.js";
import { setPlaceInHand } from "../kept/place_in_hand.js";
import { say } from "../../shared/words.js";

/** Beyond so many, a field that looks for names stands above them. */
const MANY = 8;
const TECHNICIAN = "visit:technician";

/**
 * The part of the page where a visit is begun.
 * @param {import("./choose.js").Tools} tools
 * @param {import("../asked/digests.js").Digest[]} open visits that are open
 */
export function beginPart(tools, open) {
  const given = new URLSearchParams(location.search);
  const doors = allDoors(tools.plan);
  const chosen = {
    customer: null,
    door: doors.find(({ id }) => id === given.get("door")) ?? null,
    sequence: tools.plan.sequences.find(({ id }) => id === given.get("sequence")) ?? null,
  };
  const part = element("section", { dataset: { part: "begin" } });
  const show = (focus = true) => {
    const steps = [whereStep, doorStep, askedStep, beginStep];
    const shown = [element("h2", {}, say("page.visit.begin.title"))];
    for (const step of steps) {
      const { lines, done } = step({ tools, open, doors, chosen, show });
      shown.push(...lines);
      if (!done) break;
    }
    part.replaceChildren(...shown);
    if (focus) part.querySelector("fieldset legend, h3")?.focus();
  };
  show(false);
  return part;
}

/** Which customer. */
function whereStep({ tools, doors, chosen, show }) {
  const customer = chosen.door?.customer ?? chosen.customer;
  if (customer) {
    const change = () => {
      chosen.customer = chosen.door = null;
      show();
    };
    return { done: true, lines: [chosenLine(say("page.visit.begin.customer"), customer, change)] };
  }
  const names = [...new Set(doors.map((door) => door.customer))];
  const rows = names.map((name) => ({
    text: name,
    more: doors.find((door) => door.customer === name).address,
    take: () => {
      chosen.customer = name;
      show();
    },
  }));
  return {
    done: false,
    lines: [
      choices("customer", say("page.visit.begin.which-customer"), rows),
      writtenInPart(tools, chosen, show),
    ],
  };
}

/** Which door of it. */
function doorStep({ tools, doors, chosen, show }) {
  if (chosen.door) {
    const change = () => {
      chosen.customer = chosen.door.customer;
      chosen.door = null;
      show();
    };
    const line = chosenLine(say("page.visit.begin.door"), doorName(chosen.door, tools.plan), change);
    return { done: true, lines: [line, placeLine(chosen.door)] };
  }
  const rows = doors
    .filter(({ customer }) => customer === chosen.customer)
    .map((door) => ({
      text: say("page.visit.begin.door-number", { door: door.door }),
      more: classOf(door, tools.plan),
      take: () => {
        chosen.door = door;
        show();
      },
    }));
  return {
    done: false,
    lines: [choices("door", say("page.visit.begin.which-door"), rows), writtenInPart(tools, chosen, show)],
  };
}

/** What was asked for; what is known of the door stands above it. */
function askedStep({ tools, open, chosen, show }) {
  const known = element("div", { dataset: { part: "known" }, ariaLive: "polite" });
  void knownOf(chosen.door, open, tools).then((parts) => known.replaceChildren(...parts));
  if (chosen.sequence) {
    const change = () => {
      chosen.sequence = null;
      show();
    };
    const line = chosenLine(say("page.visit.begin.asked"), chosen.sequence.label, change);
    return { done: true, lines: [known, line] };
  }
  const rows = tools.plan.sequences.map((sequence) => ({
    text: sequence.label,
    more: (sequence.said_as ?? []).map((said) => say("page.visit.begin.said", { said })).join(" "),
    looked: `${sequence.label} ${(sequence.said_as ?? []).join(" ")}`,
    take: () => {
      chosen.sequence = sequence;
      show();
    },
  }));
  return { done: false, lines: [known, choices("asked", say("page.visit.begin.what-asked"), rows)] };
}

/** Who works here, in whose words it was asked, and the button. */
function beginStep({ tools, chosen }) {
  const technician = element("input", {
    autocomplete: "name",
    maxLength: 80,
    dataset: { field: "technician" },
  });
  technician.value = kept(TECHNICIAN) ?? "";
  const words = element("input", { maxLength: 200, dataset: { field: "asked-for" } });
  const problem = element("p", { className: "ht-visit-problem", role: "alert" });
  const begin = async () => {
    if (!technician.value.trim()) {
      problem.textContent = say("page.visit.begin.who-missing");
      technician.focus();
      return;
    }
    keep(TECHNICIAN, technician.value.trim());
    const visit = await beginVisit(tools, chosen, {
      technician: technician.value.trim(),
      askedFor: words.value.trim(),
    });
    history.replaceState(null, "", location.pathname); // the address has done its work
    tools.go(`#visit=${visit}`);
  };
  return {
    done: true,
    lines: [
      labeled(say("page.visit.begin.technician"), technician),
      labeled(say("page.visit.begin.in-words"), words),
      problem,
      button(say("page.visit.begin.begin"), begin, {
        className: "ht-main-action",
        dataset: { act: "begin" },
      }),
    ],
  };
}

async function beginVisit(tools, { door, sequence }, { technician, askedFor }) {
  const visit = newId();
  if (door.written) writeIn(door);
  setPlaceInHand(door, isoDay());
  const { customer, address, gate, leveler } = door;
  const { before } = await historyOf(tools, door.id);
  const values = {
    sequence: sequence.id,
    customer,
    address,
    gate,
    door: door.door,
    leveler_class: leveler || null,
    asked_for: askedFor,
    technician,
    own: await ownHabits(tools.plan),
    before,
  };
  await tools.append(visit, door.id, [{ kind: "opened", values }]);
  return visit;
}

/** What the engine makes of a leveler's earlier visits. */
async function historyOf(tools, leveler) {
  const rows = await freshDigests(tools, await visitsOf(tools.database, leveler));
  const closed = rows.filter((row) => !row.open);
  return { closed, ...(await asked(tools, "history", { digests: toldRows(closed) })) };
}

/** What this phone knows of a door: a visit that is open there, and what the last one left open. */
async function knownOf(door, open, tools) {
  const here = open.find(({ leveler }) => leveler === door.id);
  const goOn =
    here && lineLink(`#visit=${here.visit}`, say("page.visit.begin.is-open", { day: dayOf(here.opened) }));
  const { closed, open: left } = await historyOf(tools, door.id);
  const last = closed.at(-1);
  return [
    ...(goOn ? [element("p", { className: "ht-visit-notice" }, goOn)] : []),
    ...(last
      ? leftLastTime(dayOf(last.opened), left, tools.told)
      : [paragraph(say("page.visit.begin.no-visit"))]),
    ...(last ? [paragraph(lineLink(`#history=${door.id}`, say("page.visit.list.history")))] : []),
  ];
}

/** What was left open at the last visit. */
function leftLastTime(day, left, told) {
  if (!left.length) return [paragraph(say("page.visit.begin.nothing-open", { day }))];
  const lines = left.map((sentence) => element("li", {}, leftOpen(told(sentence))));
  return [
    element("h3", {}, say("page.visit.begin.left-open", { day })),
    element("ul", { className: "ht-visit-still-open", dataset: { part: "left-open" } }, ...lines),
  ];
}

/** A door that no register lists. */
function writtenInPart({ plan }, chosen, show) {
  const field = (name, attributes = {}) =>
    element("input", { maxLength: 120, dataset: { field: name }, ...attributes });
  const customer = field("customer");
  customer.value = chosen.customer ?? "";
  const [address, gate, door] = [field("address"), field("gate"), field("door")];
  const leveler = element(
    "select",
    { dataset: { field: "leveler" } },
    element("option", { value: "" }, say("page.visit.begin.class-unknown")),
    ...Object.entries(plan.levelers).map(([id, { name }]) => element("option", { value: id }, name)),
  );
  const problem = element("p", { className: "ht-visit-problem", role: "alert" });
  const take = () => {
    const missing = [customer, door].find(({ value }) => !value.trim());
    if (missing) {
      problem.textContent = say("page.visit.begin.written-missing");
      return missing.focus();
    }
    const [name, at, through, number] = [customer, address, gate, door].map(({ value }) => value.trim());
    chosen.door = {
      id: newId(),
      customer: name,
      address: at,
      gate: through,
      door: number,
      leveler: leveler.value,
      written: true,
    };
    show();
  };
  return element(
    "details",
    { className: "ht-visit-more", dataset: { part: "write-in" } },
    element("summary", {}, say("page.visit.begin.not-listed")),
    labeled(say("page.visit.begin.customer"), customer),
    labeled(say("page.visit.begin.address"), address),
    labeled(say("page.visit.begin.gate"), gate),
    labeled(say("page.visit.begin.door"), door),
    labeled(say("page.visit.begin.class"), leveler),
    problem,
    button(say("page.visit.begin.take"), take, { dataset: { act: "write-in" } }),
  );
}

/** A question with its answers one under the other, each a whole line to touch. */
function choices(name, question, rows) {
  const list = element("ul", { className: "ht-visit-options" });
  const all = rows.map(({ text, more, looked, take }) => {
    const line = element(
      "button",
      { type: "button", onclick: take },
      element("b", {}, text),
      more ? element("span", {}, more) : null,
    );
    return { line: element("li", {}, line), looked: (looked ?? `${text} ${more}`).toLowerCase() };
  });
  list.append(...all.map(({ line }) => line));
  const fieldset = element(
    "fieldset",
    { dataset: { choose: name } },
    element("legend", { tabIndex: -1 }, question),
  );
  if (rows.length > MANY) fieldset.append(labeled(say("page.visit.begin.look"), lookFor(all)));
  fieldset.append(list);
  return fieldset;
}

function lookFor(all) {
  const field = element("input", { type: "search", autocomplete: "off", dataset: { field: "look" } });
  field.addEventListener("input", () => {
    const wanted = field.value.trim().toLowerCase().split(/\s+/);
    for (const { line, looked } of all) line.hidden = !wanted.every((word) => looked.includes(word));
  });
  return field;
}

function chosenLine(label, text, change) {
  return element(
    "p",
    { className: "ht-visit-chosen" },
    element("span", {}, element("small", {}, label), " ", element("b", {}, text)),
    button(say("page.visit.begin.change"), change, {
      ariaLabel: say("page.visit.begin.change-what", { label }),
    }),
  );
}

function placeLine({ address, gate }) {
  return element("p", { className: "ht-visit-site" }, [address, gate].filter(Boolean).join(" · "));
}

function doorName(door, plan) {
  return [say("page.visit.begin.door-number", { door: door.door }), classOf(door, plan)]
    .filter(Boolean)
    .join(", ");
}

function classOf({ leveler }, plan) {
  return plan.levelers[leveler]?.name ?? "";
}
