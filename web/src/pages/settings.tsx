// Language, units and the name in the records.
import { useState } from "preact/hooks";
import { ask } from "../api";
import { paired } from "../heard";
import { Choice, Pick, TextField } from "../form_parts";
import { mayDo, roleName } from "../may";
import { Link } from "../parts";
import { by, day, go, language, remember, t, units, type UnitsChoice } from "../state";
import { forgetWho, me } from "../sync";
import type { Language } from "../format";

// Who this device is, and the way out of it.
function ThisDevice() {
  const [sure, setSure] = useState(false);
  const who = me.value;
  if (who === null) return null;
  const signOut = async () => {
    if (!(await ask<unknown>("/api/sign-out", {})).ok) return;
    await forgetWho();
    paired.value = false;
    go("/pair");
  };
  return (
    <section class="this-device" aria-labelledby="this-device">
      <h2 id="this-device">{t("pages.me.title")}</h2>
      {who.session === null
        ? <p>{t("pages.me.here")}</p>
        : <>
            <p><strong>{t("pages.me.you", { name: who.name ?? "", role: roleName(who.role) })}</strong> {who.session.device}</p>
            <p class="hint">{t("pages.me.ends", { day: day(who.session.ends) })}</p>
          </>}
      {mayDo("see_garden") && <p><Link to="/cards" class="button">{t("pages.cards.title")}</Link></p>}
      {mayDo("manage_people") && <p><Link to="/people" class="button">{t("pages.me.people")}</Link></p>}
      {who.session !== null && (sure
        ? <p><button type="button" class="button button-grave button-main" onClick={() => void signOut()}>{t("pages.me.sign_out_sure")}</button></p>
        : <p><button type="button" class="button button-quiet" onClick={() => setSure(true)}>{t("pages.me.sign_out")}</button></p>)}
    </section>
  );
}

export function SettingsPage() {
  return (
    <div class="form">
      <header class="masthead masthead-form"><h1>{t("pages.settings.title")}</h1></header>
      <Pick<Language> label={t("pages.settings.language")} value={language.value}
        change={(value) => { language.value = value; remember("lang", value); }}
        options={[{ value: "en", text: "English" }, { value: "es", text: "Español" }]} />
      <Choice label={t("pages.settings.units")} value={units.value}
        change={(value) => { units.value = value === "metric" || value === "us" ? value : "garden"; remember("units", units.value); }}
        options={(["garden", "metric", "us"] satisfies UnitsChoice[]).map((one) => ({ value: one, text: t(`pages.settings.units_${one}`) }))} />
      {me.value?.person == null && <TextField label={t("pages.settings.by")} hint={t("pages.common.by_hint")} value={by.value} change={(value) => { by.value = value; remember("by", value); }} />}
      <ThisDevice />
      <p class="hint">{t("pages.settings.kept")}</p>
      {mayDo("see_records") && <p><Link to="/records" class="button">{t("pages.records.title")}</Link></p>}
      <p><Link to="/sync" class="button">{t("pages.sync.title")}</Link></p>
    </div>
  );
}
