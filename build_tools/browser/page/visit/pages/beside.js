/** Beside the step: a photo, a part, a helper, a lock, a note. Each is written at once and changes no step. */
import { act, asked } from "../asked/asked.js";
import { keptField } from "../kept/draft.js";
import { element } from "../../shared/element.js";
import { frame } from "../shown/frame.js";
import { locksPart } from "./locks.js";
import { button, buttons, labeled, lineLink, paragraph, section } from "../shown/parts_of_page.js";
import { drawnPhoto, keepPhoto, keptPhoto, NotKept, roomLeft, roomText, smallPhoto } from "./photos.js";
import { done, problemLine } from "../shown/problems.js";
import { say } from "../../shared/words.js";

/** @param {HTMLElement} place @param {string} visit @param {import("./choose.js").Tools} tools */
export async function showBeside(place, visit, tools, said = "") {
  const events = await tools.eventsOf(visit);
  const [{ screen }, left] = await Promise.all([
    asked(tools, "screen", { events }),
    asked(tools, "leave", { events }),
  ]);
  const step = screen?.steps?.at(-1) ?? null;
  const again = (told = "") => showBeside(place, visit, tools, told);
  const write = (acted, problem, told, typed) => async () => {
    if (!(await done(act(tools, visit, acted()), problem))) return;
    typed?.forget();
    await again(told);
  };
  frame(place, {
    kind: "beside",
    title: say("page.visit.beside.title"),
    body: [
      paragraph(lineLink(`#visit=${visit}`, say("page.visit.beside.back"))),
      element("p", { role: "status", className: "ht-visit-said" }, said),
      await photoPart(left.photos, { tools, visit, step, again }),
      notePart(step, visit, write),
      partPart(left.parts, visit, write),
      helperPart(left.head.helpers ?? [], write),
      lockPart(left.locks, { tools, visit, again, write, technician: left.head.technician }),
    ],
  });
}

async function photoPart(photos, { tools, visit, step, again }) {
  const problem = problemLine();
  const room = element("p", { className: "ht-visit-room" }, roomText(await roomLeft()));
  const take = element("input", {
    type: "file",
    accept: "image/*",
    className: "ht-spoken",
    dataset: { field: "photo" },
  });
  take.setAttribute("capture", "environment");
  take.addEventListener("change", async () => {
    const [taken] = take.files;
    if (!taken) return;
    try {
      const photo = await smallPhoto(taken);
      await keepPhoto(tools.database, photo);
      const { hash, blob, width, height } = photo;
      const acted = act(tools, visit, { do: "photo", hash, bytes: blob.size, width, height, step });
      if (await done(acted, problem))
        await again(
          say("page.visit.photo.kept", { size: inKilobytes(blob.size), room: roomText(await roomLeft()) }),
        );
    } catch (fault) {
      if (!(fault instanceof NotKept)) throw fault;
      problem.textContent = say(`page.visit.photo.${fault.code}`);
    }
  });
  const shown = await Promise.all(photos.map(({ hash }) => shownPhoto(tools.database, hash)));
  return section(
    "photo",
    say("page.visit.photo.title"),
    paragraph(say("page.visit.photo.what")),
    element("label", { className: "ht-visit-take" }, take, say("page.visit.photo.take")),
    room,
    problem,
    shown.length ? element("div", { className: "ht-visit-photos" }, ...shown) : null,
  );
}

async function shownPhoto(database, hash) {
  const photo = await keptPhoto(database, hash);
  if (!photo) return paragraph(say("page.visit.photo.gone"));
  return drawnPhoto(photo, say("page.visit.photo.one", { size: inKilobytes(photo.blob.size) }));
}

function inKilobytes(bytes) {
  return Math.ceil(bytes / 1000);
}

function notePart(step, visit, write) {
  const typed = keptField(
    element("textarea", { rows: 3, maxLength: 1000, dataset: { field: "note" } }),
    visit,
    "note",
  );
  const text = typed.field;
  const problem = problemLine();
  const act = write(
    () => ({ do: "note", text: text.value.trim(), step }),
    problem,
    say("page.visit.beside.written"),
    typed,
  );
  return folded(
    "note",
    say("page.visit.beside.note"),
    labeled(say("page.visit.beside.note-text"), text),
    problem,
    writeButton("note", act),
  );
}

function partPart(parts, visit, write) {
  const typed = keptField(element("input", { maxLength: 120, dataset: { field: "part" } }), visit, "part");
  const name = typed.field;
  const count = element("input", {
    inputMode: "numeric",
    value: "1",
    maxLength: 4,
    dataset: { field: "count" },
  });
  const problem = problemLine();
  const written = say("page.visit.beside.written");
  const part = (used) =>
    write(
      () => ({ do: "part", name: name.value.trim(), count: Number(count.value), used }),
      problem,
      written,
      typed,
    );
  const lines = parts.map(({ name: what, count: many, used }) =>
    element(
      "li",
      {},
      say(used ? "page.visit.beside.used" : "page.visit.beside.needed", { name: what, count: many }),
    ),
  );
  return folded(
    "part",
    say("page.visit.beside.part"),
    lines.length ? element("ul", {}, ...lines) : null,
    labeled(say("page.visit.beside.part-name"), name),
    labeled(say("page.visit.beside.part-count"), count),
    problem,
    buttons(
      button(say("page.visit.beside.part-used"), part(true), { dataset: { act: "part-used" } }),
      button(say("page.visit.beside.part-needed"), part(false), { dataset: { act: "part-needed" } }),
    ),
  );
}

function helperPart(helpers, write) {
  const name = element("input", { maxLength: 80, autocomplete: "off", dataset: { field: "helper" } });
  const problem = problemLine();
  const act = write(
    () => ({ do: "helper", name: name.value.trim() }),
    problem,
    say("page.visit.beside.written"),
  );
  return folded(
    "helper",
    say("page.visit.beside.helper"),
    helpers.length ? paragraph(helpers.join(", ")) : null,
    labeled(say("page.visit.beside.helper-name"), name),
    problem,
    writeButton("helper", act),
  );
}

function lockPart(locks, { tools, visit, again, write, technician }) {
  const person = element("input", {
    maxLength: 80,
    autocomplete: "off",
    value: technician ?? "",
    dataset: { field: "person" },
  });
  const at = element("input", { maxLength: 120, dataset: { field: "place" } });
  const problem = problemLine();
  const acted = () => ({ do: "lock", person: person.value.trim(), place: at.value.trim(), on: true });
  return folded(
    "lock",
    say("page.visit.lock.title"),
    locksPart(locks, { tools, visit, again: () => again(), closed: false }),
    labeled(say("page.visit.lock.person"), person),
    labeled(say("page.visit.lock.place"), at),
    problem,
    button(say("page.visit.lock.hang"), write(acted, problem, say("page.visit.beside.written")), {
      dataset: { act: "lock-on" },
    }),
  );
}

function folded(part, heading, ...content) {
  return element(
    "details",
    { className: "ht-visit-more", dataset: { part } },
    element("summary", {}, heading),
    ...content,
  );
}

function writeButton(name, act) {
  return button(say("page.visit.write"), act, { dataset: { act: name } });
}
