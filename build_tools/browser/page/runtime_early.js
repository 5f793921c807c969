/** Python starts first of all where the head of the page finds a later visit to a calculator. */
import { startRuntime } from "./runtime.js";

startRuntime().catch(() => {}); // the calculators' own script tells what is wrong
