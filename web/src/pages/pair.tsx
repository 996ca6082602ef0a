// On the phone: the lead's code turns this device into one of the garden's.
import { useState } from "preact/hooks";
import { ask } from "../api";
import { Field, Pick, TextField } from "../form_parts";
import type { Language } from "../format";
import { roleName } from "../may";
import { day, go, language, remember, t } from "../state";
import { askWho, me, waiting } from "../sync";
import type { Me } from "../types";

// The code stands after the '#', where no server and no log sees it; it doesn't stay in the address either.
function codeInAddress(): string {
  const code = decodeURIComponent(location.hash.slice(1));
  if (code !== "") history.replaceState(null, "", location.pathname);
  return code.length === 8 ? `${code.slice(0, 4)}-${code.slice(4)}` : code;
}

function kindOfDevice(): string {
  if (/iPad|Tablet/.test(navigator.userAgent)) return t("pages.pair.tablet");
  return /Mobi|Android|iPhone/.test(navigator.userAgent) ? t("pages.pair.phone") : t("pages.pair.computer");
}

function Done({ who }: { who: Me }) {
  return (
    <div class="form">
      <header class="masthead masthead-form"><h1>{t("pages.pair.title")}</h1></header>
      <div class="ending ending-saved" role="status">
        <p><strong>{t("pages.pair.done", { name: who.name ?? "", role: roleName(who.role) })}</strong></p>
        <p class="role-hint">{t(`access.role_hint.${who.role}`)}</p>
        {who.session !== null && <p>{t("pages.pair.done_ends", { day: day(who.session.ends) })}</p>}
      </div>
      <button type="button" class="button button-main" onClick={() => go("/")}>{t("pages.pair.begin")}</button>
    </div>
  );
}

export function PairPage() {
  const [code, setCode] = useState(codeInAddress);
  const [device, setDevice] = useState(kindOfDevice);
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  const [done, setDone] = useState<Me | null>(null);
  const pair = async () => {
    setBusy(true);
    setRefused(null);
    const got = await ask<Me>("/api/pair", { code, device });
    setBusy(false);
    if (!got.ok) return setRefused(got.error?.text ?? t("pages.error.unreached"));
    await askWho();
    setDone(got.value);
  };
  if (done !== null) return <Done who={done} />;
  const now = me.value;
  return (
    <form class="form" onSubmit={(event) => { event.preventDefault(); void pair(); }}>
      <header class="masthead masthead-form">
        <h1>{t("pages.pair.title")}</h1>
        <p class="intro">{t("pages.pair.intro")}</p>
      </header>
      {waiting().length > 0 && <p class="hint">{t("pages.sync.unpaired_kept", { n: waiting().length })}</p>}
      {now?.session != null && <p class="hint">{t("pages.pair.already", { name: now.name ?? "", role: roleName(now.role) })}</p>}
      <Pick<Language> label={t("pages.settings.language")} value={language.value}
        change={(value) => { language.value = value; remember("lang", value); }}
        options={[{ value: "en", text: "English" }, { value: "es", text: "Español" }]} />
      <Field label={t("pages.pair.code")} hint={t("pages.pair.code_hint")}>
        {(id, hintId) => (
          <input id={id} class="code-input" type="text" aria-describedby={hintId} value={code} required maxLength={12} autocomplete="one-time-code"
            autocapitalize="characters" spellcheck={false} onInput={(event) => setCode(event.currentTarget.value)} />
        )}
      </Field>
      <TextField label={t("pages.pair.device")} hint={t("pages.pair.device_hint")} value={device} change={setDevice} required />
      {refused !== null && <div class="ending ending-refused" role="alert"><p>{refused}</p></div>}
      <button class="button button-main" disabled={busy || code.trim() === "" || device.trim() === ""}>{busy ? t("pages.pair.busy") : t("pages.pair.submit")}</button>
    </form>
  );
}
