// Which addresses the service worker minds, apart from it so that they can be tested.

// Answers worth having without a signal: what the pages show of the garden. Never who is who, what a session may, or the ledger itself.
const keptAnswers = [/^\/api\/(brief|board|garden|words|weather|outlook|seasons)$/, /^\/api\/beds\/[^/]+$/, /^\/api\/pests\/[^/]+$/, /^\/api\/seasons\/[^/]+$/];
// Pages of their own documents, or none of ours.
const notShown = [/^\/api\//, /^\/counting$/, /^\/pair/, /^\/healthz$/, /^\/guide/];

export function isShown(path: string): boolean {
  return !notShown.some((pattern) => pattern.test(path)) && !path.includes(".");
}

export function named(path: string): "part" | "answer" | null {
  if (["/app.js", "/app.css", "/icon.svg", "/manifest.webmanifest"].includes(path)) return "part";
  return keptAnswers.some((pattern) => pattern.test(path)) ? "answer" : null;
}

// The oldest beyond so many: caches give their keys in order of putting.
export function trimmed<T>(keys: readonly T[], most: number): readonly T[] {
  return keys.length > most ? keys.slice(0, keys.length - most) : [];
}

export function keptCopy(response: Response): Response {
  const headers = new Headers(response.headers);
  headers.set("X-Leafturn-Kept", "1");
  return new Response(response.body, { status: response.status, headers });
}
