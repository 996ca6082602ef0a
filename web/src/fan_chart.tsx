// How many per plant, day by day: a hatched fan for nineteen times in twenty, a plain one for every second time, a line through the middle;
// what was counted as marks before it, the published threshold across it, and where the forecast ends. The table below says the same.
import { about, addDays, daysBetween, tick } from "./format";
import type { OutlookDay, Spread } from "./outlook_types";
import { day, language, percent, shortDay, t } from "./state";

const height = 190;
const left = 32;
const right = 6;
const top = 30;
const bottom = 24;
const daysBack = 21;

export interface Limit {
  value: number;
  label: string;
}

export interface FanMark {
  date: string;
  group: string | null;
  value: number;
}

export interface Fan {
  title: string;
  alt: string;
  days: { date: string; spread: Spread | null; over: number | null }[];
  marks: FanMark[];
  limit: Limit | null;
  today: string;
  weatherEnds: { on: string; label: string } | null;
}

function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1e-3, value)));
  return [1, 1.5, 2, 3, 4, 5, 6, 8, 10].map((k) => k * power).find((one) => one >= value * 0.999) ?? value;
}

// The widest days may run off the sheet, said in figures, so that the middle stays to be seen.
function highest(fan: Fan): number {
  const told = fan.days.flatMap((one) => (one.spread === null ? [] : [one.spread]));
  const wide = Math.max(0, ...told.map((one) => one.p975));
  const usual = Math.max(0, ...told.map((one) => one.p75)) * 2;
  return Math.max(Math.min(wide, usual), (fan.limit?.value ?? 0) * 1.25, ...fan.marks.map((one) => one.value * 1.1), 0.2);
}

type Scale = (value: number) => number;

function band(days: Fan["days"], low: keyof Spread, high: keyof Spread, x: (on: string) => number, y: Scale): string {
  const runs: string[] = [];
  let run: { x: number; low: number; high: number }[] = [];
  const close = () => {
    if (run.length > 1) runs.push(`M${run.map((p) => `${p.x.toFixed(1)} ${p.high.toFixed(1)}`).join("L")}L${[...run].reverse().map((p) => `${p.x.toFixed(1)} ${p.low.toFixed(1)}`).join("L")}Z`);
    run = [];
  };
  for (const one of days) {
    if (one.spread === null) close();
    else run.push({ x: x(one.date), low: y(one.spread[low]), high: y(one.spread[high]) });
  }
  close();
  return runs.join("");
}

function middle(days: Fan["days"], x: (on: string) => number, y: Scale): string {
  let path = "";
  let drawing = false;
  for (const one of days) {
    if (one.spread !== null) path += `${drawing ? "L" : "M"}${x(one.date).toFixed(1)} ${y(one.spread.p50).toFixed(1)}`;
    drawing = one.spread !== null;
  }
  return path;
}

// A mark of its own shape for each stage group, so that none is told by colour alone.
function TakenMark({ one, x, y }: { one: FanMark; x: number; y: number }) {
  if (one.group === "egg") return <circle class="fan-taken" cx={x} cy={y} r="3.4" />;
  if (one.group === "adult") return <path class="fan-taken fan-full" d={`M${x} ${y - 4.6}l4.300 8h-8.600z`} />;
  return <circle class="fan-taken fan-full" cx={x} cy={y} r="3.2" />;
}

function Drawing({ fan, id, width }: { fan: Fan; id: string; width: number }) {
  const oldest = addDays(fan.today, -daysBack);
  const marks = fan.marks.filter((one) => one.date >= oldest);
  const last = fan.days[fan.days.length - 1]?.date ?? fan.today;
  const first = [addDays(fan.today, -2), ...marks.map((one) => addDays(one.date, -1))].sort()[0] ?? fan.today;
  const span = Math.max(1, daysBetween(first, last));
  const x = (on: string) => left + (daysBetween(first, on) / span) * (width - left - right);
  const most = roundUp(highest({ ...fan, marks }));
  const y: Scale = (value) => top + (1 - Math.min(value, most) / most) * (height - top - bottom);
  const ticks = Array.from({ length: Math.floor(span / 7) + 1 }, (_, i) => addDays(fan.today, (i - Math.floor(daysBetween(first, fan.today) / 7)) * 7)).filter((on) => on <= last);
  const off = fan.days.filter((one) => one.spread !== null && one.spread.p975 > most).sort((a, b) => (b.spread?.p975 ?? 0) - (a.spread?.p975 ?? 0))[0];
  const now = x(fan.today);
  const endsLate = fan.weatherEnds !== null && x(fan.weatherEnds.on) > width - 150;
  const roomy = now - left > 90;
  const every = x(addDays(fan.today, 7)) - now < 44 ? 2 : 1;
  return (
    <svg viewBox={`0 0 ${width} ${height}`} focusable="false">
      <defs>
        <pattern id={id} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <line class="fan-hatch" x1="0" x2="0" y1="0" y2="5" />
        </pattern>
      </defs>
      {[0, 0.5, 1].map((part) => (
        <g>
          <line class="cal-month" x1={left} x2={width - right} y1={y(part * most)} y2={y(part * most)} />
          <text class="cal-label" text-anchor="end" x={left - 4} y={y(part * most) + 3}>{tick(part * most, language.value)}</text>
        </g>
      ))}
      {ticks.filter((on) => Math.round(daysBetween(fan.today, on) / 7) % every === 0).map((on) => (
        <g>
          <line class="cal-month" x1={x(on)} x2={x(on)} y1={top} y2={height - bottom + 3} />
          <text class="cal-label" text-anchor={x(on) > width - 24 ? "end" : "middle"} x={Math.min(x(on), width - 2)} y={height - 7}>{on === fan.today ? t("pages.timeline.today") : shortDay(on)}</text>
        </g>
      ))}
      <path class="fan-wide" d={band(fan.days, "p025", "p975", x, y)} fill={`url(#${id})`} />
      <path class="fan-half" d={band(fan.days, "p25", "p75", x, y)} />
      <path class="fan-middle" d={middle(fan.days, x, y)} />
      <line class="cal-today" x1={now} x2={now} y1={top} y2={height - bottom} />
      {fan.weatherEnds !== null && fan.weatherEnds.on < last && (
        <g>
          <line class="fan-weather" x1={x(fan.weatherEnds.on)} x2={x(fan.weatherEnds.on)} y1={top - 10} y2={height - bottom} />
          <text class="cal-label" text-anchor={endsLate ? "end" : "start"} x={x(fan.weatherEnds.on) + (endsLate ? -3 : 3)} y={top - 5}>{fan.weatherEnds.label}</text>
        </g>
      )}
      {off !== undefined && off.spread !== null && <text class="cal-label" text-anchor="end" x={width - right} y="11">{t("pages.outlook.off_sheet", { n: about(off.spread.p975, language.value) })}</text>}
      {fan.limit !== null && (
        <g>
          <line class="fan-limit" x1={left} x2={width - right} y1={y(fan.limit.value)} y2={y(fan.limit.value)} />
          <text class="fan-limit-label" text-anchor={roomy ? "start" : "end"} x={roomy ? left + 3 : width - right - 3} y={y(fan.limit.value) - 4}>{fan.limit.label}</text>
        </g>
      )}
      {marks.map((one) => <TakenMark one={one} x={x(one.date)} y={y(one.value)} />)}
    </svg>
  );
}

// `width`: of the sheet in its own units, about as many as pixels where it stands, so that its words keep their size.
export function FanChart({ fan, id, width }: { fan: Fan; id: string; width: number }) {
  const told = fan.days.filter((one) => one.spread !== null);
  if (told.length === 0) return null;
  const chance = told.some((one) => one.over !== null);
  const n = (value: number) => about(value, language.value);
  return (
    <figure class="fan">
      <figcaption>{fan.title}</figcaption>
      <div class="calendar-sheet stage-sheet fan-sheet" role="img" aria-label={fan.alt}><Drawing fan={fan} id={id} width={width} /></div>
      <details>
        <summary>{t("pages.outlook.in_figures")}<span class="sr-only">: {fan.title}</span></summary>
        <table class="stage-table fan-table">
          <caption class="sr-only">{fan.title}</caption>
          <thead>
            <tr>
              {["day", "middle", "half", "wide"].map((key) => <th scope="col">{t(`pages.outlook.column_${key}`)}</th>)}
              {chance && <th scope="col">{t("pages.outlook.column_over")}</th>}
            </tr>
          </thead>
          <tbody>
            {told.map(({ date, spread, over }) => spread !== null && (
              <tr>
                <th scope="row">{day(date)}</th>
                <td>{n(spread.p50)}</td>
                <td>{n(spread.p25)}–{n(spread.p75)}</td>
                <td>{n(spread.p025)}–{n(spread.p975)}</td>
                {chance && <td>{over === null ? "–" : percent(over)}</td>}
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  );
}

export function fanDays(days: OutlookDay[], read: (one: OutlookDay) => Spread | null | undefined, over: boolean): Fan["days"] {
  return days.map((one) => ({ date: one.date, spread: read(one) ?? null, over: over ? one.p_over : null }));
}
