// Open pages hear when the ledger grows: by the server's events, or by asking now and then where those can't be had. Only a page in sight
// listens: browsers allow a place few connections, and an open page costs the server one.
import { signal } from "@preact/signals";
import { get } from "./api";

export const news = signal(0); // rises when there is something new to show
export const minute = signal(0); // rises as time goes by, for what grows old

const pollEvery = 30_000;
const listenAgainAfter = 300_000;
const growsOldAfter = 600_000;

let seq = -1;
let source: EventSource | null = null;
let pollTimer = 0;
let soon = 0;
let shownAt = 0;

function tell(): void {
  // Several entries in a row are one piece of news, and not every page asks in the same moment.
  if (soon !== 0) return;
  soon = window.setTimeout(() => {
    soon = 0;
    shownAt = performance.now();
    news.value++;
  }, 300 + Math.random() * 900);
}

export function noteSeq(last: number): void {
  if (last === seq) return;
  const first = seq === -1;
  seq = last;
  if (!first) tell();
}

// An answer made while others wrote may lack their latest entries: asked again when the server has had time for them.
export function noteUpto(upto: number): void {
  if (upto < seq) window.setTimeout(tell, 2_000);
}

async function poll(): Promise<void> {
  const got = await get<{ events: number }>("/api/health");
  if (got.ok && !got.kept) noteSeq(got.value.events);
}

function stop(): void {
  source?.close();
  source = null;
  window.clearInterval(pollTimer);
  pollTimer = 0;
}

function startPolling(): void {
  if (pollTimer !== 0) return;
  pollTimer = window.setInterval(() => void poll(), pollEvery);
  window.setTimeout(listen, listenAgainAfter);
}

function listen(): void {
  if (document.hidden || source !== null) return;
  if (typeof EventSource === "undefined") return startPolling();
  source = new EventSource("/api/news");
  source.addEventListener("news", (event) => {
    try {
      const said = JSON.parse((event as MessageEvent<string>).data) as { seq?: unknown };
      if (typeof said.seq === "number") noteSeq(said.seq);
    } catch {
      // no news of ours
    }
  });
  source.addEventListener("open", () => {
    window.clearInterval(pollTimer);
    pollTimer = 0;
  });
  source.addEventListener("error", () => {
    // A connection that broke comes back by itself; a refused one doesn't.
    if (source?.readyState !== EventSource.CLOSED) return;
    source = null;
    startPolling();
  });
}

export function startNews(): void {
  shownAt = performance.now();
  listen();
  document.addEventListener("visibilitychange", () => {
    minute.value++;
    if (document.hidden) return stop();
    void poll();
    listen();
  });
  window.setInterval(() => {
    minute.value++;
    if (!document.hidden && performance.now() - shownAt > growsOldAfter) tell();
  }, 30_000);
}
