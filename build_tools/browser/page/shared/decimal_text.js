/**
 * A number as decimal text: the one rule of rounding what is shown, and the one place that sets its signs.
 *
 * calculators/shared/decimal_text.py states the rule and keeps it too: the shortest decimal text is rounded to 12
 * significant digits, and that to the digits shown; a half goes away from zero.
 */
const DIGITS = 12;
const MINUS = "\u2212";
const RAISED = { "-": "⁻", 0: "⁰", 1: "¹", 2: "²", 3: "³", 4: "⁴", 5: "⁵", 6: "⁶", 7: "⁷", 8: "⁸", 9: "⁹" };

/** A number with so many decimals: "18.13". */
export function fixed(value, decimals) {
  if (!Number.isFinite(value)) return String(value);
  return signed(value, textOf(cut(wholeOf(value), DIGITS), decimals));
}

/** A number with so many significant digits, zeros at its end too: "1.20", "12300"; 0 is "0". */
export function significant(value, digits) {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  const number = roundedTo(value, digits);
  return signed(value, textOf(number, Math.max(0, digits - lengthOf(number) - number.power)));
}

/** A number in at most so many significant digits, without needless zeros and without an exponent. */
export function plain(value, digits = DIGITS) {
  if (!Number.isFinite(value)) return String(value);
  const number = roundedTo(value, digits);
  return signed(value, bare(textOf(number, Math.max(0, -number.power))));
}

/** What plain() gives, but with an exponent below 0.0001 and from 10 to the 12th up: "1.5e-7". */
export function short(value) {
  if (!Number.isFinite(value)) return String(value);
  const number = roundedTo(value, DIGITS);
  const decimals = lengthOf(number) - 1;
  const lead = number.power + decimals;
  if (number.count === 0n || (lead >= -4 && lead < DIGITS)) return plain(value);
  const digits = bare(textOf({ count: number.count, power: -decimals }, decimals));
  return `${signed(value, digits)}e${lead < 0 ? "" : "+"}${lead}`;
}

/** A number rounded to so many significant digits, to go on with. */
export function rounded(value, digits) {
  return Number(plain(value, digits));
}

/**
 * A number's text as it is read: with the language's decimal mark, a minus sign, a power of ten.
 * @param {string} text
 * @param {string} mark
 */
export function marked(text, mark) {
  return text
    .replace(
      /e([+-]\d+)/,
      (_, power) => ` × 10${String(Number(power)).replace(/./g, (sign) => RAISED[sign])}`,
    )
    .replaceAll("-", MINUS)
    .replaceAll(".", mark);
}

/** The size of a number as its shortest text has it, a count of a power of ten: 18125, -3. */
function wholeOf(value) {
  const [digits, power = "0"] = String(Math.abs(value)).split("e");
  const [before, after = ""] = digits.split(".");
  return { count: BigInt(before + after), power: Number(power) - after.length };
}

function roundedTo(value, digits) {
  return cut(cut(wholeOf(value), Math.max(digits, DIGITS)), digits);
}

/** Round a count to so many significant digits. */
function cut(number, digits) {
  return toPower(number, lengthOf(number) + number.power - digits);
}

/** Round a count so that its last digit stands at a power of ten or above; a half goes up. */
function toPower({ count, power }, least) {
  if (least <= power) return { count, power };
  const unit = 10n ** BigInt(least - power);
  return { count: (count + unit / 2n) / unit, power: least };
}

/** Write a count of a power of ten with so many decimals. */
function textOf(number, decimals) {
  const { count, power } = toPower(number, -decimals);
  const digits = String(count * 10n ** BigInt(power + decimals)).padStart(decimals + 1, "0");
  return decimals ? `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}` : digits;
}

function lengthOf({ count }) {
  return String(count).length;
}

function bare(text) {
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}

function signed(value, text) {
  return value < 0 && /[1-9]/.test(text) ? `-${text}` : text;
}
