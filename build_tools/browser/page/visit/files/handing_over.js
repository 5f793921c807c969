/** Hand visits over to the office: one file, the photos beside it, and an entry in each that it was done. */
import { localTime } from "../kept/event_ids.js";
import { renewDigest } from "../asked/digests.js";
import { handOver, photoFile, visitFile } from "./files.js";
import { keptPhoto } from "../pages/photos.js";
import { say } from "../../shared/words.js";

/** Every visit on this phone, whatever was handed over before. */
export async function handAllOver(tools, again) {
  const visits = await tools.log.visitIds();
  const rows = await Promise.all(visits.map((visit) => tools.database.get("digests", visit)));
  await handRowsOver(rows, tools, again);
}

/** Visits in one file with their photos beside it; what left the phone is written in each. */
export async function handRowsOver(rows, tools, again) {
  const events = (await Promise.all(rows.map(({ visit }) => tools.eventsOf(visit))))
    .flat()
    .sort((one, other) => one.seq - other.seq);
  const { edition, device } = events.at(-1);
  const file = await visitFile(events, { edition, device, made: localTime() });
  const hashes = [...new Set(events.filter(({ kind }) => kind === "photo").map(({ values }) => values.hash))];
  const photos = (await Promise.all(hashes.map((hash) => keptPhoto(tools.database, hash)))).filter(Boolean);
  const how = await handOver([file, ...photos.map(photoFile)], say("page.visit.files.office"));
  if (how === "left") return again(say("page.visit.files.left"));
  for (const { visit, leveler } of rows) {
    const last = (await tools.eventsOf(visit)).at(-1).seq;
    await tools.append(visit, leveler, [{ kind: "handed-over", values: { files: [file.name] } }], last);
    await renewDigest(tools, visit);
  }
  return again(say(`page.visit.files.${how}`, { count: 1 + photos.length }));
}
