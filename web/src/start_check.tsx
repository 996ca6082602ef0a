// At the bed, before beginning: what was measured and seen there, held against the limits by the garden's own program. What isn't answered
// keeps the sprayer shut.
import { useEffect, useRef, useState } from "preact/hooks";
import { get, type Got } from "./api";
import type { Fields } from "./events";
import { Pick, TextField } from "./form_parts";
import { metresPerFoot } from "./format";
import { Limits, yesNo } from "./hour_strip";
import { Failure } from "./parts";
import type { SprayStart, YesNo } from "./spray_hours_types";
import { t } from "./state";

const questions = ["people_clear", "in_flower", "dry", "dry_ahead", "drought", "overcast"] as const;
type Answers = Record<(typeof questions)[number], YesNo | "">;
const none: Answers = { people_clear: "", in_flower: "", dry: "", dry_ahead: "", drought: "", overcast: "" };

function peopleQuestion(metres: number | null, us: boolean): string {
  if (metres === null) return t("pages.spray_start.people_clear");
  if (metres === 0) return t("pages.spray_start.people_clear_bed");
  return t("pages.spray_start.people_clear_within", { distance: us ? `${Math.round(metres / metresPerFoot)} ft` : `${Math.ceil(metres)} m` });
}

const metresPerSecond = { mph: 0.44704, kmh: 1 / 3.6 };

// `begin`: writes down that it was begun, as measured and seen.
export function StartCheck({ bed, product, plan, us, busy: writing, begin }: { bed: string; product: string; plan: string; us: boolean; busy: boolean; begin: (look: Fields) => void }) {
  const [wind, setWind] = useState("");
  const [temperature, setTemperature] = useState("");
  const [humidity, setHumidity] = useState("");
  const [answers, setAnswers] = useState<Answers>(none);
  const [got, setGot] = useState<Got<SprayStart> | null>(null);
  const asking = useRef(0); // what was changed since makes an answer under way worthless
  const [busy, setBusy] = useState(false);
  const [despite, setDespite] = useState("");
  const [height, setHeight] = useState("");
  const [distance, setDistance] = useState<number | null>(null);
  const forget = () => {
    asking.current += 1;
    setGot(null);
  };
  const change = (set: (value: string) => void) => (value: string) => {
    set(value);
    forget();
  };
  const question = () => {
    const asked = new URLSearchParams({ bed, product, plan });
    if (height !== "") asked.set("nozzle_height", `${height}${us ? "in" : "cm"}`);
    return asked;
  };
  // How far people must be follows from the droplets and the nozzle's height: told with the question, not after it.
  useEffect(() => {
    let wanted = true;
    void get<SprayStart>(`/api/spray-start?${question()}`).then((answer) => {
      if (!wanted) return;
      const metres = answer.ok ? answer.value.people_distance_m : null;
      // A yes was said of the distance asked for then.
      if (metres !== distance) setAnswers((was) => ({ ...was, people_clear: "" }));
      setDistance(metres);
    });
    return () => { wanted = false; };
  }, [height]);
  const check = async () => {
    setBusy(true);
    const asked = question();
    const number = (asking.current += 1);
    if (wind !== "") asked.set("wind", `${wind}${us ? "mph" : "km/h"}`);
    if (temperature !== "") asked.set("temperature", `${temperature}${us ? "F" : "C"}`);
    if (humidity !== "") asked.set("humidity", humidity);
    for (const name of questions) if (answers[name] !== "") asked.set(name, answers[name]);
    const answer = await get<SprayStart>(`/api/spray-start?${asked}`);
    if (number === asking.current) setGot(answer);
    setBusy(false);
  };
  const look = (): Fields => ({
    ...(wind === "" ? {} : { wind_m_s: Number(wind) * (us ? metresPerSecond.mph : metresPerSecond.kmh) }),
    ...(temperature === "" ? {} : { temperature_c: us ? ((Number(temperature) - 32) * 5) / 9 : Number(temperature) }),
    ...(humidity === "" ? {} : { humidity: Number(humidity) / 100 }),
    ...(height === "" ? {} : { nozzle_height_m: Number(height) * (us ? 0.0254 : 0.01) }),
    ...Object.fromEntries(questions.filter((question) => answers[question] !== "").map((question) => [question, answers[question] === "yes"])),
  });
  return (
    <section class="start-check" aria-labelledby="start-check-title">
      <h2 id="start-check-title">{t("pages.spray_start.title")}</h2>
      <p>{t("pages.spray_start.intro")}</p>
      <TextField label={t(us ? "pages.spray_start.wind_mph" : "pages.spray_start.wind_kmh")} type="number" value={wind} change={change(setWind)} />
      <TextField label={t(us ? "pages.spray_start.temperature_f" : "pages.spray_start.temperature_c")} type="number" value={temperature} change={change(setTemperature)} />
      <TextField label={t("pages.spray_start.humidity")} hint={t("pages.common.optional")} type="number" value={humidity} change={change(setHumidity)} />
      <TextField label={t(us ? "pages.spray_start.height_in" : "pages.spray_start.height_cm")} hint={t("pages.spray_start.height_hint")} type="number" value={height} change={change(setHeight)} />
      {questions.map((question) => (
        <Pick
          label={question === "people_clear" ? peopleQuestion(distance, us) : t(`pages.spray_start.${question}`)} value={answers[question]} options={yesNo()}
          change={(value: YesNo) => {
            setAnswers((was) => ({ ...was, [question]: value }));
            forget();
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
