/**
 * Where a timed run goes on its work sheet: the first blank place, or a new row at the setting where the nut stands.
 */
import { fieldText, setFieldText } from "../sheet/entry.js";
import { setStart, startText } from "./how_timed.js";
import {
  addRow,
  allRows,
  appendRow,
  isStruck,
  liveRows,
  presentSetting,
  putBack,
  rowField,
  rowName,
  strikeOut,
} from "../sheet/rows.js";

/**
 * The runs of a sheet, as its stopwatch keeps them.
 * @param {import("../sheet/calculator.js").WorkSheet} sheet
 * @returns {import("./stopwatch.js").Runs}
 */
export function runsOfSheet(sheet) {
  const { section, name } = sheet;
  const dropped = () => Number(section.dataset.dropped ?? 0);
  return {
    name,
    kept: "page.stopwatch.stopped",
    record: (text, why, start) => recordRun(sheet, text, why, start),
    all: () => runRows(sheet),
    dropped,
    drop: () => {
      section.dataset.dropped = String(dropped() + 1);
      sheet.save();
    },
  };
}

/** Write one run down at once, so that nothing can lose it. */
function recordRun(sheet, text, why, start) {
  const { list, column } = target(sheet.section);
  const blank = why ? null : liveRows(list).find((row) => fieldText(rowField(row, column)) === "");
  if (blank) setFieldText(rowField(blank, column), text);
  setStart(blank ?? addRun(list, column, text, why), start);
  sheet.changed();
  return ""; // a sheet that cannot be kept says so itself
}

/** The runs on a sheet that were timed or typed. */
function runRows(sheet) {
  const { list, column } = target(sheet.section);
  return allRows(list)
    .map((row) => ({ row, text: fieldText(rowField(row, column)), start: startText(row.dataset) }))
    .filter(({ row, text }) => text !== "" || isStruck(row))
    .map(({ row, text, start }) => ({
      name: rowName(row),
      text,
      start,
      isStruck: isStruck(row),
      turn: () => {
        if (isStruck(row)) putBack(row);
        else strikeOut(row);
        sheet.changed();
      },
    }));
}

/** A full sheet takes the run too, struck out: it can be put back in place of another. */
function addRun(list, column, text, why) {
  const texts = column ? { half_turns: String(presentSetting(list)), [column]: text } : { "": text };
  const row = (why ? null : addRow(list, texts)) ?? appendRow(list, texts);
  if (why || liveRows(list).length > Number(list.dataset.most)) strikeOut(row, why);
  return row;
}

/** The list and the column that the stopwatch fills: "runs_s", or "readings.fold_time_s". */
function target(section) {
  const [name, column = ""] = section.querySelector("[data-stopwatch]").dataset.fills.split(".");
  return { list: section.querySelector(`[data-rows="${name}"]`), column };
}
