// The garden's weather: thirty days back, three weeks ahead, and what is missing or odd about it.
import { daysBetween } from "../format";
import { Failure, Link, Loading, Masthead } from "../parts";
import type { WeatherView } from "../season_types";
import { day, shortDay, showsUs, t } from "../state";
import type { GardenView } from "../types";
import { useAnswer } from "../use";

const width = 640;
const height = 240;
const left = 40;
const right = 8;
const bottom = 26;

function Chart({ view, us }: { view: WeatherView; us: boolean }) {
  const scale = (celsius: number) => (us ? celsius * 1.8 + 32 : celsius);
  const all = [...view.days.flatMap((one) => [one.min_c, one.max_c]), ...view.future_days.flatMap((one) => [one.min_c.low, one.max_c.high])].filter((one): one is number => one !== null).map(scale);
  const first = view.days[0]?.date ?? view.future_days[0]?.date;
  if (first === undefined || all.length === 0) return null;
  const last = view.future_days[view.future_days.length - 1]?.date ?? view.days[view.days.length - 1]?.date ?? first;
  const step = us ? 20 : 10;
  const low = Math.floor(Math.min(...all) / step) * step;
  const high = Math.ceil(Math.max(...all) / step) * step;
  const slot = (width - left - right) / (daysBetween(first, last) + 1);
  const x = (on: string) => left + (daysBetween(first, on) + 0.5) * slot;
  const y = (celsius: number) => 10 + (1 - (scale(celsius) - low) / (high - low)) * (height - 10 - bottom);
  const marks = Array.from({ length: (high - low) / step + 1 }, (_, i) => low + i * step);
  const celsius = (mark: number) => (us ? (mark - 32) / 1.8 : mark);
  const bar = slot * 0.55;
  const usual = (read: (one: { min_c: number; max_c: number }) => number) =>
    view.usual === null ? "" : view.usual.days.map((one, i) => `${i === 0 ? "M" : "L"}${x(one.date).toFixed(1)} ${y(read(one)).toFixed(1)}`).join("");
  return (
    <figure class="days-chart">
      <figcaption>{t("pages.weather.lows_highs")} ({us ? "°F" : "°C"})</figcaption>
      <div class="calendar-sheet" tabIndex={0} role="img" aria-label={t("pages.weather.chart_alt")}>
      <svg viewBox={`0 0 ${width} ${height}`} focusable="false">
        {marks.map((mark) => (
          <g>
            <line class="cal-month" x1={left} x2={width - right} y1={y(celsius(mark))} y2={y(celsius(mark))} />
            <text class="cal-label" text-anchor="end" x={left - 5} y={y(celsius(mark)) + 4}>{mark}</text>
          </g>
        ))}
        {[...view.days, ...view.future_days].map((one, i) => i % 7 === 1 ? <text class="cal-label" text-anchor="middle" x={x(one.date)} y={height - 8}>{shortDay(one.date)}</text> : null)}
        <path class="day-usual" d={usual((one) => one.min_c)} />
        <path class="day-usual" d={usual((one) => one.max_c)} />
        {view.days.map((one) => one.min_c === null || one.max_c === null ? null : (
          <g>
            <rect class={one.filled ? "day-guess" : "day-bar"} x={x(one.date) - bar / 2} y={y(one.max_c)} width={bar} height={Math.max(1, y(one.min_c) - y(one.max_c))} />
            {one.rain_mm !== null && one.rain_mm >= 1 && <circle class="day-rain" cx={x(one.date)} cy={height - bottom + 4} r={Math.min(4, 1 + Math.sqrt(one.rain_mm) / 2)} />}
          </g>
        ))}
        {view.future_days.map((one) => (
          <g>
            <rect class={one.told ? "day-told" : "day-guess"} x={x(one.date) - bar / 2} y={y(one.max_c.mid)} width={bar} height={Math.max(1, y(one.min_c.mid) - y(one.max_c.mid))} />
            {!one.told && <path class="cal-whisker" d={`M${x(one.date)} ${y(one.max_c.high)}V${y(one.max_c.low)}M${x(one.date)} ${y(one.min_c.high)}V${y(one.min_c.low)}`} />}
          </g>
        ))}
        <line class="cal-today" x1={x(view.day) - slot / 2} x2={x(view.day) - slot / 2} y1="4" y2={height - bottom} />
      </svg>
      </div>
      <p class="strip-legend">{t("pages.weather.legend")}</p>
    </figure>
  );
}

function Table({ view, us }: { view: WeatherView; us: boolean }) {
  const degrees = (celsius: number | null) => celsius === null ? "–" : us ? `${Math.round(celsius * 1.8 + 32)} °F` : `${celsius.toFixed(1)} °C`;
  const rain = (mm: number | null) => mm === null ? "–" : us ? `${(mm / 25.4).toFixed(2)} in` : `${mm.toFixed(1)} mm`;
  return (
    <details>
      <summary>{t("pages.weather.all_days")}</summary>
      <table class="stage-table">
        <thead><tr>{["day", "low", "high", "rain", "kind"].map((key) => <th scope="col">{t(`pages.weather.table_${key}`)}</th>)}</tr></thead>
        <tbody>
          {view.days.map((one) => (
            <tr><th scope="row">{day(one.date)}</th><td>{degrees(one.min_c)}</td><td>{degrees(one.max_c)}</td><td>{rain(one.rain_mm)}</td><td>{t(one.filled ? "pages.weather.filled" : "pages.weather.recorded")}</td></tr>
          ))}
          {view.future_days.map((one) => (
            <tr>
              <th scope="row">{day(one.date)}</th>
              <td>{degrees(one.min_c.mid)}{!one.told && <span class="between"> ({degrees(one.min_c.low)} – {degrees(one.min_c.high)})</span>}</td>
              <td>{degrees(one.max_c.mid)}{!one.told && <span class="between"> ({degrees(one.max_c.low)} – {degrees(one.max_c.high)})</span>}</td>
              <td>–</td>
              <td>{one.told ? t("pages.weather.forecast") : t("pages.weather.guessed", { n: view.members })}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  );
}

export function WeatherPage() {
  const answer = useAnswer<WeatherView>("/api/weather");
  const garden = useAnswer<GardenView>("/api/garden");
  if (answer === null || garden === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const view = answer.value;
  const us = showsUs(garden.ok ? garden.value.units : "metric");
  return (
    <>
      <Masthead title={t("pages.weather.title")} garden={view.garden} marked={view.marked} at={view.at} />
      <ul class="why">{view.says.map((one) => <li>{one.text}</li>)}</ul>
      <Chart view={view} us={us} />
      {(view.days.length > 0 || view.future_days.length > 0) && <Table view={view} us={us} />}
      {view.files.length > 0 && (
        <section aria-labelledby="files">
          <h2 id="files">{t("pages.weather.files")}</h2>
          <ul class="plain-list">
            {view.files.map((file) => (
              <li>
                {t("pages.weather.file_line", { name: file.name, days: file.days, first: file.first ?? "–", last: file.last ?? "–" })}
                {file.issued !== null && ` · ${t("pages.weather.file_issued", { day: day(file.issued) })}`}
                {file.findings.length === 0 ? ` · ${t("pages.weather.findings_none")}` : <ul>{file.findings.map((one) => <li>{one.text}</li>)}</ul>}
              </li>
            ))}
          </ul>
        </section>
      )}
      <p class="onward"><Link to="/seasons">{t("pages.season.title")}</Link></p>
    </>
  );
}
