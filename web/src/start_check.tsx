// At the bed, before beginning: what was measured and seen there, held against the limits by the garden's own program. What isn't answered
// keeps the sprayer shut.
import { useState } from "preact/hooks";
import { get, type Got } from "./api";
import { Pick, TextField } from "./form_parts";
import { Limits, yesNo } from "./hour_strip";
import { Failure } from "./parts";
import type { SprayStart, YesNo } from "./spray_hours_types";
import { t } from "./state";

type Answers = Record<"people_clear" | "in_flower" | "dry" | "dry_ahead" | "drought", YesNo | "">;
const questions = ["people_clear", "in_flower", "dry", "dry_ahead", "drought"] as const;
const none: Answers = { people_clear: "", in_flower: "", dry: "", dry_ahead: "", drought: "" };

// `keep`: what was measured, in words, for the record; nothing while it doesn't hold.
export function StartCheck({ bed, product, us, keep }: { bed: string; product: string; us: boolean; keep: (measured: string) => void }) {
  const [wind, setWind] = useState("");
  const [temperature, setTemperature] = useState("");
  const [humidity, setHumidity] = useState("");
  const [answers, setAnswers] = useState<Answers>(none);
  const [got, setGot] = useState<Got<SprayStart> | null>(null);
  const [busy, setBusy] = useState(false);
  const change = (set: (value: string) => void) => (value: string) => {
    set(value);
    setGot(null);
    keep("");
  };
  const check = async () => {
    setBusy(true);
    const asked = new URLSearchParams({ bed, product });
    if (wind !== "") asked.set("wind", `${wind}${us ? "mph" : "km/h"}`);
    if (temperature !== "") asked.set("temperature", `${temperature}${us ? "F" : "C"}`);
    if (humidity !== "") asked.set("humidity", humidity);
    for (const question of questions) if (answers[question] !== "") asked.set(question, answers[question]);
    const answer = await get<SprayStart>(`/api/spray-start?${asked}`);
    setGot(answer);
    keep(answer.ok && answer.value.may ? t("pages.spray_start.kept", {
      time: new Date().toLocaleTimeString(undefined, { hour: "2-digit", minute: "2-digit", hour12: false }),
      wind: `${wind} ${us ? "mph" : "km/h"}`, temperature: `${temperature} ${us ? "°F" : "°C"}`, humidity: humidity === "" ? "?" : humidity,
      flower: t(`pages.spray_hours.${answers.in_flower === "yes" ? "yes" : "no"}`),
    }) : "");
    setBusy(false);
  };
  return (
    <section class="start-check" aria-labelledby="start-check-title">
      <h2 id="start-check-title">{t("pages.spray_start.title")}</h2>
      <p>{t("pages.spray_start.intro")}</p>
      <TextField label={t(us ? "pages.spray_start.wind_mph" : "pages.spray_start.wind_kmh")} type="number" value={wind} change={change(setWind)} />
      <TextField label={t(us ? "pages.spray_start.temperature_f" : "pages.spray_start.temperature_c")} type="number" value={temperature} change={change(setTemperature)} />
      <TextField label={t("pages.spray_start.humidity")} hint={t("pages.common.optional")} type="number" value={humidity} change={change(setHumidity)} />
      {questions.map((question) => (
        <Pick
          label={t(`pages.spray_start.${question}`)} value={answers[question]} options={yesNo()}
          change={(value: YesNo) => {
            setAnswers((was) => ({ ...was, [question]: value }));
            setGot(null);
            keep("");
          }}
        />
      ))}
      <button type="button" class="button button-main" disabled={busy} onClick={() => void check()}>{t("pages.spray_start.check")}</button>
      <div aria-live="polite">
        {got !== null && !got.ok && <Failure error={got.error} />}
        {got?.ok === true && (
          <div class={got.value.may ? "start-may" : "no-way"}>
            <p><strong>{got.value.text}</strong></p>
            <Limits limits={got.value.limits} />
          </div>
        )}
      </div>
    </section>
  );
}
