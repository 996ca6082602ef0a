// The year of one pest on one sheet: a row for each stage of each generation, a bar from the first to nearly all entering it, a line where
// half have, whiskers as far as the futures differ. The name stands beside its bar, on the side with more room, so that the year fits a
// phone without sliding. The same stands in the table below the drawing.
import { daysBetween } from "./format";
import { hasWord, percent, shortDay, t } from "./state";
import type { GenerationCalendar, StageEntry } from "./season_types";

const width = 360;
const edge = 4;
const rowHeight = 16;
const top = 24;

interface Span {
  first: string;
  days: number;
}

// From the month of the first date on the sheet to the end of the month of the last.
function spanOf(generations: GenerationCalendar[], today: string): Span {
  const dates = generations.flatMap((one) => one.stages.flatMap((stage) => [stage.enter.p05, stage.enter.p95 ?? stage.enter.p50])).filter((one): one is string => one !== null);
  dates.push(today);
  dates.sort();
  const first = `${(dates[0] ?? today).slice(0, 7)}-01`;
  const last = dates[dates.length - 1] ?? today;
  return { first, days: Math.max(45, daysBetween(first, last) + 8) };
}

function monthStarts(span: Span): string[] {
  const out: string[] = [];
  const date = new Date(`${span.first}T12:00:00Z`);
  while (daysBetween(span.first, date.toISOString()) < span.days) {
    out.push(date.toISOString().slice(0, 10));
    date.setUTCMonth(date.getUTCMonth() + 1);
  }
  return out;
}

function shortName(stage: StageEntry): string {
  const short = `pages.season.short_${stage.stage}`;
  return hasWord(short) ? t(short) : stage.name;
}

// Where the drawing of a row begins and ends, whiskers and all.
function extent(stage: StageEntry): { first: string; last: string } | null {
  const days = [...Object.values(stage.enter), stage.interval?.p05?.early, stage.interval?.p95?.late].filter((one): one is string => typeof one === "string").sort();
  const first = days[0];
  return first === undefined ? null : { first, last: days[days.length - 1] ?? first };
}

function Row({ stage, y, x }: { stage: StageEntry; y: number; x: (on: string) => number }) {
  const { p05, p50, p95 } = stage.enter;
  const reach = extent(stage);
  if (p05 === null || reach === null) return null;
  const begins = x(reach.first) - 5;
  const ends = x(reach.last) + (p95 === null ? 11 : 6);
  const after = width - ends >= begins;
  const from = x(p05);
  const to = p95 === null ? null : x(p95);
  const end = to ?? x(stage.enter.p75 ?? p50 ?? p05) + 6;
  const whisker = (mark: "p05" | "p95") => {
    const between = stage.interval?.[mark];
    if (between === undefined || between.early === null || between.late === null || between.early === between.late) return null;
    return <path class="cal-whisker" d={`M${x(between.early).toFixed(1)} ${y}H${x(between.late).toFixed(1)}M${x(between.early).toFixed(1)} ${y - 4}v8M${x(between.late).toFixed(1)} ${y - 4}v8`} />;
  };
  return (
    <g>
      <text class="cal-stage" text-anchor={after ? "start" : "end"} x={(after ? ends : begins).toFixed(1)} y={y + 3.5}>{shortName(stage)}</text>
      <rect class={to === null ? "cal-bar cal-open" : "cal-bar"} x={from.toFixed(1)} y={y - 5} width={Math.max(3, end - from).toFixed(1)} height="10" rx="2" />
      {p50 !== null && <line class="cal-mid" x1={x(p50).toFixed(1)} x2={x(p50).toFixed(1)} y1={y - 7} y2={y + 7} />}
      {whisker("p05")}
      {whisker("p95")}
    </g>
  );
}

export function StageCalendar({ generations, today, pest }: { generations: GenerationCalendar[]; today: string; pest: string }) {
  // A generation of which less than a quarter is ever laid is in the table only.
  const shown = generations.map((one) => ({ ...one, stages: one.stages.filter((stage) => stage.enter.p05 !== null) })).filter((one) => one.stages.some((stage) => stage.enter.p25 !== null));
  if (shown.length === 0) return null;
  const span = spanOf(shown, today);
  const x = (on: string) => edge + (daysBetween(span.first, on) / span.days) * (width - edge * 2);
  const rows: { y: number; title: string | null; stage: StageEntry | null }[] = [];
  let y = top + 18;
  for (const one of shown) {
    rows.push({ y, title: one.generation === 0 ? t("pages.season.overwintered") : t("pages.season.generation", { n: one.generation }), stage: null });
    y += rowHeight;
    for (const stage of one.stages) {
      rows.push({ y, title: null, stage });
      y += rowHeight;
    }
    y += 6;
  }
  return (
    <figure class="calendar">
      <figcaption>{t("pages.season.calendar", { pest })}</figcaption>
      <div class="calendar-sheet stage-sheet" role="img" aria-label={t("pages.season.calendar_alt", { pest })}>
        <svg viewBox={`0 0 ${width} ${y}`} focusable="false">
          {monthStarts(span).map((month) => (
            <g>
              <line class="cal-month" x1={x(month).toFixed(1)} x2={x(month).toFixed(1)} y1={top - 6} y2={y - 4} />
              {x(month) < width - 26 && <text class="cal-label" x={(x(month) + 3).toFixed(1)} y="14">{t(`pages.season.month_${month.slice(5, 7)}`)}</text>}
            </g>
          ))}
          <line class="cal-today" x1={x(today).toFixed(1)} x2={x(today).toFixed(1)} y1="18" y2={y - 4} />
          <text class="cal-label cal-now" text-anchor={x(today) > width - 40 ? "end" : "start"} x={(x(today) + (x(today) > width - 40 ? -3 : 3)).toFixed(1)} y="26">{t("pages.timeline.today")}</text>
          {rows.map((row) => row.stage === null
            ? <text class="cal-generation" x="2" y={row.y + 4}>{row.title}</text>
            : <Row stage={row.stage} y={row.y} x={x} />)}
        </svg>
      </div>
      <p class="strip-legend">{t("pages.season.legend")}</p>
      {shown.filter((one) => one.generation > 0 && one.partial === true).map((one) => (
        <p>{t("pages.season.generation_is", { n: one.generation })} {t("pages.season.partial", { share: percent(one.complete_share) })}.</p>
      ))}
    </figure>
  );
}

// The drawing's figures in words and days.
export function StageTable({ generations }: { generations: GenerationCalendar[] }) {
  return (
    <table class="stage-table">
      <thead>
        <tr>{["stage", "first", "half", "most"].map((key) => <th scope="col">{t(`pages.season.column_${key}`)}</th>)}</tr>
      </thead>
      {generations.map((one) => (
        <tbody>
          <tr>
            <th scope="rowgroup" colSpan={4}>
              {one.generation === 0 ? t("pages.season.overwintered") : t("pages.season.generation", { n: one.generation })}
              {one.generation > 0 && one.partial === true && ` · ${t("pages.season.partial", { share: percent(one.complete_share) })}`}
              {one.resting_share >= 0.01 && ` · ${t("pages.season.resting", { share: percent(one.resting_share) })}`}
            </th>
          </tr>
          {one.stages.filter((stage) => stage.enter.p05 !== null).map((stage) => (
            <tr>
              <th scope="row">{stage.name}</th>
              {(["p05", "p50", "p95"] as const).map((mark) => {
                const on = stage.enter[mark];
                const between = stage.interval?.[mark];
                const wide = between !== undefined && between.early !== null && between.late !== null && between.early !== between.late;
                return (
                  <td>
                    {on === null ? "–" : shortDay(on)}
                    {wide && <span class="between"> ({shortDay(between.early ?? "")} – {shortDay(between.late ?? "")})</span>}
                  </td>
                );
              })}
            </tr>
          ))}
        </tbody>
      ))}
    </table>
  );
}
