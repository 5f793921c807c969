/**
 * The tones of a countdown on the audio clock: three short ones, a second apart, then the long one that starts the run.
 */
const SHORT = { hertz: 880, lasts: 0.12 };
const LONG = { hertz: 1320, lasts: 1 };
/** Seconds before the long tone. */
const SHORT_AT = [3, 2, 1];

/**
 * Have the tones of one countdown sound.
 * @param {BaseAudioContext} context
 * @param {number} zeroAt when the long tone begins, in seconds of the context's own clock
 * @returns {() => void} silences what is still to come
 */
export function scheduleTones(context, zeroAt) {
  const tones = [
    ...SHORT_AT.map((before) => tone(context, zeroAt - before, SHORT)),
    tone(context, zeroAt, LONG),
  ];
  return () => tones.forEach((each) => each.disconnect());
}

/** The long tone alone, at once: so that it can be tried how loud it is. */
export function playLongTone(context) {
  tone(context, context.currentTime, LONG);
}

/** A square wave at full scale is the loudest that a phone can give. */
function tone(context, at, { hertz, lasts }) {
  const source = new OscillatorNode(context, { type: "square", frequency: hertz });
  source.connect(context.destination);
  source.start(at);
  source.stop(at + lasts);
  return source;
}
