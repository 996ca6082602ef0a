// Small hooks.
import { useEffect, useState } from "preact/hooks";
import { get, type Got } from "./api";
import { clock } from "./heard";
import { minute, news, noteUpto } from "./news";
import { language, units } from "./state";

// An answer of the API (nothing is asked while there is no path), asked again when the language or the units change, or when `again` does.
export function useAnswer<T>(path: string | null, again = 0): Got<T> | null {
  const [answer, setAnswer] = useState<{ path: string | null; got: Got<T> | null }>({ path, got: null });
  useEffect(() => {
    let current = true;
    if (path === null) return setAnswer({ path, got: null });
    void get<T>(path).then((got) => {
      // What is on the page stays there when only its renewal fails; how old it is shows.
      if (current) setAnswer((was) => (was.path === path && was.got?.ok === true && !got.ok && got.error === null ? was : { path, got }));
    });
    return () => {
      current = false;
    };
  }, [path, language.value, units.value, again]);
  return answer.path === path ? answer.got : null;
}

// The same for a page that is only read: asked again when the ledger grows.
export function useLive<T>(path: string | null, again = 0): Got<T> | null {
  const answer = useAnswer<T>(path, again + news.value);
  useEffect(() => {
    const upto = answer?.ok === true && !answer.kept ? (answer.value as { upto?: unknown }).upto : undefined;
    if (typeof upto === "number") noteUpto(upto);
  }, [answer]);
  return answer;
}

export const clearanceHolds = 3_600_000;

// May this answer's clearances still be relied on? After an hour the sign at the bed counts. An answer from a time to come means that nobody
// knows what time it is here.
export function isOld(at: string, now: number = clock.serverNow()): boolean {
  minute.value;
  const age = now - Date.parse(at);
  return !(age <= clearanceHolds && age > -600_000);
}
