// The hours of the next days in which a product may be sprayed: one cell an hour with a mark that needs no colour, the windows as a list, and
// for the hour that is chosen everything that speaks for or against it. One tab stop; arrows move from hour to hour.
import { useRef, useState } from "preact/hooks";
import { Pick } from "./form_parts";
import { time } from "./format";
import { Failure, Loading } from "./parts";
import type { HourState, SprayHour, SprayHours, SprayLimit, YesNo } from "./spray_hours_types";
import { dayAndTime, longDay, percent, t } from "./state";
import { useAnswer } from "./use";

const marks: Record<HourState, string> = { open: "●", care: "~", shut: "×", unknown: "?" };
const states: HourState[] = ["open", "care", "shut", "unknown"];

export function yesNo(): { value: YesNo; text: string }[] {
  return [{ value: "yes", text: t("pages.spray_hours.yes") }, { value: "no", text: t("pages.spray_hours.no") }];
}

// What speaks against it first; what fits last.
export function Limits({ limits }: { limits: SprayLimit[] }) {
  const order = ["stop", "unknown", "warn", "pass"];
  const sorted = [...limits].sort((a, b) => order.indexOf(a.state) - order.indexOf(b.state));
  return (
    <ul class="limits">
      {sorted.map((one) => (
        <li class={`limit limit-${one.state}`}>
          <span class="limit-state">{t(`pages.spray_hours.state_${one.state}`)}</span>
          <span>{one.text}</span>
        </li>
      ))}
    </ul>
  );
}

function Cells({ answer, chosen, choose }: { answer: SprayHours; chosen: number; choose: (hour: number) => void }) {
  const box = useRef<HTMLDivElement>(null);
  const days = new Map<string, { hour: SprayHour; index: number }[]>();
  answer.hours.forEach((hour, index) => {
    const day = hour.time.slice(0, 10);
    days.set(day, [...(days.get(day) ?? []), { hour, index }]);
  });
  const move = (event: KeyboardEvent) => {
    const by: Record<string, number> = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: 6, ArrowUp: -6 };
    const step = by[event.key];
    if (step === undefined) return;
    event.preventDefault();
    const next = Math.min(Math.max(chosen + step, 0), answer.hours.length - 1);
    choose(next);
    box.current?.querySelector<HTMLButtonElement>(`[data-hour="${next}"]`)?.focus();
  };
  return (
    <div ref={box} onKeyDown={move}>
      {[...days].map(([day, hours]) => (
        <section class="hour-day" aria-label={longDay(day)}>
          <h3>{longDay(day)}</h3>
          <div class="hour-row">
            {hours.map(({ hour, index }) => (
              <button
                type="button" data-hour={index} class={`hour hour-${hour.state}`} aria-pressed={index === chosen} tabIndex={index === chosen ? 0 : -1}
                aria-label={`${time(hour.time)}: ${t(`pages.spray_hours.${hour.state}`)}`} onClick={() => choose(index)}
              >
                <span class="hour-time">{time(hour.time).slice(0, 2)}</span>
                <span class="hour-mark" aria-hidden="true">{marks[hour.state]}</span>
              </button>
            ))}
          </div>
        </section>
      ))}
    </div>
  );
}

function Windows({ answer }: { answer: SprayHours }) {
  const span = (start: string, end: string) => t("pages.spray_hours.span", { start: dayAndTime(start), end: dayAndTime(end) });
  if (answer.windows.length > 0) {
    return (
      <ul class="windows">
        {answer.windows.map((one) => (
          <li>{span(one.start, one.end)}{one.chance !== null && <> · {t("pages.spray_hours.chance", { share: percent(one.chance) })}</>}</li>
        ))}
      </ul>
    );
  }
  if (answer.compromise === null) return <p class="warning">{t("pages.spray_hours.nothing")}</p>;
  return (
    <div class="warning">
      <p>{t("pages.spray_hours.compromise", { start: dayAndTime(answer.compromise.start), end: dayAndTime(answer.compromise.end) })}</p>
      <Limits limits={answer.compromise.gives} />
      {answer.compromise.costs.map((one) => <p>{one.text}</p>)}
    </div>
  );
}

// `told`: whether anything flowers, where the page asked it already.
export function HourStrip({ bed, product, told = "" }: { bed: string; product: string; told?: YesNo | "" }) {
  const [answered, setFlower] = useState<YesNo | "">("");
  const flower = told === "" ? answered : told;
  const [drought, setDrought] = useState<YesNo | "">("");
  const [chosen, setChosen] = useState(0);
  const asked = new URLSearchParams({ bed, product });
  if (flower !== "") asked.set("in_flower", flower);
  if (drought !== "") asked.set("drought", drought);
  const got = useAnswer<SprayHours>(`/api/spray-hours?${asked}`);
  const answer = got?.ok === true ? got.value : null;
  const hour = answer?.hours[chosen];
  const gentle = answer !== null && (answer.works === "oil" || answer.works === "soap");
  return (
    <section class="spray-hours" aria-labelledby="spray-hours-title">
      <h2 id="spray-hours-title">{t("pages.spray_hours.title")}</h2>
      {told === "" && <Pick label={t("pages.spray_hours.in_flower")} value={flower} change={setFlower} options={yesNo()} />}
      {gentle && <Pick label={t("pages.spray_hours.drought")} value={drought} change={setDrought} options={yesNo()} />}
      {got === null && <Loading />}
      {got !== null && !got.ok && <Failure error={got.error} />}
      {answer !== null && (
        <>
          {answer.notes.map((one) => <p class="warning">{one.text}</p>)}
          <h3>{t("pages.spray_hours.windows")}</h3>
          <Windows answer={answer} />
          <p class="hour-key">{states.map((state) => <span class={`key-${state}`}><span aria-hidden="true">{marks[state]}</span> {t(`pages.spray_hours.${state}`)}</span>)}</p>
          <Cells answer={answer} chosen={chosen} choose={setChosen} />
          {hour !== undefined && (
            <div class="hour-why" aria-live="polite">
              <h3>{dayAndTime(hour.time)}: {t(`pages.spray_hours.${hour.state}`)}{hour.chance !== null && <> · {t("pages.spray_hours.chance_open", { share: percent(hour.chance) })}</>}</h3>
              <Limits limits={hour.limits} />
            </div>
          )}
          <p class="hint">{answer.never_permission}</p>
        </>
      )}
    </section>
  );
}
