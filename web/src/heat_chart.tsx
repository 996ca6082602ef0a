// Degree-days so far: this year, last year, the usual with the range of all earlier years, and where the next events stand.
import { daysBetween } from "./format";
import { day, t } from "./state";
import type { ComingEvent, HeatComparison, HeatDay } from "./season_types";

const width = 640;
const height = 220;
const left = 48;
const bottom = 26;
const right = 8;

function line(days: HeatDay[], read: (one: HeatDay) => number | null, x: (on: string) => number, y: (heat: number) => number): string {
  let path = "";
  let drawing = false;
  for (const one of days) {
    const heat = read(one);
    if (heat === null) {
      drawing = false;
      continue;
    }
    path += `${drawing ? "L" : "M"}${x(one.date).toFixed(1)} ${y(heat).toFixed(1)}`;
    drawing = true;
  }
  return path;
}

function roundUp(value: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.max(1, value)));
  return [1, 2, 2.5, 5, 10].map((k) => k * power).find((one) => one >= value) ?? value;
}

export function HeatChart({ heat, today, coming, us }: { heat: HeatComparison; today: string; coming: ComingEvent[]; us: boolean }) {
  if (heat.days.length < 2) return null;
  const scale = us ? 1.8 : 1;
  const first = heat.days[0]?.date ?? today;
  const all = heat.days.flatMap((one) => [one.this_year, one.high, one.last_year]).filter((one): one is number => one !== null);
  const most = roundUp(Math.max(...all, 1) * scale);
  const span = Math.max(1, daysBetween(first, heat.days[heat.days.length - 1]?.date ?? today));
  const x = (on: string) => left + (daysBetween(first, on) / span) * (width - left - right);
  const y = (value: number) => 10 + (1 - (value * scale) / most) * (height - 10 - bottom);
  const banded = heat.days.filter((one) => one.low !== null && one.high !== null);
  const band = banded.length < 2 ? "" : `M${banded.map((one) => `${x(one.date).toFixed(1)} ${y(one.high ?? 0).toFixed(1)}`).join("L")}L${[...banded].reverse().map((one) => `${x(one.date).toFixed(1)} ${y(one.low ?? 0).toFixed(1)}`).join("L")}Z`;
  const events = heat.now === null ? [] : coming.filter((one) => one.heat_left_c !== null).slice(0, 3);
  const months = heat.days.filter((one) => one.date.endsWith("-01"));
  return (
    <figure class="heat">
      <figcaption>{t(us ? "pages.season.heat_f" : "pages.season.heat_c", { since: heat.since === null ? "" : day(heat.since) })}{heat.in_soil && ` (${t("pages.season.in_soil")})`}</figcaption>
      <div class="calendar-sheet" tabIndex={0} role="img" aria-label={t("pages.season.heat_alt")}>
      <svg viewBox={`0 0 ${width} ${height}`} focusable="false">
        {[0, 0.25, 0.5, 0.75, 1].map((part) => (
          <g>
            <line class="cal-month" x1={left} x2={width - right} y1={y((part * most) / scale)} y2={y((part * most) / scale)} />
            <text class="cal-label" text-anchor="end" x={left - 5} y={y((part * most) / scale) + 4}>{Math.round(part * most)}</text>
          </g>
        ))}
        {months.map((one) => <text class="cal-label" x={x(one.date)} y={height - 8}>{t(`pages.season.month_${one.date.slice(5, 7)}`)}</text>)}
        {band !== "" && <path class="heat-band" d={band} />}
        <path class="heat-usual" d={line(heat.days, (one) => one.normal, x, y)} />
        <path class="heat-last" d={line(heat.days, (one) => one.last_year, x, y)} />
        <path class="heat-now" d={line(heat.days, (one) => one.this_year, x, y)} />
        {events.map((one) => {
          const sum = (heat.now ?? 0) + (one.heat_left_c ?? 0);
          return sum * scale > most ? null : <line class="heat-event" x1={left} x2={width - right} y1={y(sum)} y2={y(sum)} />;
        })}
        <line class="cal-today" x1={x(today)} x2={x(today)} y1="6" y2={height - bottom} />
      </svg>
      </div>
      <p class="heat-legend">
        <span class="key key-now">{t("pages.season.this_year")}</span>
        {heat.last_year !== null && <span class="key key-last">{t("pages.season.last_year")}</span>}
        {heat.normal !== null && <span class="key key-usual">{t("pages.season.usual", { years: heat.years })}</span>}
        {events.length > 0 && <span class="key key-event">{t("pages.season.events")}</span>}
      </p>
    </figure>
  );
}
