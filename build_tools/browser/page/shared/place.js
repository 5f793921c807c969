/** Where this book lives: every name kept in the browser begins with it, for several books can share a host. */
import { decoded } from "./decoded.js";

/** The address of the book's root, with its closing slash; the service worker's scope is the same. */
export const scope = new URL("../../", import.meta.url).href;

const asked = decoded(location.pathname).slice(decoded(new URL(scope).pathname).length) || "index.html";

/** This page inside the book, such as "procedures/time-the-lip-fold.html", on a host that leaves the ending out too. */
export const pagePath = asked.endsWith(".html") ? asked : `${asked}.html`;
