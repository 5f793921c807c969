/** SHA-256 as text, and a file's name that carries it. */

/** @param {BufferSource} bytes @returns {Promise<string>} 64 signs */
export async function hexHash(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
