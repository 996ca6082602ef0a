// One pest's year: its stages drawn, degree-days against other years, what comes next, and eggs found gone on with.
import { useState } from "preact/hooks";
import { get } from "../api";
import { PestGlyph } from "../glyphs";
import { HeatChart } from "../heat_chart";
import { Failure, Link, Loading, Masthead } from "../parts";
import { StageCalendar, StageTable } from "../season_chart";
import type { ComingEvent, Hatch, SeasonPageView, StageEntry } from "../season_types";
import { day, hasWord, shortDay, showsUs, t, words } from "../state";
import type { ApiError, GardenView } from "../types";
import { useAnswer } from "../use";

function degreeDays(celsius: number, us: boolean): string {
  return t(us ? "pages.season.degree_days_f" : "pages.season.degree_days_c", { n: Math.round(celsius * (us ? 1.8 : 1)) });
}

// How far the futures differ about it, when they do.
export function Between({ event }: { event: ComingEvent }) {
  if (event.early === null || event.late === null || event.early === event.late) return null;
  return <span class="source">{t("pages.season.between", { early: day(event.early), late: day(event.late) })}</span>;
}

function Coming({ season, us }: { season: SeasonPageView; us: boolean }) {
  if (season.coming.length === 0) return null;
  return (
    <section aria-labelledby="coming">
      <h2 id="coming">{t("pages.season.coming")}</h2>
      <ul class="coming">
        {season.coming.map((one) => (
          <li>
            <span class="coming-text">{one.text}<Between event={one} /></span>
            {one.heat_left_c !== null && <span class="coming-heat">{t("pages.season.heat_left", { heat: degreeDays(one.heat_left_c, us) })}</span>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function HatchDay({ stage, mark }: { stage: StageEntry; mark: "p05" | "p50" | "p95" }) {
  const on = stage.enter[mark];
  const between = stage.interval?.[mark];
  const wide = between != null && between.early !== null && between.late !== null && between.early.slice(0, 10) !== between.late.slice(0, 10);
  return (
    <td>
      {on === null ? "–" : day(on)}
      {wide && <span class="between"> ({shortDay(between.early ?? "")} – {shortDay(between.late ?? "")})</span>}
    </td>
  );
}

function FoundEggs({ season }: { season: SeasonPageView }) {
  const [found, setFound] = useState(season.day);
  const [hatch, setHatch] = useState<Hatch | null>(null);
  const [failure, setFailure] = useState<ApiError | null | undefined>(undefined);
  const look = async () => {
    const got = await get<Hatch>(`/api/pests/${encodeURIComponent(season.pest)}/hatch?found=${encodeURIComponent(found)}`);
    setHatch(got.ok ? got.value : null);
    setFailure(got.ok ? undefined : got.error);
  };
  return (
    <section class="found-eggs" aria-labelledby="found-eggs">
      <h2 id="found-eggs">{t("pages.season.found_title")}</h2>
      <form class="found-form" onSubmit={(event) => { event.preventDefault(); void look(); }}>
        <label>
          <span>{t("pages.season.found_on")}</span>
          <input type="date" value={found} required onInput={(event) => setFound(event.currentTarget.value)} />
        </label>
        <button class="button">{t("pages.season.found_ask")}</button>
      </form>
      {failure !== undefined && <Failure error={failure} />}
      {hatch !== null && (
        <table class="stage-table" aria-label={t("pages.season.found_title")}>
          <thead><tr>{["stage", "first", "half", "most"].map((key) => <th scope="col">{t(`pages.season.column_${key}`)}</th>)}</tr></thead>
          <tbody>
            {hatch.stages.filter((one) => one.enter.p05 !== null).map((one) => (
              <tr>
                <th scope="row">{one.name}</th>
                {(["p05", "p50", "p95"] as const).map((mark) => <HatchDay stage={one} mark={mark} />)}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

// The first of each group, and the adults that lay: a line for every instar would say little more.
function keyStage(stage: string): boolean {
  return stage === "egg" || stage === "pupa" || stage === "adult-laying" || stage.endsWith("-1");
}

function OtherYears({ season, us }: { season: SeasonPageView; us: boolean }) {
  const comparison = season.comparison;
  if (comparison === null) return null;
  const dates = comparison.dates.filter((one) => one.normal !== null && keyStage(one.stage));
  if (comparison.heat === null && dates.length === 0) return null;
  return (
    <section class="years" aria-labelledby="years">
      <h2 id="years">{t("pages.season.other_years")}</h2>
      {season.ahead !== "" && <p>{season.ahead}</p>}
      {comparison.heat !== null && <HeatChart heat={comparison.heat} today={season.day} coming={season.coming} us={us} />}
      {dates.length > 0 && (
        <table class="stage-table">
          <caption>{t("pages.season.half_by", { years: comparison.years })}</caption>
          <thead><tr>{["stage", "this", "usual", "last"].map((key) => <th scope="col">{t(`pages.season.years_${key}`)}</th>)}</tr></thead>
          <tbody>
            {dates.map((one) => (
              <tr>
                <th scope="row">{one.name} · {one.generation === 0 ? t("pages.season.overwintered") : t("pages.season.generation", { n: one.generation })}</th>
                <td>{one.this_year === null ? "–" : shortDay(one.this_year)}</td>
                <td>{one.normal === null ? "–" : shortDay(one.normal)}{one.earliest !== null && one.latest !== null && <span class="between"> ({shortDay(one.earliest)} – {shortDay(one.latest)})</span>}</td>
                <td>{one.last_year === null ? "–" : shortDay(one.last_year)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

// Every stage that has words, in the order of life: a pest without dates is the one to look for.
function stagesSaid(pest: string): string[] {
  const life = ["egg", "larva", "nymph", "pupa", "adult-new", "adult"];
  const rank = (stage: string) => life.findIndex((one) => stage.startsWith(one));
  const head = `pest.${pest}.look.`;
  return Object.keys(words.value).filter((key) => key.startsWith(head)).map((key) => key.slice(head.length))
    .sort((a, b) => rank(a) - rank(b) || a.localeCompare(b));
}

function Looks({ season }: { season: SeasonPageView }) {
  const said = stagesSaid(season.pest);
  const damage = `pest.${season.pest}.damage`;
  return (
    <section class="looks" aria-labelledby="looks">
      <h2 id="looks">{t("pages.season.looks")}</h2>
      {hasWord(damage) && <p>{t(damage)}</p>}
      <dl class="figures">
        {said.map((stage) => <><dt><PestGlyph pest={season.pest} stage={stage} /> {t(`stage.${stage}`)}</dt><dd>{t(`pest.${season.pest}.look.${stage}`)}</dd></>)}
      </dl>
    </section>
  );
}

export function SeasonPage({ pest }: { pest: string }) {
  const answer = useAnswer<SeasonPageView>(`/api/seasons/${encodeURIComponent(pest)}`);
  const garden = useAnswer<GardenView>("/api/garden");
  if (answer === null || garden === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const season = answer.value;
  const us = showsUs(garden.ok ? garden.value.units : "metric");
  const all = season.overwintered === null ? season.generations : [season.overwintered, ...season.generations];
  return (
    <>
      <Masthead title={t("pages.season.of", { pest: season.name })} garden={season.garden} marked={season.marked} at={season.at} />
      <p class="season-lead"><PestGlyph pest={season.pest} stage={season.next?.stage ?? ""} /> <strong>{season.headline}</strong></p>
      {season.migrant !== null && <p class="unknown">{season.migrant.text}</p>}
      {season.winter_kill !== null && <p class="unknown">{season.winter_kill.text}</p>}
      {season.state !== "unknown" && <p class="source">{t("pages.season.starts", { why: season.biofix_why.text })}</p>}
      <StageCalendar generations={all} today={season.day} pest={season.name} />
      <Coming season={season} us={us} />
      <OtherYears season={season} us={us} />
      {hasWord(`pest.${season.pest}.look.egg`) && <FoundEggs season={season} />}
      <Looks season={season} />
      {all.length > 0 && <div class="print-only" aria-hidden="true"><StageTable generations={all} /></div>}
      {all.length > 0 && <details><summary>{t("pages.season.in_days")}</summary><StageTable generations={all} /></details>}
      <p class="basis">{season.sure}</p>
      <p class="onward"><Link to="/seasons">{t("pages.season.all")}</Link></p>
    </>
  );
}
