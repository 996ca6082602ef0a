// The next ten days of one pest as a strip: a pale bar from the first to nearly all entering a stage, a line where half have.
// The same is said in words below it for those who don't see the drawing.
import { addDays, daysBetween } from "./format";
import { day, percent, t } from "./state";
import type { PestView, StageStand } from "./types";

const days = 10;
const width = 320;
const left = 4;
const step = (width - left * 2) / days;
const rowHeight = 30;
const top = 22;

function x(today: string, on: string): number {
  return left + Math.max(0, Math.min(days, daysBetween(today, on) + 0.5)) * step;
}

// Stages that are being entered within the strip, or hold a fair share now.
export function shown(stages: StageStand[], today: string): StageStand[] {
  const last = addDays(today, days);
  return stages.filter((stage) => stage.present >= 0.05 || (stage.from !== null && stage.from <= last && (stage.to === null || stage.to >= today)));
}

function Row({ stage, today, index }: { stage: StageStand; today: string; index: number }) {
  const y = top + index * rowHeight;
  const last = addDays(today, days - 1);
  const running = stage.from !== null && stage.from <= last && (stage.to === null || stage.to >= today);
  const from = running && stage.from !== null ? x(today, stage.from) : 0;
  const to = running ? (stage.to === null ? left + days * step : x(today, stage.to)) : 0;
  const mid = running && stage.mid !== null && stage.mid >= today && stage.mid <= last ? x(today, stage.mid) : null;
  return (
    <g>
      <text class="strip-name" x={left} y={y + 10}>{stage.name}{stage.present >= 0.01 ? ` · ${percent(stage.present)} ${t("pages.pest.stage_now")}` : ""}</text>
      <line class="strip-base" x1={left} x2={left + days * step} y1={y + 19} y2={y + 19} />
      {running && <rect class="strip-bar" x={from} y={y + 14} width={Math.max(3, to - from)} height="10" rx="2" />}
      {mid !== null && <line class="strip-mid" x1={mid} x2={mid} y1={y + 12} y2={y + 26} />}
    </g>
  );
}

function inWords(stage: StageStand, today: string): string {
  const last = addDays(today, days - 1);
  const say = (on: string | null): string => {
    if (on === null || on > last) return t("pages.timeline.after");
    return on < today ? t("pages.timeline.before") : day(on);
  };
  if (stage.from === null || (stage.to !== null && stage.to < today)) return t("pages.timeline.row_here", { stage: stage.name, share: percent(stage.present) });
  return t("pages.timeline.row", { stage: stage.name, from: say(stage.from), mid: say(stage.mid), to: say(stage.to) });
}

export function Timeline({ pest, today }: { pest: PestView; today: string }) {
  if (pest.timing_unknown !== null) return null;
  const stages = shown(pest.stages, today);
  if (stages.length === 0) return <p class="strip-none">{t("pages.timeline.none")}</p>;
  const height = top + stages.length * rowHeight + 4;
  const ticks = Array.from({ length: days }, (_, i) => i);
  return (
    <figure class="strip">
      <figcaption>{t("pages.timeline.title", { pest: pest.name })}</figcaption>
      <svg viewBox={`0 0 ${width} ${height}`} aria-hidden="true" focusable="false">
        <rect class="strip-today" x={left} y="2" width={step} height={height - 4} />
        {ticks.map((i) => {
          const date = addDays(today, i);
          return (
            <g>
              <line class="strip-tick" x1={left + i * step} x2={left + i * step} y1="16" y2={height - 4} />
              <text class="strip-day" x={left + (i + 0.5) * step} y="12">{i === 0 ? t("pages.timeline.today") : Number(date.slice(8))}</text>
            </g>
          );
        })}
        {stages.map((stage, index) => <Row stage={stage} today={today} index={index} />)}
      </svg>
      <p class="strip-legend">{t("pages.timeline.legend")}</p>
      <ul class="sr-only">{stages.map((stage) => <li>{inWords(stage, today)}</li>)}</ul>
    </figure>
  );
}
