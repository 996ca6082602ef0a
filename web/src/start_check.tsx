// At the bed, before beginning: what was measured and seen there, held against the limits by the garden's own program. What isn't answered
// keeps the sprayer shut.
import { useState } from "preact/hooks";
import { get, type Got } from "./api";
import type { Fields } from "./events";
import { Pick, TextField } from "./form_parts";
import { Limits, yesNo } from "./hour_strip";
import { Failure } from "./parts";
import type { SprayStart, YesNo } from "./spray_hours_types";
import { t } from "./state";

type Answers = Record<"people_clear" | "in_flower" | "dry" | "dry_ahead" | "drought", YesNo | "">;
const questions = ["people_clear", "in_flower", "dry", "dry_ahead", "drought"] as const;
const none: Answers = { people_clear: "", in_flower: "", dry: "", dry_ahead: "", drought: "" };

const metresPerSecond = { mph: 0.44704, kmh: 1 / 3.6 };

// `begin`: writes down that it was begun, as measured and seen.
export function StartCheck({ bed, product, us, busy: writing, begin }: { bed: string; product: string; us: boolean; busy: boolean; begin: (look: Fields) => void }) {
  const [wind, setWind] = useState("");
  const [temperature, setTemperature] = useState("");
  const [humidity, setHumidity] = useState("");
  const [answers, setAnswers] = useState<Answers>(none);
  const [got, setGot] = useState<Got<SprayStart> | null>(null);
  const [busy, setBusy] = useState(false);
  const [despite, setDespite] = useState("");
  const change = (set: (value: string) => void) => (value: string) => {
    set(value);
    setGot(null);
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
    setBusy(false);
  };
  const look = (): Fields => ({
    ...(wind === "" ? {} : { wind_m_s: Number(wind) * (us ? metresPerSecond.mph : metresPerSecond.kmh) }),
    ...(temperature === "" ? {} : { temperature_c: us ? ((Number(temperature) - 32) * 5) / 9 : Number(temperature) }),
    ...(humidity === "" ? {} : { humidity: Number(humidity) / 100 }),
    ...Object.fromEntries(questions.filter((question) => answers[question] !== "").map((question) => [question, answers[question] === "yes"])),
  });
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
            {got.value.may && <button type="button" class="button button-main" disabled={writing} onClick={() => begin(look())}>{t("pages.begin.submit")}</button>}
            {got.value.for_a_reason && (
              <>
                <TextField label={t("pages.begin.despite")} value={despite} change={setDespite} />
                <button type="button" class="button button-grave" disabled={writing || despite.trim() === ""} onClick={() => begin({ ...look(), despite })}>{t("pages.begin.despite_submit")}</button>
              </>
            )}
          </div>
        )}
      </div>
    </section>
  );
}
