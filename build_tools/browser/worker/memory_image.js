/**
 * The worker's memory in the form in which it is kept: without the pages of it that hold nothing, about half of them.
 *
 * Little-endian 32-bit words: the length of the whole memory in bytes, the number of pages that follow,
 * the place of each, then the pages themselves. Kept plain: unpacking gzip takes longer than reading twice the bytes.
 */
const PAGE = 4096;
const WORDS = PAGE / 4;

/**
 * @param {Uint8Array} memory
 * @returns {ArrayBuffer}
 */
export function imageOf(memory) {
  const pages = Math.ceil(memory.length / PAGE);
  const words = new Uint32Array(memory.buffer, memory.byteOffset, Math.floor(memory.length / 4));
  const used = Array.from({ length: pages }, (_, page) => page).filter(
    (page) => isUsed(words, page) || page === pages - 1,
  );
  const head = Uint32Array.of(memory.length, used.length, ...used);
  const image = new Uint8Array(head.byteLength + used.length * PAGE);
  image.set(new Uint8Array(head.buffer));
  used.forEach((page, place) => {
    image.set(memory.subarray(page * PAGE, (page + 1) * PAGE), head.byteLength + place * PAGE);
  });
  return image.buffer;
}

/** Memory that holds nothing yet. @param {number} length in bytes */
export function emptyMemory(length) {
  return new Uint8Array(Math.ceil(length / PAGE) * PAGE).subarray(0, length); // the last page of an image is whole
}

/**
 * Throws where the image is one of more or less memory.
 * @param {ArrayBuffer} image
 * @param {Uint8Array} memory an empty one, of the length that the image had
 */
export function fillMemory(image, memory) {
  const [length, count] = new Uint32Array(image, 0, 2);
  if (length !== memory.length)
    throw new Error(`an image of ${length} bytes for a memory of ${memory.length}`);
  const used = new Uint32Array(image, 8, count);
  const from = used.byteOffset + used.byteLength;
  const whole = new Uint8Array(memory.buffer);
  used.forEach((page, place) => whole.set(new Uint8Array(image, from + place * PAGE, PAGE), page * PAGE));
}

function isUsed(words, page) {
  const end = Math.min((page + 1) * WORDS, words.length);
  for (let place = page * WORDS; place < end; place += 1) if (words[place]) return true;
  return false;
}
