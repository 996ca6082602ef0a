// Small hooks.
import { useEffect, useState } from "preact/hooks";
import { get, type Got } from "./api";
import { language, units } from "./state";

// An answer of the API (nothing is asked while there is no path), asked again when the language or the units change, or when `again` does.
export function useAnswer<T>(path: string | null, again = 0): Got<T> | null {
  const [answer, setAnswer] = useState<Got<T> | null>(null);
  useEffect(() => {
    let current = true;
    if (path === null) return setAnswer(null);
    void get<T>(path).then((got) => {
      if (current) setAnswer(got);
    });
    return () => {
      current = false;
    };
  }, [path, language.value, units.value, again]);
  return answer;
}
