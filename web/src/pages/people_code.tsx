// A code that pairs one phone: drawn, spelled, and watched until a phone has used it.
import { useEffect, useState } from "preact/hooks";
import { ask, get } from "../api";
import { clock } from "../heard";
import type { OpenCode, Person, Session } from "../people_types";
import { t } from "../state";

const look = 2_000;

// By this device's own clock: the server's may differ.
function localTime(msFromNow: number): string {
  const at = new Date(Date.now() + msFromNow);
  return `${String(at.getHours()).padStart(2, "0")}:${String(at.getMinutes()).padStart(2, "0")}`;
}

export function CodePanel({ person, had, close, paired }: { person: Person; had: string[]; close: () => void; paired: () => void }) {
  const [round, setRound] = useState(0);
  const [code, setCode] = useState<OpenCode | null>(null);
  const [until, setUntil] = useState("");
  const [refused, setRefused] = useState<string | null>(null);
  const [over, setOver] = useState(false);
  const [device, setDevice] = useState<string | null>(null);
  const known = useState(had)[0];
  useEffect(() => {
    let current = true;
    setOver(false);
    let end: number | undefined;
    void ask<OpenCode>("/api/pairings", { person: person.id }).then((got) => {
      if (!current) return;
      setCode(got.ok ? got.value : null);
      setRefused(got.ok ? null : got.error?.text ?? t("pages.error.unreached"));
      if (!got.ok) return;
      const lasts = Date.parse(got.value.until) - clock.serverNow();
      setUntil(localTime(lasts));
      end = window.setTimeout(() => setOver(true), lasts);
    });
    return () => {
      current = false;
      window.clearTimeout(end);
    };
  }, [round]);
  useEffect(() => {
    if (code === null || over || device !== null) return;
    const timer = window.setInterval(() => void get<{ sessions: Session[] }>("/api/sessions").then((got) => {
      const fresh = got.ok ? got.value.sessions.find((one) => one.person === person.id && one.live && !known.includes(one.id)) : undefined;
      if (fresh === undefined) return;
      setDevice(fresh.device);
      paired();
    }), look);
    return () => window.clearInterval(timer);
  }, [code, over, device]);
  if (device !== null) {
    return (
      <div class="code-panel" role="status">
        <p><strong>{t("pages.people.paired", { device })}</strong></p>
        <button type="button" class="button" onClick={close}>{t("pages.people.close")}</button>
      </div>
    );
  }
  return (
    <div class="code-panel" role="group" aria-label={t("pages.people.pair_of", { name: person.name })}>
      {refused !== null && <div class="ending ending-refused" role="alert"><p>{refused}</p></div>}
      {over && <p class="warning">{t("pages.people.over")}</p>}
      {code !== null && !over && (
        <>
          {!code.reachable && <p class="warning">{t("pages.people.unreachable")}</p>}
          <p>{t("pages.people.scan")}</p>
          <img class="qr" width="232" height="232" alt={t("pages.people.qr")} src={`data:image/svg+xml,${encodeURIComponent(code.qr_svg)}`} />
          <p>{t("pages.people.typed", { page: code.page })}</p>
          <p class="code">{code.code.slice(0, 4)}-{code.code.slice(4)}</p>
          <p class="hint">{t("pages.people.until", { time: until })}</p>
        </>
      )}
      <p class="buttons">
        {over && <button type="button" class="button" onClick={() => setRound((n) => n + 1)}>{t("pages.people.pair_again")}</button>}
        <button type="button" class="button button-quiet" onClick={close}>{t("pages.people.close")}</button>
      </p>
    </div>
  );
}
