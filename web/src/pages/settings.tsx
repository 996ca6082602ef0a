// Language, units and the name in the records.
import { Choice, Pick, TextField } from "../form_parts";
import { Link } from "../parts";
import { by, language, remember, t, units, type UnitsChoice } from "../state";
import type { Language } from "../format";

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
      <TextField label={t("pages.settings.by")} hint={t("pages.common.by_hint")} value={by.value} change={(value) => { by.value = value; remember("by", value); }} />
      <p class="hint">{t("pages.settings.kept")}</p>
      <p><Link to="/sync" class="button">{t("pages.sync.title")}</Link></p>
    </div>
  );
}
